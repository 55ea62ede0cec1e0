"""The screens under stress: any size, no colour, and texts that lie or order about."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import NoRep, Rep
from judgekit.core.people import Athlete, HeatLane
from judgekit.desk import Told, Unsaved
from judgekit.files.cleaning import clean
from judgekit.ui.effects import Trial
from judgekit.ui.home_app import HomeApp
from judgekit.ui.panels import Choice, Menu, Page, ToCard
from judgekit.ui.screens.heard import DeskNews
from judgekit.ui.screens.scorecard import ScorecardScreen
from judgekit.ui.text import width_of
from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.home import heat_rows
from judgekit.ui.views.phase import Now
from judgekit.ui.widgets.face import Face
from judgekit.ui.widgets.laying import Over, face_rows
from judgekit.ui.widgets.row import written
from tests.support import for_time, simple
from tests.ui.fake_desk import Floor, faint, rows, text, until

if TYPE_CHECKING:
    from textual.pilot import Pilot

    from judgekit.core.plan import Plan

SIZE = (80, 24)
SIZES = [(80, 24), (120, 40), (60, 20), (48, 50), (40, 12), (30, 8), (20, 5), (10, 3)]
STORM = [*SIZES, (1, 1), (300, 80), (39, 12), (1, 30), (200, 1), (40, 11), SIZE]


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is handled in the very instant in which it was pressed."""
    monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: 0.0)


def words(floor: Floor) -> str:
    return " ".join(text(floor.app).split())


def face(floor: Floor) -> Face:
    return floor.app.screen.query_one(Face)


async def test_a_storm_of_sizes_while_counting_loses_no_rep() -> None:
    floor = Floor(simple(reps=57))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        for number, size in enumerate(STORM, 1):
            await pilot.resize_terminal(*size)
            await floor.tap(pilot, "space")
            assert (floor.good, face(floor).given[0].big) == (number, f"{number:02}")
        await pilot.pause()
        assert "0:30.0  rep 15     0:28.0  rep 14" in text(floor.app)


async def no_rep(floor: Floor, pilot: Pilot[None]) -> None:
    await floor.tap(pilot, "d")


async def stop(floor: Floor, pilot: Pilot[None]) -> None:
    await floor.tap(pilot, "0")


async def unsaved(floor: Floor, pilot: Pilot[None]) -> None:
    news = Unsaved(waiting=2, why="no space left on the disk")
    floor.app.screen.post_message(DeskNews(news))
    await pilot.pause()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("happens", "seen"),
    [(no_rep, "NO REP"), (stop, "STOP"), (unsaved, "NOT SAVED")],
)
async def test_count_and_warning_are_both_seen_at_every_size(
    happens: object, seen: str, size: tuple[int, int]
) -> None:
    floor = Floor(simple(reps=57))
    floor.go()
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, *["space"] * 12)
        assert callable(happens)
        await happens(floor, pilot)
        await pilot.pause()
        shown = words(floor)
        count = "12 of 57" if size[0] < 40 else "of 57"
        clock = "0:2" if size[0] >= 40 else ""
        assert all(text_ in shown for text_ in (seen, count, clock))
        assert faint(floor.app) == []


@pytest.mark.parametrize(
    ("size", "shown"),
    [
        ((30, 8), "12 of 57 0 STOP TOO SMALL, counting goes on 0:24"),
        ((20, 5), "12 of 57 0 STOP TOO SMALL, counting goes on 0:24"),
        ((10, 3), "12 of 57 0 STOP TOO SMALL,"),
        ((40, 1), "12 of 57 0 STOP"),
        ((8, 1), "12 of 57"),
        ((2, 1), "12"),
    ],
)
async def test_below_the_least_size_the_count_is_what_is_left(
    size: tuple[int, int], shown: str
) -> None:
    floor = Floor(simple(reps=57))
    floor.go()
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, *["space"] * 12)
        assert words(floor) == shown


async def test_one_row_has_room_for_the_count_and_the_warning() -> None:
    floor = Floor(simple(reps=57))
    floor.go()
    async with floor.app.run_test(size=(20, 1)) as pilot:
        await floor.tap(pilot, "space", "d")
        assert words(floor) == "01 NO REP DEPTH"


@pytest.mark.parametrize("said", ["", "1"])
@pytest.mark.parametrize("size", [(80, 24), (40, 12), (20, 5)])
async def test_without_colour_all_of_it_can_be_read(
    monkeypatch: pytest.MonkeyPatch, said: str, size: tuple[int, int]
) -> None:
    monkeypatch.setenv("NO_COLOR", said)
    floor = Floor()
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, "d")
        assert faint(floor.app) == []
        floor.go()
        for key in ("space", "d", "n", "w", "f", "0", "?"):
            await floor.tap(pilot, key)
            assert faint(floor.app) == []


async def test_a_face_that_cannot_be_laid_out_says_so_and_counting_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = Floor(simple(reps=57))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        with monkeypatch.context() as broken:
            broken.setattr("judgekit.ui.widgets.face.face_rows", lambda *_: 1 / 0)
            await floor.tap(pilot, "space", "space")
            alarm = "Drawing failed (ZeroDivisionError). Counting goes on: 2 in all."
            assert alarm in text(floor.app)
        await floor.tap(pilot, "space")
        assert (floor.good, "Drawing failed" in text(floor.app)) == (3, False)


