"""Corrections: the count called aloud for one set, and the count moved by so much."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import (
    Correct,
    Entry,
    Freeze,
    GoOn,
    MoveOn,
    Rep,
    Stop,
    Unfreeze,
)
from judgekit.core.lane import fold
from judgekit.core.plan import SetKey
from judgekit.core.press import Act, Counted
from tests.support import ZERO_WALL, Played, for_time, simple, window

FIRST = SetKey(1, 1, 1)
ANOTHER = "Another set is on by now: nothing was corrected."


def two_windows() -> Played:
    """Ten squats in each of two windows of 30 s."""
    [squats] = simple().parts
    part = replace(squats, kind="window", length_ms=30_000)
    return Played(window(parts=(part, replace(part, id="B")))).go()


def test_the_count_called_is_the_count_whatever_was_still_being_saved() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4)
    called = Counted(to=4, set=FIRST)  # typed while two more were on their way
    played.each(Rep(), 6, 8)
    played.press(9, called)
    assert played.counts() == [(1, 1, 1, 4, 0)]
    assert played.refusals == ["That is the count already."]
    played.press(10, Rep())
    played.press(11, called)
    assert played.entries[-1].body == Correct(by=-1, said="4")
    assert played.counts() == [(1, 1, 1, 4, 0)]


def test_a_count_called_for_a_set_that_is_over_by_now_corrects_nothing() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6)
    played.press(7, Counted(to=2, set=FIRST))
    assert played.refusals == [ANOTHER]
    assert played.counts() == [(1, 1, 1, 3, 0)]


def test_after_the_last_rep_the_last_set_can_be_corrected() -> None:
    played = Played(simple(3)).go()
    played.each(Rep(), 2, 4, 6)
    played.press(8, Counted(to=2, set=FIRST))
    assert played.counts() == [(1, 1, 1, 2, 0)]
    assert played.lane.work.cursor == FIRST


def test_a_count_that_does_not_fit_the_set_on_screen_moves_no_other() -> None:
    played = two_windows()
    played.each(Rep(), 3, 6, 9, 12, 15)
    played.each(Rep(), *range(33, 57, 3))
    played.press(57.5, Counted(to=12, set=SetKey(2, 1, 1)))
    assert played.refusals == ["Front squat: the count goes from 0 to 10 in this set."]
    played.press(58, Counted(to=9, set=SetKey(2, 1, 1)))
    assert played.counts() == [(1, 1, 1, 5, 0), (2, 1, 1, 9, 0)]


def test_a_count_belongs_to_the_window_that_the_clock_has_on() -> None:
    played = two_windows()
    played.each(Rep(), 3, 6)
    played.press(30.2, Counted(to=3, set=FIRST))
    assert played.refusals == [ANOTHER]
    played.press(30.3, Counted(to=1, set=SetKey(2, 1, 1)))
    assert played.counts() == [(1, 1, 1, 2, 0), (2, 1, 1, 1, 0)]


@pytest.mark.parametrize("act", [Counted(to=4, set=FIRST), Correct(by=1, said="4")])
@pytest.mark.parametrize(
    ("hold", "says", "resumed"),
    [
        (Freeze(why="rope"), "Frozen", Unfreeze(by_mistake=False)),
        (Stop(), "Stopped", GoOn(by_mistake=False, by="head judge")),
    ],
    ids=["freeze", "stop"],
)
def test_nothing_is_corrected_during_a_hold(
    act: Act, hold: Act, says: str, resumed: Act
) -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4, 6)
    played.press(8, hold)
    played.each(Rep(), 10, 12)
    played.press(14, act)
    assert played.refusals == [f"{says}: correct the count when work goes on."]
    played.press(16, resumed)
    played.press(17, act)
    assert played.counts() == [(1, 1, 1, 4, 0)]


def test_a_log_that_holds_a_correction_under_a_hold_is_folded_as_ever() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4)
    played.press(6, Freeze(why="rope"))
    earlier = Entry(
        book="b",
        number=len(played.entries) + 1,
        lane=played.plan.lane,
        at=8000,
        wall=ZERO_WALL + 8000,
        who="kb",
        set=FIRST,
        body=Correct(by=1, said="3"),
    )
    lane = fold(played.plan, [*played.entries, earlier])
    assert lane.work.good == 2
    assert lane.onward is not None
    assert lane.onward.good == 3


def test_a_monitors_count_is_corrected_in_its_own_unit() -> None:
    played = Played(for_time(parts=for_time().parts[2:])).go()
    row = SetKey(1, 1, 1)
    played.press(2, MoveOn(why="machine broke"))
    played.press(3, Counted(to=2, set=row))
    assert played.refusals == [ANOTHER]
    fresh = Played(for_time(parts=for_time().parts[2:])).go()
    fresh.press(3, Counted(to=2, set=row))
    assert fresh.counts() == [(1, 1, 1, 2, 0)]
