"""Rules that hold for every sequence of presses, whatever a judge does."""

from __future__ import annotations

from functools import reduce
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.entry import (
    Correct,
    Cue,
    Freeze,
    GoOn,
    MoveOn,
    NoRep,
    Reading,
    Rep,
    Stop,
    Unfreeze,
)
from judgekit.core.lane import empty, evolve, fold
from judgekit.core.press import (
    Act,
    AnswerHorn,
    Called,
    CountAgain,
    GoBack,
    TakeBackOne,
    WasClose,
)
from judgekit.core.score import score
from tests.support import Played, for_time, simple, window

if TYPE_CHECKING:
    from judgekit.core.plan import Plan

ACTS: st.SearchStrategy[Act] = st.one_of(
    st.just(Rep()),
    st.just(Rep()),
    st.just(Rep()),
    st.builds(Rep, n=st.integers(1, 4)),
    st.builds(Called, fault=st.sampled_from(["depth", "lock", "nothing"])),
    st.just(NoRep()),
    st.just(Cue(fault="heels")),
    st.builds(Reading, shows=st.integers(0, 6)),
    st.just(TakeBackOne()),
    st.just(CountAgain()),
    st.builds(Correct, by=st.integers(-3, 3), said=st.just("aloud")),
    st.just(MoveOn(why="short")),
    st.just(GoBack(why="back")),
    st.just(WasClose()),
    st.just(Stop()),
    st.builds(GoOn, by_mistake=st.booleans(), by=st.just("head judge")),
    st.just(Freeze()),
    st.builds(Unfreeze, by_mistake=st.booleans()),
    st.builds(AnswerHorn, counts=st.booleans()),
)
PRESSES = st.lists(st.tuples(st.integers(0, 40_000), ACTS), min_size=1, max_size=40)
PLANS = st.sampled_from([for_time(), window(), simple(5), for_time(cap_ms=200_000)])


def play(plan: Plan, presses: list[tuple[int, Act]]) -> Played:
    played = Played(plan).go()
    now = 0
    for gap, act in presses:
        now += gap
        played.press(now / 1000, act)
    return played


@settings(max_examples=150, deadline=None)
@given(PLANS, PRESSES)
def test_fold_equals_step_by_step(plan: Plan, presses: list[tuple[int, Act]]) -> None:
    played = play(plan, presses)
    assert fold(plan, played.entries) == played.lane
    assert reduce(evolve, played.entries, empty(plan)) == played.lane


@settings(max_examples=150, deadline=None)
@given(PLANS, PRESSES)
def test_every_prefix_keeps_counts_in_bounds_and_has_a_score(
    plan: Plan, presses: list[tuple[int, Act]]
) -> None:
    played = play(plan, presses)
    for length in range(len(played.entries) + 1):
        lane = fold(plan, played.entries[:length])
        for done in lane.work.sets:
            assert 0 <= done.good <= done.target
        result = score(lane)
        if result.status in ("waiting", "in progress"):
            assert result.rank_key is None
            assert result.provisional


@settings(max_examples=150, deadline=None)
@given(PLANS, PRESSES, st.sampled_from(["depth", "lock"]))
def test_a_no_rep_never_changes_the_count(
    plan: Plan, presses: list[tuple[int, Act]], fault: str
) -> None:
    played = play(plan, presses)
    before = [s.good for s in played.lane.work.sets if s.good]
    played.press(2_000, Called(fault=fault))
    played.press(2_001, NoRep())
    assert [s.good for s in played.lane.work.sets if s.good] == before


@settings(max_examples=150, deadline=None)
@given(PLANS, PRESSES)
def test_take_back_then_count_again_is_the_identity(
    plan: Plan, presses: list[tuple[int, Act]]
) -> None:
    played = play(plan, presses)
    before = (played.lane.work, played.lane.onward, played.lane.horn_asks)
    many = len(played.entries)
    played.press(2_000, TakeBackOne())
    if len(played.entries) > many:
        refused = len(played.refusals)
        played.press(2_001, CountAgain())
        assert len(played.refusals) == refused
    after = (played.lane.work, played.lane.onward, played.lane.horn_asks)
    assert after == before


@settings(max_examples=150, deadline=None)
@given(PLANS, PRESSES)
def test_an_entry_keeps_the_set_it_was_pressed_in(
    plan: Plan, presses: list[tuple[int, Act]]
) -> None:
    played = play(plan, presses)
    pressed = {e.ref: e.set for e in played.entries}
    work = played.lane.onward or played.lane.work
    for attempt in work.attempts:
        assert attempt.set == pressed[attempt.ref]


@settings(max_examples=100, deadline=None)
@given(PLANS, PRESSES)
def test_a_stop_never_loses_a_press(plan: Plan, presses: list[tuple[int, Act]]) -> None:
    plain = play(plan, presses)
    if plain.lane.holds or any(isinstance(a, (Stop, GoOn, Freeze)) for _, a in presses):
        return
    stopped = Played(plan).go()
    stopped.press(0, Stop())
    now = 0
    for gap, act in presses:
        now += gap
        stopped.press(now / 1000, act)
    stopped.press(now / 1000 + 1, GoOn(by_mistake=True))
    counted = [(s.key, s.good, s.no_reps) for s in stopped.lane.work.sets]
    assert counted == [(s.key, s.good, s.no_reps) for s in plain.lane.work.sets]
