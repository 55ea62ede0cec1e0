"""Rulings during a hold and after it: they move the score, which stands from before."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.entry import (
    Accept,
    Freeze,
    GoOn,
    NoRep,
    Rep,
    Rule,
    Stop,
    Unfreeze,
)
from judgekit.core.lane import fold
from judgekit.core.plan import SetKey
from judgekit.core.press import Act, Name, RuleAt, TakeBackOne
from judgekit.core.ruling import RepsInSet
from tests.support import Played, for_time, simple

if TYPE_CHECKING:
    from judgekit.core.plan import Plan

FIRST = SetKey(1, 1, 1)
LET_GO = GoOn(by_mistake=False, by="head judge")
MISTAKE = GoOn(by_mistake=True)
DROPPED = Unfreeze(by_mistake=False)
RESUMED = Unfreeze(by_mistake=True)
HARMLESS = (Rep(), Rep(), Rep(), NoRep(), TakeBackOne())


def reps(by: int, key: SetKey = FIRST) -> Rule:
    return Rule(effect=RepsInSet(set=key, by=by), why="video")


def held(*later: float) -> Played:
    """Three squats, STOP, and what was pressed under it."""
    played = Played(simple()).go()
    played.each(Rep(), 2, 4, 6)
    played.press(8, Stop())
    played.each(Rep(), *later)
    return played


def goods(played: Played) -> tuple[int, int | None]:
    """The score's count, and the one that goes on under a hold."""
    lane = played.lane
    return lane.work.good, None if lane.onward is None else lane.onward.good


def test_a_ruling_moves_the_score_of_a_scorecard_signed_under_a_stop() -> None:
    played = held()
    played.press(60, Accept(who="athlete", signed=True))
    played.press(61, Accept(who="judge", signed=True))
    assert played.lane.closed
    played.press(300, reps(2))
    assert goods(played) == (5, 5)
    assert [c.by for c in played.lane.work.corrections] == [2]
    assert played.lane.amended
    assert played.lane.accepted is not None
    assert played.lane.accepted.work.good == 3
    assert fold(played.plan, played.entries) == played.lane


@pytest.mark.parametrize(
    ("release", "good"), [(LET_GO, 5), (MISTAKE, 7)], ids=["let go", "mistake"]
)
def test_a_ruling_under_a_stop_stays_when_work_goes_on(release: Act, good: int) -> None:
    played = held(12, 14)
    played.press(20, reps(2))
    assert goods(played) == (5, 7)
    played.press(30, release)
    assert goods(played) == (good, None)
    assert fold(played.plan, played.entries) == played.lane


@pytest.mark.parametrize(
    ("release", "good"), [(LET_GO, 2), (MISTAKE, 3)], ids=["let go", "mistake"]
)
def test_an_attempt_voided_under_a_stop_stays_so(release: Act, good: int) -> None:
    played = held(12)
    played.press(20, RuleAt(restore=False, at=4000, why="video"))
    assert goods(played) == (2, 3)
    assert [a.counts for a in played.lane.work.attempts] == [True, False, True]
    played.press(30, release)
    assert goods(played) == (good, None)
    assert played.lane.work.attempts[1].marks == ("voided",)


def test_a_no_rep_restored_in_a_freeze_counts_at_once() -> None:
    played = Played(simple()).go()
    played.press(2, Rep())
    played.press(4, NoRep(faults=("depth",)))
    played.press(6, Freeze(why="rope"))
    played.press(8, RuleAt(restore=True, at=4000, why="video"))
    assert goods(played) == (2, 2)
    assert played.counts() == [(1, 1, 1, 2, 0)]
    played.press(10, DROPPED)
    assert goods(played) == (2, None)


def test_a_held_press_that_is_voided_was_never_of_the_score() -> None:
    played = held(12, 14)
    played.press(20, RuleAt(restore=False, at=12_000, why="video"))
    assert goods(played) == (3, 4)


def test_a_ruling_under_a_stop_is_bounded_by_the_score() -> None:
    played = held(12, 14)
    played.press(20, reps(-4))
    played.press(20, reps(8))
    assert played.refusals == [
        f"That set has 3 good and 7 left: it cannot move {by}." for by in ("-4", "+8")
    ]
    played.press(21, reps(7))
    assert goods(played) == (10, 10)


SETS = [SetKey(1, 1, 1), SetKey(1, 1, 2), SetKey(1, 2, 1)]
PRESSES = st.lists(
    st.tuples(
        st.integers(300, 4000),
        st.sampled_from(
            (*HARMLESS, Stop(), Freeze(), LET_GO, MISTAKE, RESUMED, DROPPED)
        ),
    ),
    min_size=3,
    max_size=25,
)


@settings(max_examples=200, deadline=None)
@given(
    st.sampled_from([simple(), for_time()]),
    PRESSES,
    st.integers(-4, 4),
    st.sampled_from(SETS),
)
def test_a_ruling_that_stands_moves_the_score_by_just_so_much(
    plan: Plan, presses: list[tuple[int, Act]], by: int, key: SetKey
) -> None:
    played, now = Played(plan).go(), 0
    for gap, act in presses:
        now += gap
        played.press(now / 1000, act)
    was, many = good_by_set(played), len(played.entries)
    played.press(now / 1000 + 1, reps(by, key))
    if len(played.entries) > many:
        was[key] = was.get(key, 0) + by
    assert good_by_set(played) == {key: good for key, good in was.items() if good}
    held_now = bool(played.lane.holds)
    played.each(LET_GO, now / 1000 + 2)
    played.each(DROPPED, now / 1000 + 2)
    if held_now:
        assert good_by_set(played) == {key: good for key, good in was.items() if good}
    assert fold(plan, played.entries) == played.lane


def good_by_set(played: Played) -> dict[SetKey, int]:
    return {s.key: s.good for s in played.lane.work.sets if s.good}


def test_a_reason_named_under_a_stop_stays_with_its_no_rep() -> None:
    played = Played(simple()).go()
    played.press(2, NoRep())
    played.press(3, Stop())
    played.press(4, Name(fault="depth"))
    [no_rep] = played.lane.work.attempts
    assert no_rep.faults == ("depth",)
    played.press(6, LET_GO)
    [no_rep] = played.lane.work.attempts
    assert no_rep.faults == ("depth",)
    assert fold(played.plan, played.entries) == played.lane


@pytest.mark.parametrize("restore", [True, False])
def test_a_ruling_on_a_no_rep_that_a_stop_dropped_leaves_the_others(
    *, restore: bool
) -> None:
    played = Played(simple()).go()
    played.press(2, NoRep(faults=("depth",)))
    played.press(4, Stop())
    played.press(6, NoRep(faults=("depth",)))
    played.press(8, LET_GO)
    assert played.counts() == [(1, 1, 1, 0, 1)]
    played.press(60, RuleAt(restore=restore, at=6000, why="video"))
    assert played.counts() == [(1, 1, 1, int(restore), 1)]
