"""Questions asked of a lane: which set is on by the clock, and which is short."""

from __future__ import annotations

from dataclasses import replace

from judgekit.core import looking
from judgekit.core.entry import MoveOn, Rep
from judgekit.core.plan import Plan, PlanPart, SetKey
from judgekit.core.press import GoBack, TakeBackOne
from tests.support import Played, for_time, window

FIRST, SECOND = SetKey(1, 1, 1), SetKey(1, 1, 2)


def two_windows() -> Plan:
    """Five squats and eight toes-to-bar as often as fit into 30 s, twice."""
    part = replace(window().parts[0], length_ms=30_000)
    return window(parts=(part, replace(part, id="B")))


def short(played: Played, at: int = 50_000) -> tuple[SetKey, int] | None:
    found = looking.left_short(played.lane, at)
    return None if found is None else (found.key, found.short)


def test_a_set_is_short_until_it_is_made_good() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6, 9, 12)
    assert short(played) is None
    played.press(15, TakeBackOne(at=6000))
    assert short(played) == (FIRST, 1)
    played.press(18, GoBack(why="one short", to=FIRST))
    assert short(played) is None  # it is the one under way
    played.press(21, Rep())
    assert (short(played), played.lane.work.cursor) == (None, SECOND)


def test_a_set_left_with_a_reason_is_not_asked_for() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6)
    played.press(9, MoveOn(why="sore hands"))
    assert short(played) is None


def test_of_several_short_sets_the_first_is_named() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 18)
    played.press(20, TakeBackOne(at=12_000))
    played.press(21, TakeBackOne(at=3000))
    assert short(played) == (FIRST, 1)


def test_a_window_that_is_over_is_short_of_nothing() -> None:
    played = Played(two_windows()).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 18)
    played.press(20, TakeBackOne(at=6000))
    assert short(played, 30_000) == (FIRST, 1)
    assert short(played, 30_001) is None
    played.press(33, Rep())
    assert short(played) is None


def test_the_clock_brings_the_next_window_on_and_stays_in_the_last() -> None:
    lane = Played(two_windows()).go().lane
    later = SetKey(2, 1, 1)
    assert [
        looking.by_the_clock(lane, FIRST, at) for at in (0, 30_000, 30_001, 90_000)
    ] == [FIRST, FIRST, later, later]


def test_work_and_not_the_clock_ends_a_part_done_for_rounds() -> None:
    lane = Played(for_time()).go().lane
    assert looking.by_the_clock(lane, FIRST, 700_000) == FIRST


def test_a_rest_after_a_window_belongs_to_what_follows() -> None:
    first, second = two_windows().parts
    rest = PlanPart(id="", kind="rest", length_ms=20_000)
    lane = Played(window(parts=(first, rest, second))).go().lane
    assert looking.by_the_clock(lane, FIRST, 30_001) == SetKey(3, 1, 1)


def test_a_correction_moves_the_window_on_by_the_clock_where_it_can() -> None:
    played = Played(two_windows()).go()
    played.each(Rep(), 3, 6)
    assert looking.correctable(played.lane, 1, 29_000) == FIRST
    assert looking.correctable(played.lane, 1, 31_000) == SetKey(2, 1, 1)
    assert looking.correctable(played.lane, -1, 31_000) == FIRST
