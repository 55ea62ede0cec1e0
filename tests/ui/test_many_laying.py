"""Rows of several lanes are exactly as wide as the window, whatever people wrote."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import NoRep, Rep, Stop
from judgekit.core.people import Emergency
from judgekit.ui.effects import Trial
from judgekit.ui.panels import Choice, Menu, ToCard
from judgekit.ui.text import width_of
from judgekit.ui.views.box import box_view
from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.many import Choosing, lane_row, many_view
from judgekit.ui.views.phase import Now
from judgekit.ui.widgets.laying import Over
from judgekit.ui.widgets.manylaying import many_rows
from judgekit.ui.widgets.row import written
from tests.support import Played, for_time
from tests.ui.many_desk import plans_for
from tests.ui.test_stress import HOSTILE, STORM

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.ui.views.many import ManyView

NOW = Now(heat_ms=12_000, judges={"kb": "Kim"})


def hostile(word: str) -> Plan:
    """A plan in which every text that people write is that one."""
    plan = for_time(workout_name=word, division_name=word)
    squat = plan.cards[0]
    card = replace(
        squat,
        name=word,
        faults=tuple(replace(f, call=word) for f in squat.faults),
        criteria=tuple(replace(c, says=word) for c in squat.criteria),
        stop_signs=(word,),
    )
    return replace(plan, cards=(card, *plan.cards[1:]))


def view_of(word: str, many: int, chosen: int | None = None) -> ManyView:
    lanes = []
    for plan in plans_for(hostile(word), many):
        played = Played(replace(plan, name=word)).go()
        played.each(Rep(), 3, 6)
        played.press(9, NoRep(faults=("depth",)))
        if plan.lane == many:
            played.press(10, Stop(sign=word))
        lanes.append(played.lane)
    front = floor_view(lanes[(chosen or 1) - 1], NOW)
    rows = [lane_row(lane, NOW, str(lane.plan.lane)[-1]) for lane in lanes]
    view = many_view(rows, front, Choosing(pages=(1, 2), chosen=chosen), word)
    if many != 2:
        return view
    return replace(view, pair=tuple(floor_view(lane, NOW) for lane in lanes))


@pytest.mark.parametrize("many", [2, 3, 12, 18])
@pytest.mark.parametrize("word", HOSTILE)
def test_no_text_moves_a_column_at_any_size(word: str, many: int) -> None:
    choices = (Choice(says=word, leads=ToCard()),) * 8
    panel = Menu(opener="more", title=word, choices=choices)
    emergency = Emergency(call=word, say=word, defibrillator=word, first_aid=word)
    lane = Played(replace(hostile(word), name=word)).go()
    lane.press(3, Stop(sign=word))
    overs = (
        Over(notice=word, flashing=frozenset({1})),
        Over(trial=Trial(big=(word,), says=word)),
        Over(panel=panel),
        Over(panel=panel, box=box_view(lane.lane, NOW, emergency)),
    )
    for chosen in (None, 1):
        view = view_of(word, many, chosen)
        for over in overs:
            for columns, rows in dict.fromkeys(STORM):
                drawn = [written(row) for row in many_rows(view, over, columns, rows)]
                assert [width_of(row) for row in drawn] == [columns] * rows
                assert all(row.replace("\u200d", "").isprintable() for row in drawn)


LONG = "Maximiliane R. von Hohenstein-Waldenburg"


SIZE = 80, 24


def shown(
    many: int,
    name: str,
    chosen: int | None = None,
    size: tuple[int, int] = SIZE,
    **over: object,
) -> list[str]:
    """The screen with that name in lane 1, and others in the others."""
    first, *others = plans_for(for_time(), many)
    plans = [replace(first, name=name, division_name="Women"), *others]
    lanes = [Played(plan).go().lane for plan in plans]
    front = floor_view(lanes[0], NOW)
    rows = [lane_row(lane, NOW, str(lane.plan.lane)) for lane in lanes]
    view = many_view(rows, front, Choosing(pages=(1, 1), chosen=chosen))
    if many == 2:
        view = replace(view, pair=tuple(floor_view(lane, NOW) for lane in lanes))
    drawn = many_rows(view, Over(**over), *size)  # type: ignore[arg-type]
    return [written(row) for row in drawn]


def test_a_chosen_lane_has_its_whole_name_however_long_it_is() -> None:
    assert f"▶ 1  20  {LONG}" in "\n".join(shown(5, LONG, chosen=1))
    panel = Menu(opener="more", title="MORE", choices=())
    beside = [row[48:].strip() for row in shown(5, LONG, chosen=1, panel=panel)]
    assert LONG in " ".join(beside)


def test_a_long_name_of_two_lanes_takes_a_row_that_the_count_does_not_need() -> None:
    whole = [row[:38].rstrip() for row in shown(2, LONG)]
    assert whole[1:3] == ["   1  20 Maximiliane R. von", "       Hohenstein-Waldenburg"]
    usual = [row[:38].rstrip() for row in shown(2, "Bo")]
    assert usual[1] == "   1  20  Bo   Women"
    assert sum("█" in row for row in whole) == sum("█" in row for row in usual)


def test_a_row_tells_two_of_one_first_name_apart() -> None:
    first = [
        shown(5, name)[1] for name in ("Annabell Varga-Hollen", "Annabell Quist-M")
    ]
    assert [row[8:19].strip() for row in first] == ["Annabell V.", "Annabell Q."]
    cut = shown(5, "Wolfeschlegelsteinhausenberger")[1]
    assert "Wolfeschlegels…" in cut


@pytest.mark.parametrize("size", [SIZE, (40, 24)])
@pytest.mark.parametrize("name", ["Al Wu", "Annabell Varga-Hollen"])
def test_all_rows_have_their_numbers_or_none_has(
    name: str, size: tuple[int, int]
) -> None:
    rows = shown(5, name, size=size)[1:6]
    numbered = [f"{20 + n}  " in row for n, row in enumerate(rows)]
    assert numbered == [name == "Al Wu"] * 5
    assert all(f" {first} " in row for first, row in zip(FIRST, rows[1:], strict=True))


FIRST = ("Bo", "Zoé", "Ana", "Cy")


def test_where_all_has_room_a_panel_hides_no_lane() -> None:
    menu = Menu(opener="more", title="ALL", choices=(Choice(says="a", leads=ToCard()),))
    roomy = shown(5, "Al", chosen=1, size=(40, 24), panel=menu)
    assert all(f" {first} " in "\n".join(roomy) for first in FIRST)
    assert not any("hidden" in row for row in roomy)
    assert roomy[7].strip() == "ALL"
    low = shown(5, "Al", chosen=1, size=(40, 12), panel=replace(menu, choices=MANY))
    assert low[1].rstrip().endswith("… 4 hidden")
    assert low[2].strip() == "ALL"


MANY = tuple(Choice(says=word, leads=ToCard()) for word in "abcdef")


def test_beside_a_panel_each_lane_keeps_its_movement_where_all_have_room() -> None:
    menu = Menu(opener="more", title="MORE", choices=())
    for many, kept in ((5, 5), (12, 0)):
        lanes = [r[:48] for r in shown(many, "Al", chosen=1, size=(80, 24), panel=menu)]
        assert sum("A 1/2  FRONT SQUAT" in row for row in lanes) == kept
