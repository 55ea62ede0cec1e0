"""How a class did its sets, from lanes whose times are known."""

from __future__ import annotations

from dataclasses import replace
from itertools import accumulate
from typing import TYPE_CHECKING

from judgekit.core.entry import Rep
from judgekit.core.press import ReportSet
from judgekit.reports.chart import Splits
from judgekit.reports.classsets import sets_sections
from judgekit.review.lanepaces import lane_paces
from judgekit.review.pieces import lane_pieces
from tests.support import Played, simple

if TYPE_CHECKING:
    from judgekit.review.pieces import LanePieces

PLAN = simple(8)
BROKEN = (4, 2, 2, 2, 2, 9, 2, 2)
WHOLE = (4, 2, 2, 2, 2, 2, 2, 2)


def lane(
    *gaps: float, bib: str = "27", name: str = "Ines Varga", workout: str = "Quayside"
) -> LanePieces:
    plan = replace(
        simple(len(gaps)), bib=bib, name=name, workout=workout, workout_name=workout
    )
    played = Played(plan).go()
    for at in accumulate(gaps):
        played.press(at, Rep())
    return lane_pieces(played.lane)


def test_sets_are_told_by_movement_and_time_by_athlete() -> None:
    sets, usual, slower, times = sets_sections(
        [lane(*BROKEN), lane(*WHOLE, bib="31", name="Bo Lindt")], {}
    )
    (chart,) = sets.charts
    assert isinstance(chart, Splits)
    assert [(row.label, row.parts) for row in chart.rows] == [
        ("Front squat", (1, 1, 0))
    ]
    (table,) = usual.tables
    # The mean of 7 s and 0 s rested.
    assert table.rows == (("Front squat", "5 + 3, 1 of 1", None, "2.0", "3.5"),)
    # A picture's numbers stand in it; long tables wait until somebody asks.
    assert [one.closed for one in (sets, usual, slower, times)] == [False, *[True] * 3]
    assert "estimate" in sets.lines[0]
    (table,) = times.tables
    assert table.rows == (
        ("27 Ines Varga", 7, None),
        ("31 Bo Lindt", 0, None),
    )
    assert slower.is_empty
    assert times.lines == table.notes
    assert [column.key for column in table.columns][:2] == ["athlete", "rested"]


def slower(found: LanePieces) -> list[int]:
    """By how many per cent its one movement took longer at the end: from, to."""
    (pace,) = lane_paces(found)
    assert pace.slowing is not None
    of = pace.slowing
    return [round(100 * (part - 1)) for part in (of.ratio, of.low, of.high)]


def test_who_is_surely_slower_at_the_end_is_named_with_where_it_lies() -> None:
    slow = lane(4, *[2, 2.1, 1.9, 2.05] * 2, *[2.4, 2.5] * 4, *[3, 3.1, 2.9, 3.05] * 2)
    slowest = lane(4, *[2, 2.1, 1.9, 2.05] * 2, *[2.4, 2.5] * 4, *[3.2, 3.3] * 4)
    even = lane(4, *[2, 2.1, 1.9, 2.05] * 6)
    _, _, told, _ = sets_sections(
        [slow, replace(slow, worked=()), even, slowest],
        {},
    )
    (row,) = told.rows
    assert row.label == "Front squat"
    assert row.says == ", ".join(
        f"27 Ines Varga {by} % ({low} to {high})"
        for by, low, high in map(slower, (slowest, slow))
    )
    by, low, high = slower(slow)
    assert 30 < low < by == 49 < high < 70


def test_beside_who_became_slower_stands_that_they_were_stopped() -> None:
    slow = lane(4, *[2, 2.1, 1.9, 2.05] * 2, *[2.4, 2.5] * 4, *[3, 3.1, 2.9, 3.05] * 2)
    key = (slow.facts.plan.heat, slow.facts.plan.lane)
    _, _, told, _ = sets_sections(
        [slow], {key: "stopped at 2:29", ("9", 9): "withdrew"}
    )
    (row,) = told.rows
    assert row.says.endswith("; stopped at 2:29)")
    assert "withdrew" not in row.says


def test_two_workouts_are_told_apart() -> None:
    first, second = lane(*WHOLE), lane(*WHOLE, workout="Wheel")
    _, _, _, *times = sets_sections([first, second], {})
    assert [section.title for section in times] == [
        "Where the time went: Quayside",
        "Where the time went: Wheel",
    ]
    assert [len(section.tables[0].rows) for section in times] == [1, 1]


def test_what_was_reported_has_no_times_and_no_section() -> None:
    played = Played(replace(PLAN, watching="reported")).go()
    played.press(30, ReportSet(n=8))
    assert all(
        section.is_empty for section in sets_sections([lane_pieces(played.lane)], {})
    )
