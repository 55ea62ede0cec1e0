"""The briefing on the wall: whole on every screen, page by page, never markup."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.files.folder import load_event
from judgekit.reports.briefing import briefing
from judgekit.ui.text import width_of
from judgekit.ui.views.brief import sheets
from judgekit.ui.views.wall import Said, Sheet
from judgekit.ui.views.wallpages import Page, pages
from judgekit.ui.wall_app import WallApp
from tests.ui.fake_desk import faint, rows, text

if TYPE_CHECKING:
    from judgekit.files.eventfolder import EventFolder

DEMO = Path(__file__).resolve().parents[2] / "demo"
SIZES = [(80, 24), (120, 40), (60, 20), (40, 12), (20, 5)]


@pytest.fixture(scope="module")
def demo() -> EventFolder:
    return load_event(DEMO, shown="demo")


def wall(demo: EventFolder, workout: str = "three-gates") -> tuple[Sheet, ...]:
    return sheets(briefing(demo, demo.workouts[workout], {}))


def words_of(page: Page) -> list[str]:
    return [word for line in page.body for word in (line.label + line.text).split()]


def test_the_sheets_are_the_work_what_is_set_each_movement_and_safety(
    demo: EventFolder,
) -> None:
    assert [sheet.heading for sheet in wall(demo)] == [
        "Three Gates",
        "Loads",
        "Heights",
        "Front squat",
        "Toes-to-bar",
        "Row",
        "Burpee to target",
        "Walking lunge",
        "Push-up",
        "Another way",
        "Safety",
        "Call 112",
    ]


def test_a_movement_has_its_load_its_ends_its_calls_and_what_to_show(
    demo: EventFolder,
) -> None:
    squat = next(s for s in wall(demo) if s.heading == "Front squat")
    told = {row.label: row.lines for row in squat.rows}
    assert told["load"] == ("Women 42.5 kg,  Men 60 kg",)
    assert told["d  DEPTH"] == (
        "Crease of the hip below the top of the knee",
        "cue: sit under the line",
    )
    assert list(told) == [
        *("load", "start", "finish", "d  DEPTH", "k  ELBOWS"),
        *("also", "break up", "good rep", "no rep", "STOP at"),
    ]
    burpee = next(s for s in wall(demo) if s.heading == "Burpee to target")
    assert burpee.rows[0] == Said(label="height", lines=("6 in above reach",))


def test_names_are_as_their_owners_want_them_and_nothing_private_is_read(
    demo: EventFolder,
) -> None:
    told = replace(
        demo,
        athletes=tuple(replace(a, private="sore left knee") for a in demo.athletes),
    )
    shown = str([wall(told, workout) for workout in told.workouts])
    assert "031 P. Q." in shown
    assert "label='072', lines=('2.42 m',)" in shown
    for hidden in ("Quintrell", "Harrowgate", "sore left knee"):
        assert hidden not in shown


@pytest.mark.parametrize("size", SIZES)
def test_every_word_is_on_a_page_and_every_page_fits(
    demo: EventFolder, size: tuple[int, int]
) -> None:
    columns, height = size
    laid = pages(wall(demo), columns, height)
    for number, sheet in enumerate(wall(demo)):
        words = [
            word
            for row in sheet.rows
            for word in " ".join((row.label, *row.lines)).split()
        ]
        found = [w for page in laid if page.sheet == number for w in words_of(page)]
        if columns >= 40:
            assert sorted(found) == sorted(words)
    for page in laid:
        assert len(page.head) + 1 + len(page.body) <= max(height, 3)
        lines = (*page.head, *(line.label + line.text for line in page.body))
        assert all(width_of(line) <= columns for line in lines)


def test_a_row_stays_whole_where_a_page_holds_it() -> None:
    three = tuple(Said(label=name, lines=("x", "y")) for name in "abc")
    for rows_, parted in ((5, ["axy", "bxy", "cxy"]), (6, ["axybxy", "cxy"])):
        laid = pages((Sheet(of="w", heading=",", rows=three),), 40, rows_)
        assert ["".join(words_of(page)) for page in laid] == parted
    long = (Said(label="a", lines=tuple("vwxyz")),)
    laid = pages((Sheet(of="w", heading=",", rows=long),), 40, 5)
    assert [words_of(page) for page in laid] == [["a", "v", "w", "x"], ["y", "z"]]


def test_an_emergency_without_a_number_is_a_heading_all_the_same(
    demo: EventFolder,
) -> None:
    event = replace(
        demo.event, emergency=replace(demo.event.emergency, call="", say="here")
    )
    assert wall(replace(demo, event=event))[-1].heading == "Emergency"


@pytest.mark.parametrize("key", ["space", "right", "pagedown", "enter", "n", "т"])
async def test_pages_turn_and_say_which_one_it_is(demo: EventFolder, key: str) -> None:
    app = WallApp(wall(demo))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "page 1 of 13  Three Gates" in text(app)
        assert "Women 42.5 kg; Men 60 kg" in text(app)
        await pilot.press(key)
        assert "page 2 of 13" in text(app)
        await pilot.press("end")
        assert "page 13 of 13" in text(app)
        await pilot.press(key)
        assert "This is the last page." in text(app)
        assert "left of the front desk" in text(app)


@pytest.mark.parametrize("key", ["backspace", "left", "pageup", "b"])
async def test_pages_turn_back(demo: EventFolder, key: str) -> None:
    app = WallApp(wall(demo))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "space", key)
        assert "page 2 of 13" in text(app)
        await pilot.press("home", key)
        assert "This is the first page." in text(app)
        await pilot.press("left_shift")
        assert "This is the first page." in text(app)
        await pilot.press("f5")
        assert "f5 does nothing here." in text(app)


@pytest.mark.parametrize("key", ["q", "escape", "й"])
async def test_q_leaves(demo: EventFolder, key: str) -> None:
    app = WallApp(wall(demo))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(key)
    assert app.return_code == 0


async def test_another_size_shows_the_same_movement(demo: EventFolder) -> None:
    app = WallApp(wall(demo))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "space", "space", "space", "space")
        assert "Hanging, arms straight" in text(app)
        await pilot.resize_terminal(40, 12)
        await pilot.pause()
        assert "Hanging, arms straight" in " ".join(text(app).split())
        assert "TOES-TO-BAR" in text(app)


@pytest.mark.parametrize("size", SIZES[:-1])
async def test_every_page_is_drawn_whole_and_can_be_read(
    demo: EventFolder, size: tuple[int, int]
) -> None:
    app = WallApp(wall(demo, "mill-wheel"))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        seen: list[str] = []
        while "last page" not in text(app):
            assert faint(app) == []
            assert "q leaves" in text(app)
            seen += " ".join(rows(app)).split()
            await pilot.press("space")
        for sheet in wall(demo, "mill-wheel"):
            for row in sheet.rows:
                assert set(" ".join((row.label, *row.lines)).split()) <= set(seen)


async def test_a_name_is_never_markup(demo: EventFolder) -> None:
    named = tuple(replace(a, name="[b]Zoé[/] {x}", show="name") for a in demo.athletes)
    app = WallApp(wall(replace(demo, athletes=named)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "space")
        assert "007 [b]Zoé[/] {x}" in text(app)
