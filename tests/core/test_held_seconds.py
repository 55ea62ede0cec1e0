"""Rulings and disputes about a hold: they name it by its time, and move its seconds."""

from __future__ import annotations

import pytest

from judgekit.core.entry import Dispute, Freeze, GoOn, Rule, Stop, Time, Unfreeze
from judgekit.core.lane import fold
from judgekit.core.plan import SetKey
from judgekit.core.press import Act, Called, DisputeAt, RuleAt, TakeBackOne
from judgekit.core.ruling import RepsInSet, RestoreAttempt, VoidAttempt
from judgekit.core.score import score
from judgekit.core.tryentry import HoldOff, HoldOn
from tests.format_plans import hold, rounds, workout
from tests.support import Played, movement


def held() -> Played:
    """From 0:02.0 to 0:47.9, ended by a fault: 45 s."""
    played = Played(workout(hold(), score="reading")).go()
    played.press(2, HoldOn())
    played.press(47.9, Called(fault="depth"))
    return played


def ruled(played: Played, seconds: float, *, restore: bool = False) -> Played:
    at = round(seconds * 1000)
    played.press(300, RuleAt(restore=restore, at=at, why="video"))
    assert fold(played.plan, played.entries) == played.lane
    return played


@pytest.mark.parametrize("at", [2, 47.9], ids=["beginning", "end"])
def test_a_hold_is_voided_and_restored_by_either_of_its_times(at: float) -> None:
    played = ruled(held(), at)
    assert played.refusals == []
    assert (played.counts(), score(played.lane).value) == ([(1, 1, 1, 0, 1)], 0)
    ruled(played, at, restore=True)
    # The fault that ended it still stands beside its seconds.
    assert (played.counts(), score(played.lane).value) == ([(1, 1, 1, 45, 1)], 45)


def test_a_hold_that_time_ended_has_no_entry_of_its_own_for_that() -> None:
    """From 0:02 to the call at 0:20 are 18 s."""
    played = Played(workout(hold(), score="reading")).go()
    played.press(2, HoldOn())
    played.press(20, Time())
    assert played.counts() == [(1, 1, 1, 18, 0)]
    assert ruled(played, 2).counts() == [(1, 1, 1, 0, 0)]


def test_of_two_holds_the_one_of_that_time_is_ruled_on() -> None:
    """4 s from 0:02, then 5 s from 0:10, of 12 that are due."""
    part = rounds(movement("plank", 12, unit="seconds"))
    played = Played(workout(part, score="time")).go()
    for begins, ends in ((2, 6), (10, 15)):
        played.press(begins, HoldOn())
        played.press(ends, HoldOff())
    assert ruled(played, 2).counts() == [(1, 1, 1, 5, 0)]
    assert ruled(played, 15).counts() == [(1, 1, 1, 0, 0)]


def test_a_hold_that_a_stop_ended_is_told_from_the_next_one() -> None:
    """8 s from 0:02 to the STOP, then 10 s from 0:20, of 30 that are due."""
    part = rounds(movement("plank", 30, unit="seconds"))
    played = Played(workout(part, score="time")).go()
    played.press(2, HoldOn())
    played.press(10, Stop(sign="dizzy"))
    played.press(12, GoOn(by_mistake=False, by="head judge"))
    played.press(20, HoldOn())
    # Under way, the new hold is not yet one that could be named.
    ruled(played, 20)
    assert played.refusals == ["No attempt is stamped 0:20.000."]
    played.press(30, HoldOff())
    assert played.counts() == [(1, 1, 1, 18, 0)]
    assert ruled(played, 2).counts() == [(1, 1, 1, 10, 0)]
    assert ruled(played, 20).counts() == [(1, 1, 1, 0, 0)]


def test_a_hold_that_came_to_nothing_is_none_of_the_next_one() -> None:
    part = rounds(movement("plank", 30, unit="seconds"))
    played = Played(workout(part, score="time")).go()
    played.press(2, Stop(sign="dizzy"))
    played.press(4, HoldOn())
    played.press(6, GoOn(by_mistake=False, by="head judge"))
    played.press(20, HoldOn())
    played.press(30, HoldOff())
    assert ruled(played, 4).counts() == [(1, 1, 1, 10, 0)]
    assert played.refusals == ["No attempt is stamped 0:04.000."]