@pytest.mark.parametrize("size", [(30, 8), (10, 3), (1, 1)])
async def test_a_failing_face_keeps_counting_at_any_size(
    monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    floor = Floor(simple(reps=57))
    floor.go()
    async with floor.app.run_test(size=size) as pilot:
        monkeypatch.setattr("judgekit.ui.screens.floor.floor_view", lambda *_: 1 / 0)
        await floor.tap(pilot, "space", "space")
        assert (floor.good, floor.app.is_running) == (2, True)


# --- texts that are more than they seem -----------------------------------------------

HOSTILE = [
    "Team [A]",
    "[/]",
    "[link=http://x]",
    "[@click=app.quit]Bob[/]",
    "[$primary]",
    "ends in \\",
    "a\x1b[2Jb\x1b]0;owned\x07",
    "\x9b5;5Hab",
    "\u202eabc\u2066d\u2069",
    "a\tb\nc\rd",
    "נועה לוי",
    "王小明",
    "Zoe\u0308 A\u030astro\u0308m",
    "👩\u200d👩\u200d👧 Family",
    "x" * 200,
    "王" * 200,
    "",
    "   ",
]


# One of each kind, for what needs a whole app.
FEW = [HOSTILE[n] for n in (2, 3, 6, 13, 15)]


def _hostile(word: str) -> Plan:
    """A plan in which every text that people write is that one."""
    plan = for_time(name=word, workout_name=word, division_name=word)
    squat = plan.cards[0]
    card = replace(
        squat,
        name=word,
        faults=tuple(replace(f, call=word) for f in squat.faults),
        criteria=tuple(replace(c, says=word) for c in squat.criteria),
    )
    return replace(plan, cards=(card, *plan.cards[1:]))


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (120, 40), (48, 50), (20, 5)])
@pytest.mark.parametrize("word", HOSTILE)
def test_no_text_moves_a_column_or_reaches_the_terminal_as_an_order(
    word: str, size: tuple[int, int]
) -> None:
    floor = Floor(_hostile(word))
    floor.go()
    floor.act(Rep())
    floor.act(NoRep(faults=("depth",)))
    choices = (Choice(says=word, leads=ToCard()),)
    panel = Menu(opener="more", title=word, choices=choices)
    for over in (
        Over(notice=word),
        Over(flash=("NO REP", word)),
        Over(trial=Trial(big=(word,), says=word)),
        Over(panel=panel),
        Over(panel=Page(opener="keys", title=word, lines=((word, word),))),
    ):
        view = floor_view(floor.lane, Now(heat_ms=4000, judges={"kb": word}))
        drawn = [written(row) for row in face_rows(view, over, *size)]
        assert [width_of(row) for row in drawn] == [size[0]] * size[1]
        assert all(row.replace("\u200d", "").isprintable() for row in drawn)
        if size == SIZE:
            assert drawn[0].endswith("0:04 ")
            assert drawn[1].endswith("part A  round 1 of 2 ")
            assert drawn[-1].endswith("saved ")


@pytest.mark.parametrize("word", FEW)
async def test_a_heat_full_of_hostile_texts_is_judged_like_any_other(word: str) -> None:
    floor = Floor(_hostile(word))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "d", "n", "l", "escape", "?", "escape")
        for place in ((6, 0), (6, 1), (6, 3), (56, 7), (6, 20)):
            await pilot.click("#face", offset=place)
        await floor.tap(pilot, "space")
        assert (floor.app.is_running, floor.good) == (True, 2)


@pytest.mark.parametrize("name", FEW)
async def test_a_name_is_on_the_floor_as_it_was_cleaned(name: str) -> None:
    cleaned = clean(name)
    floor = Floor(for_time(name=cleaned))
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert rows(floor.app)[1].startswith(f" 27  {cleaned[:12]}".rstrip())


@pytest.mark.parametrize("said", FEW[:-1])
async def test_words_of_the_desk_are_shown_as_words(said: str) -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        floor.app.screen.post_message(DeskNews(Told(says=f"heard: {said}|")))
        await pilot.pause()
        shown = " ".join(text(floor.app).split())
        cleaned = " ".join(clean(word) for word in f"heard: {said}|".split())
        assert cleaned in shown
        await floor.tap(pilot, "space")
        assert floor.good == 1


@pytest.mark.parametrize("name", FEW)
async def test_a_name_on_the_scorecard_is_only_a_name(name: str) -> None:
    cleaned = clean(name)
    floor = Floor(replace(simple(reps=1), name=cleaned, workout_name=cleaned))
    floor.go()
    floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await floor.tap(pilot, "g")
        await until(pilot, lambda: isinstance(floor.app.screen, ScorecardScreen))
        await pilot.pause()
        shown = " ".join(text(floor.app).split())
        assert cleaned[:30] in shown
        assert shown.replace("\u200d", "").isprintable()
        await pilot.click("#card")
        assert floor.app.is_running


@pytest.mark.parametrize("name", FEW)
async def test_a_name_at_home_is_only_a_name(name: str) -> None:
    cleaned = clean(name)
    listed = HeatLane(
        heat="1",
        date="2027-05-08",
        start_ms=36_000_000,
        workout="quayside",
        lane=1,
        bib="27",
        judge="kb",
    )
    athlete = Athlete(bib="27", name=cleaned, division="women")
    home = HomeApp(
        cleaned, heat_rows([listed], [athlete], {"quayside": cleaned or "q"}, {})
    )
    async with home.run_test(size=SIZE) as pilot:
        await pilot.pause()
        shown = text(home)
        assert cleaned[:30] in shown
        assert "not started" in shown
        assert faint(home) == []
        assert all(row.replace("\u200d", "").isprintable() for row in rows(home))
        await pilot.click("#hometitle", offset=(3, 0))
        assert home.is_running
