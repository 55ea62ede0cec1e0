"""The hall's clock says what time it is: every time since the newest go follows."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from itertools import pairwise
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.decide import decide
from judgekit.core.entry import (
    Accept,
    Entry,
    Freeze,
    Gap,
    Go,
    Rep,
    Rule,
    Stop,
    TakeBack,
    Time,
    WallSet,
)
from judgekit.core.errors import Refusal
from judgekit.core.lane import empty, evolve, fold, own_ms
from judgekit.core.plan import SetKey
from judgekit.core.press import Act, Called, Press, TakeBackOne
from judgekit.core.ruling import RepsInSet, StartBy
from judgekit.ui.views.history import stamped
from tests.support import ZERO_WALL, Played, for_time, simple, window

if TYPE_CHECKING:
    from judgekit.core.state import Lane

RULED = Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=1), why="seen on video")
PLANS = st.sampled_from([for_time(), window(), simple(12)])
PRESSES = st.lists(
    st.tuples(
        st.integers(300, 40_000),
        st.sampled_from(
            [
                *(Rep(), Rep(), Rep(), Called(fault="depth"), TakeBackOne()),
                *(Stop(), Time(), RULED),
            ]
        ),
    ),
    min_size=1,
    max_size=25,
)


def played_with(plan_presses: list[tuple[int, Act]], plan: object) -> Played:
    played = Played(plan).go()  # type: ignore[arg-type]
    now = 60_000
    for gap, act in plan_presses:
        now += gap
        played.press(now / 1000, act)
    return played


def at_of(lane: Lane) -> list[int]:
    return [a.at for a in lane.work.attempts]


def timeless(lane: Lane) -> Lane:
    """What a lane is worth, without the log it came from."""
    return replace(lane, entries=(), moved={}, zero_moved_ms=0, stops=())


@settings(max_examples=150, deadline=None)
@given(PLANS, PRESSES, st.integers(0, 24), st.integers(-50_000, 50_000))
def test_a_set_clock_is_the_same_log_with_moved_stamps(
    plan: object, presses: list[tuple[int, Act]], where: int, by: int
) -> None:
    entries = played_with(presses, plan).entries
    cut = min(2 + where, len(entries))
    at = entries[cut - 1].at or 0
    wall = Entry(
        book="wall",
        number=1,
        lane=None,
        at=at,
        wall=ZERO_WALL + at,
        who="kb",
        set=None,
        body=WallSet(shows_ms=at + by),
    )
    later = [e if e.at is None else replace(e, at=e.at + by) for e in entries[cut:]]
    moved = [e if e.at is None else replace(e, at=e.at + by) for e in entries[:cut]]
    plan_ = Played(plan).plan  # type: ignore[arg-type]
    logged = [*entries[:cut], wall, *later]
    with_set = fold(plan_, logged)
    # Called by the clock itself, time stays the clock's own.
    if not any(isinstance(e.body, Time) for e in entries[:cut]):
        assert timeless(with_set) == timeless(fold(plan_, [*moved, *later]))
    assert reduce(evolve, logged, empty(plan_)) == with_set
    assert with_set.zero_moved_ms == by


def test_reps_splits_and_holds_follow_and_stored_stamps_stay() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 10, 12, 14)
    played.press(20, WallSet(shows_ms=23_000))
    played.press(25, Rep())
    lane = played.lane
    assert at_of(lane) == [13_000, 15_000, 17_000, 25_000]
    assert [e.at for e in lane.entries][2:] == [10_000, 12_000, 14_000, 20_000, 25_000]
    (squats, _) = lane.work.sets
    assert (squats.first_ms, squats.done_ms) == (13_000, 17_000)
    assert lane.when(lane.entries[5]) == 23_000


def test_the_cap_comes_by_the_moved_clock() -> None:
    played = Played(simple(10, cap_ms=60_000)).go()
    played.press(50, Rep())
    played.press(58, WallSet(shows_ms=50_000))
    played.press(60, Rep())
    assert [(a.at, a.counts) for a in played.lane.work.attempts] == [
        (42_000, True),
        (60_000, True),
    ]


def test_the_rest_begins_and_ends_by_the_moved_clock() -> None:
    played = Played(for_time()).go()
    for second in range(10, 20):
        played.press(second, Rep())
    rest = played.lane.work.rests[0]
    played.press(30, WallSet(shows_ms=32_500))
    (moved,) = played.lane.work.rests
    assert (moved.from_ms - rest.from_ms, moved.until_ms - rest.until_ms) == (
        2500,
        2500,
    )


def test_two_settings_one_after_the_other_add_up() -> None:
    played = Played(simple()).go()
    played.press(10, Rep())
    played.press(20, WallSet(shows_ms=25_000))
    played.press(30, Rep())
    played.press(40, WallSet(shows_ms=39_000))
    assert at_of(played.lane) == [14_000, 29_000]
    assert played.lane.zero_moved_ms == 4000
    assert [played.lane.when(e) for e in played.lane.entries[3:]] == [
        24_000,
        29_000,
        39_000,
    ]


def test_nothing_from_before_a_gap_is_moved() -> None:
    """Coming back in another boot is a go of its own; before it the clock was right."""
    played = Played(simple()).go()
    played.press(10, Rep())
    played.put(Go(boot="next", boot_ms=5, zero_ms=ZERO_WALL), 40_000)
    played.put(Gap(off_ms=1000, why="opened in another boot"), 40_000)
    played.press(50, Rep())
    played.press(60, WallSet(shows_ms=57_000))
    assert at_of(played.lane) == [10_000, 47_000]
    assert played.lane.zero_moved_ms == -3000


def test_a_late_start_keeps_its_own_clock() -> None:
    played = Played(simple()).go()
    played.press(10, Go(boot="b", boot_ms=0, zero_ms=0, offset_ms=10_000))
    lane = played.lane
    entry = lane.entries[-1]
    late = replace(entry, lane=lane.plan.lane)
    entries = [*lane.entries[:-1], late]
    before = fold(lane.plan, entries)
    wall = replace(late, number=9, lane=None, at=20_000, body=WallSet(shows_ms=21_000))
    after = fold(lane.plan, [*entries, wall])
    assert own_ms(before, 15_000) == 5000
    assert own_ms(after, 16_000) == 5000


def test_a_take_back_is_late_or_not_by_the_same_clock() -> None:
    played = Played(simple()).go()
    played.press(10, Rep())
    played.press(11, WallSet(shows_ms=111_000))
    played.press(112, TakeBackOne())
    (taken,) = played.lane.taken_back
    assert not taken.late
    assert isinstance(played.entries[-1].body, TakeBack)


def test_an_older_entry_is_found_by_the_time_it_has_now() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 10, 13)
    played.press(20, WallSet(shows_ms=25_000))
    played.press(30, TakeBackOne(at=15_000))
    assert [taken.target.number for taken in played.lane.taken_back] == [3]
    played.press(31, TakeBackOne(at=13_000))
    assert played.refusals == ["Nothing to take back."]


def test_a_moved_start_and_a_set_clock_add_up() -> None:
    played = Played(simple()).go()
    played.press(10, Rep())
    played.press(20, WallSet(shows_ms=25_000))
    played.press(30, Rule(effect=StartBy(by_ms=2000), why="late horn"))
    assert at_of(played.lane) == [13_000]


def test_a_signed_scorecard_keeps_its_times() -> None:
    played = Played(simple(1)).go()
    played.press(10, Rep())
    for who in ("athlete", "judge"):
        played.press(20, Accept(who=who, signed=True))
    signed = played.lane
    refused = decide(signed, Press(at=30_000, act=WallSet(shows_ms=31_000)))
    assert isinstance(refused, Refusal)
    played.put(WallSet(shows_ms=31_000), 30_000)
    assert timeless(played.lane) == replace(timeless(signed), zero_moved_ms=0)


def test_what_cannot_be_is_refused_in_words() -> None:
    played = Played(simple())
    says = []
    for at, shows in ((None, 1000), (-5000, 1000), (20_000, -1), (20_000, 7999)):
        decided = decide(played.lane, Press(at=at, act=WallSet(shows_ms=shows)))
        says.append(decided.says if isinstance(decided, Refusal) else "")
        if len(says) == 2:
            played.go().press(12, Rep())
    assert says == [
        "The clock has not started yet.",
        "The clock has not started yet.",
        "A wall clock shows no time before the start.",
        "At 0:07 the first judgement would lie before the start.",
    ]
    least = decide(played.lane, Press(at=20_000, act=WallSet(shows_ms=8000)))
    assert not isinstance(least, Refusal)


def test_a_frozen_lane_takes_the_time_too() -> None:
    played = Played(simple()).go()
    played.press(10, Freeze())
    played.press(12, WallSet(shows_ms=15_000))
    assert [hold.at for hold in played.lane.holds] == [13_000]


@given(st.lists(st.tuples(st.integers(1, 9000), st.integers(-9000, 9000)), max_size=8))
def test_distances_between_stamps_never_change(steps: list[tuple[int, int]]) -> None:
    """Only the setting itself makes a step; before and after it time runs as it did."""
    played = Played(simple(100)).go()
    boot, zero = 100_000, 0
    pressed = []
    for gap, by in steps:
        boot += gap
        played.press((boot - zero) / 1000, Rep())
        pressed.append(boot)
        at = boot - zero
        many = len(played.entries)
        played.press(at / 1000, WallSet(shows_ms=at + by))
        zero -= by if len(played.entries) > many else 0
    apart = [b - a for a, b in pairwise(pressed)]
    assert [b - a for a, b in pairwise(at_of(played.lane))] == apart


def test_a_ruling_stands_where_it_stood_on_the_clock_that_was_set_since() -> None:
    """Else the reps after it would be numbered as if it had come before them."""
    played = Played(simple()).go()
    played.each(Rep(), 10, 20)
    played.press(25, RULED)
    before = stamped(played.lane, played.entries[2])
    played.press(30, WallSet(shows_ms=90_000))
    assert [c.at for c in played.lane.work.corrections] == [85_000]
    after = stamped(played.lane, played.entries[2])
    assert (before.split()[1:], after.split()[1:]) == (["rep", "1"], ["rep", "1"])