def test_what_was_undone_and_what_has_not_ended_is_no_attempt() -> None:
    played = Played(workout(hold(), score="reading")).go()
    played.press(2, HoldOn())
    ruled(played, 2)
    played.press(10, HoldOff())
    played.press(11, TakeBackOne())
    ruled(played, 10)
    assert played.refusals == [
        "No attempt is stamped 0:02.000.",
        "No attempt is stamped 0:10.000.",
    ]


def test_a_hold_is_disputed_by_its_time_and_the_ruling_meets_it() -> None:
    played = held()
    end = played.entries[-1].ref
    played.press(60, DisputeAt(counts=False, at=2000, about="hips were down"))
    played.press(61, DisputeAt(counts=True, at=47_900, about="I stood still"))
    claims = [e.body.claims for e in played.entries if isinstance(e.body, Dispute)]
    assert claims == [VoidAttempt(target=end), RestoreAttempt(target=end)]
    ruled(played, 2)
    effects = [e.body.effect for e in played.entries if isinstance(e.body, Rule)]
    assert effects == [VoidAttempt(target=end)]


def test_a_ruling_under_a_stop_moves_the_seconds_that_the_stop_left() -> None:
    """A set of 30 s: 6 s held, then 8 s when the athlete is stopped at 0:20."""
    part = rounds(movement("plank", 30, unit="seconds"))
    played = Played(workout(part, score="time")).go()
    played.press(2, HoldOn())
    played.press(8, HoldOff())
    played.press(12, HoldOn())
    played.press(20, Stop(sign="dizzy"))
    assert played.counts() == [(1, 1, 1, 14, 0)]
    assert ruled(played, 2).counts() == [(1, 1, 1, 8, 0)]


# --- a freeze that came first to the log ----------------------------------------------


def frozen_at_30(*later: tuple[float, Act]) -> Played:
    """From 0:02 on a hold of 60 s, frozen at 0:30; then what was heard of later."""
    part = rounds(movement("plank", 60, unit="seconds"))
    played = Played(workout(part, score="time")).go()
    played.press(2, HoldOn())
    played.press(30, Freeze(why="the bar broke"))
    for at, act in later:
        played.press(at, act)
    assert fold(played.plan, played.entries) == played.lane
    return played


@pytest.mark.parametrize("mistake", [True, False])
def test_a_hold_let_go_before_a_freeze_ends_at_its_own_time(mistake: bool) -> None:
    played = frozen_at_30((12, Called(fault="depth")))
    assert (played.counts(), played.lane.held) == ([(1, 1, 1, 10, 1)], 0)
    played.press(40, Unfreeze(by_mistake=mistake))
    assert played.counts() == [(1, 1, 1, 10, 1)]
    assert [(a.at, a.faults, a.marks) for a in played.lane.work.attempts] == [
        (12_000, (), ()),
        (12_000, ("depth",), ()),
    ]
    assert fold(played.plan, played.entries) == played.lane


def test_a_hold_begun_before_a_freeze_has_its_seconds_until_then() -> None:
    """10 s until 0:12, then 9 s until the freeze, though both are heard of later."""
    played = frozen_at_30((12, HoldOff()), (21, HoldOn()))
    assert (played.counts(), played.lane.held) == ([(1, 1, 1, 19, 0)], 0)
    played.press(40, Unfreeze(by_mistake=False))
    assert played.counts() == [(1, 1, 1, 19, 0)]
    # The rest of it is held anew.
    played.press(50, HoldOn())
    played.press(91, HoldOff())
    assert score(played.lane).status == "finished"
    assert fold(played.plan, played.entries) == played.lane


def test_a_hold_goes_on_under_a_freeze_that_was_a_mistake() -> None:
    played = frozen_at_30((50, HoldOff()))
    assert (played.counts(), played.lane.held) == ([(1, 1, 1, 28, 0)], 1)
    played.press(55, Unfreeze(by_mistake=True))
    assert played.counts() == [(1, 1, 1, 48, 0)]


def test_what_a_freeze_cut_off_a_hold_is_given_by_a_ruling() -> None:
    played = frozen_at_30((50, HoldOff()), (55, Unfreeze(by_mistake=False)))
    assert played.counts() == [(1, 1, 1, 28, 0)]
    given = RepsInSet(set=SetKey(1, 1, 1), by=20)
    played.press(300, Rule(effect=given, why="held on under the freeze"))
    assert played.counts() == [(1, 1, 1, 48, 0)]
    assert fold(played.plan, played.entries) == played.lane
