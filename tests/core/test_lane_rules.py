"""Rules that hold for every sequence of presses, whatever a judge does."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core import looking
from judgekit.core.decide import decide
from judgekit.core.entry import (
    Accept,
    BackTo,
    Body,
    CloseCall,
    Correct,
    Cue,
    Extra,
    Freeze,
    Go,
    GoOn,
    Horn,
    MoveOn,
    NameFault,
    NoRep,
    PutBack,
    Reading,
    Recall,
    Rep,
    Rule,
    Stop,
    TakeBack,
    Time,
    Unfreeze,
    Withdraw,
)
from judgekit.core.lane import empty, evolve, fold
from judgekit.core.plan import Plan, PlanPart, SetKey
from judgekit.core.press import (
    Act,
    AnswerExtra,
    AnswerHorn,
    Called,
    CountAgain,
    Counted,
    GoBack,
    Name,
    Press,
    RuleAt,
    TakeBackOne,
    WasClose,
)
from judgekit.core.ruling import (
    Close,
    Ref,
    Reopen,
    RepsInSet,
    RestoreAttempt,
    StartBy,
    VoidAttempt,
)
from judgekit.core.score import score
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from tests.format_plans import FORMATS
from tests.support import Played, for_time, simple, window

MOMENTS = st.integers(0, 40).map(lambda s: s * 1000)
ACTS: st.SearchStrategy[Act] = st.one_of(
    st.just(Rep()),
    st.just(Rep()),
    st.just(Rep()),
    st.just(Rep()),
    st.builds(Rep, n=st.integers(1, 4)),
    st.builds(Called, fault=st.sampled_from(["depth", "lock", "nothing"])),
    st.just(NoRep()),
    st.just(Cue(fault="heels")),
    st.builds(Reading, shows=st.integers(0, 6)),
    st.just(TakeBackOne()),
    st.builds(TakeBackOne, at=MOMENTS),
    st.just(CountAgain()),
    st.builds(CountAgain, at=MOMENTS),
    st.builds(Correct, by=st.integers(-3, 3), said=st.just("aloud")),
    st.builds(
        Counted,
        to=st.integers(0, 5),
        set=st.sampled_from([SetKey(1, 1, 1), SetKey(1, 1, 2), SetKey(3, 1, 1)]),
    ),
    st.just(MoveOn(why="short")),
    st.just(GoBack(why="back")),
    st.builds(WasClose, at=st.none() | MOMENTS),
    st.builds(AnswerExtra, yes=st.booleans(), at=st.none() | MOMENTS),
    st.just(Stop()),
    st.builds(GoOn, by_mistake=st.booleans(), by=st.just("head judge")),
    st.just(Freeze()),
    st.builds(Unfreeze, by_mistake=st.booleans()),
    st.builds(AnswerHorn, counts=st.booleans()),
    st.builds(RuleAt, restore=st.booleans(), at=MOMENTS, why=st.just("video")),
    st.builds(
        lambda by, key: Rule(effect=RepsInSet(set=key, by=by), why="video"),
        st.integers(-2, 2),
        st.sampled_from([SetKey(1, 1, 1), SetKey(1, 1, 2), SetKey(3, 1, 1)]),
    ),
    st.builds(
        lambda by: Rule(effect=StartBy(by_ms=by), why="late"),
        st.integers(-9000, 9000),
    ),
    st.builds(
        Accept,
        who=st.sampled_from(["athlete", "judge"]),
        signed=st.booleans(),
    ),
    st.just(Rule(effect=Reopen(), why="appeal")),
    st.just(Time()),
    st.just(Withdraw()),
    st.builds(Bar, load=st.sampled_from(["60 kg", "135 lb"])),
    st.just(Bar(load="", confirmed=True)),
    st.just(HoldOn()),
    st.builds(HoldOff, faults=st.sampled_from([(), ("depth",)])),
    st.just(Works(bib="31")),
)
# Whole seconds, so that acts that name a moment find something there.
PRESSES = st.lists(
    st.tuples(st.integers(0, 20).map(lambda s: s * 1000), ACTS),
    min_size=1,
    max_size=40,
)
JUDGING = st.lists(
    st.tuples(
        st.integers(500, 4000),
        st.one_of(
            st.just(Rep()),
            st.builds(Called, fault=st.sampled_from(["depth", "lock"])),
            st.just(TakeBackOne()),
            st.just(CountAgain()),
            st.builds(Correct, by=st.integers(-2, 2), said=st.just("aloud")),
        ),
    ),
    min_size=1,
    max_size=20,
)


def two_windows() -> Plan:
    """A window of 30 s, half a minute of rest, and another window."""
    part = window().parts[0]
    short = replace(part, length_ms=30_000)
    rest = PlanPart(id="", kind="rest", length_ms=30_000)
    return window(parts=(short, rest, short, replace(for_time().parts[0], id="C")))


PLAIN = (for_time(), window(), simple(5), for_time(cap_ms=90_000), two_windows())
PLANS = st.one_of(st.sampled_from(PLAIN), st.sampled_from([*FORMATS.values()]))


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
@given(JUDGING, st.sampled_from(["depth", "lock"]))
def test_a_no_rep_never_changes_the_count(
    presses: list[tuple[int, Act]], fault: str
) -> None:
    played = play(simple(500), presses)
    before = [s.good for s in played.lane.work.sets if s.good]
    tried = len(played.lane.work.attempts)
    now = sum(gap for gap, _ in presses)
    played.press(now / 1000 + 3, Called(fault=fault))
    played.press(now / 1000 + 6, NoRep())
    assert len(played.lane.work.attempts) == tried + 2
    assert [s.good for s in played.lane.work.sets if s.good] == before


@settings(max_examples=150, deadline=None)
@given(PLANS, PRESSES)
def test_take_back_then_count_again_is_the_identity(
    plan: Plan, presses: list[tuple[int, Act]]
) -> None:
    played = play(plan, presses)
    before = (played.lane.work, played.lane.onward, played.lane.horn_asks)
    many = len(played.entries)
    now = sum(gap for gap, _ in presses) / 1000
    played.press(now + 1, TakeBackOne())
    if len(played.entries) > many:
        refused = len(played.refusals)
        played.press(now + 2, CountAgain())
        if len(played.refusals) > refused:
            # Only what a ruling restored can have taken the room of what was undone.
            assert any(isinstance(act, RuleAt) for _, act in presses)
            assert "it cannot take this again" in played.refusals[-1]
            return
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


@settings(max_examples=150, deadline=None)
@given(st.sampled_from([for_time(), window(), simple(5)]), JUDGING)
def test_a_stop_by_mistake_never_loses_a_press(
    plan: Plan, presses: list[tuple[int, Act]]
) -> None:
    # A correction is no press to be held: a stop refuses it.
    presses = [made for made in presses if not isinstance(made[1], Correct)]
    plain = play(plan, presses)
    stopped = Played(plan).go()
    stopped.press(0, Stop())
    now = 0
    for gap, act in presses:
        now += gap
        stopped.press(now / 1000, act)
    stopped.press(now / 1000 + 1, GoOn(by_mistake=True))
    counted = [(s.key, s.good, s.no_reps) for s in stopped.lane.work.sets]
    assert counted == [(s.key, s.good, s.no_reps) for s in plain.lane.work.sets]


@settings(max_examples=150, deadline=None)
@given(PLANS, PRESSES)
def test_nothing_counts_after_the_horn_unasked(
    plan: Plan, presses: list[tuple[int, Act]]
) -> None:
    played = play(plan, presses)
    line = looking.line_of(played.lane)
    restored = {"restored"}
    for attempt in played.lane.work.attempts:
        horn = line.horn(attempt.set)
        if attempt.counts and horn is not None and not restored & set(attempt.marks):
            assert attempt.at <= horn


REFS = st.builds(Ref, st.sampled_from(["b", "b", "b", "z"]), st.integers(-1, 40))
KEYS = st.builds(SetKey, st.integers(0, 4), st.integers(0, 3), st.integers(0, 3))
BODIES: st.SearchStrategy[Body] = st.one_of(
    st.builds(Rep, n=st.integers(1, 5)),
    st.builds(NoRep, faults=st.sampled_from([(), ("depth",), ("nope",)])),
    st.builds(NameFault, target=REFS, fault=st.just("lock")),
    st.builds(Reading, shows=st.integers(0, 9)),
    st.builds(TakeBack, target=REFS),
    st.builds(PutBack, target=REFS),
    st.builds(Extra, target=REFS, one_too_many=st.booleans()),
    st.builds(CloseCall, target=REFS),
    st.builds(Correct, by=st.integers(-3, 3), said=st.just("x")),
    st.just(MoveOn(why="x")),
    st.just(BackTo(why="x")),
    st.builds(Bar, load=st.sampled_from(["60 kg", "x"]), confirmed=st.booleans()),
    st.just(HoldOn()),
    st.builds(HoldOff, faults=st.sampled_from([(), ("nope",)])),
    st.just(Works(bib="31")),
    st.builds(Horn, target=REFS, counts=st.booleans()),
    st.sampled_from([Stop(), Freeze(), Time(), Withdraw(), Recall()]),
    st.builds(GoOn, by_mistake=st.booleans(), by=st.just("x")),
    st.builds(Unfreeze, by_mistake=st.booleans()),
    st.builds(
        Go,
        boot=st.just("b"),
        boot_ms=st.just(0),
        zero_ms=st.just(0),
        offset_ms=st.sampled_from([0, 3000]),
    ),
    st.builds(Accept, who=st.sampled_from(["athlete", "judge"]), signed=st.booleans()),
    st.builds(
        Rule,
        effect=st.one_of(
            st.builds(RepsInSet, set=KEYS, by=st.integers(-3, 3)),
            st.builds(StartBy, by_ms=st.integers(-4000, 4000)),
            st.builds(VoidAttempt, target=REFS),
            st.builds(RestoreAttempt, target=REFS),
            st.sampled_from([Reopen(), Close()]),
        ),
        why=st.just("x"),
    ),
)
LOGS = st.lists(
    st.tuples(st.none() | KEYS, st.none() | st.integers(-5000, 90_000), BODIES),
    max_size=30,
)


@settings(max_examples=300, deadline=None)
@given(PLANS, LOGS)
def test_any_log_whatever_folds_the_same_step_by_step_and_stays_in_bounds(
    plan: Plan, log: list[tuple[SetKey | None, int | None, Body]]
) -> None:
    played = Played(plan).go()
    start = played.entries[-1]
    entries = list(played.entries)
    for number, (key, at, body) in enumerate(log, 3):
        entries.append(replace(start, number=number, lane=4, at=at, set=key, body=body))
    lane = fold(plan, entries)
    assert reduce(evolve, entries, empty(plan)) == lane
    assert all(0 <= done.good <= done.target for done in lane.work.sets)
    score(lane)
    for act in (Called(fault="lock"), TakeBackOne(), CountAgain(), Name(fault="lock")):
        decide(lane, Press(at=95_000, act=act))


@pytest.mark.parametrize("mistake", [True, False])
def test_a_press_that_a_freeze_overtook_counts_by_its_own_time(mistake: bool) -> None:
    lane = Played(simple(10)).go()
    lane.press(1, Rep())
    lane.press(6, Freeze())
    lane.press(8, Rep())
    # Their lane was named after the freeze.
    lane.press(3, Rep())
    lane.press(5, Called(fault="depth"))
    frozen = lane.lane
    assert [(a.at, a.good) for a in frozen.work.attempts] == [
        (1000, True),
        (3000, True),
        (5000, False),
    ]
    assert (frozen.work.good, frozen.held) == (2, 1)
    assert [a.at for a in looking.work_now(frozen).attempts] == [1000, 3000, 5000, 8000]
    lane.press(9, Unfreeze(by_mistake=mistake))
    attempts = lane.lane.work.attempts
    assert [(a.at, a.counts, a.marks) for a in attempts if a.good] == [
        (1000, True, ()),
        (3000, True, ()),
        (8000, mistake, ("held",) if mistake else ("held", "not counted")),
    ]
    assert lane.lane.work.good == 2 + mistake
    assert fold(lane.plan, lane.entries) == lane.lane
    # Undone, it is gone from both.
    lane.press(10, TakeBackOne(at=3000))
    assert lane.lane.work.good == 1 + mistake


def test_nothing_comes_before_a_stop_once_somebody_signed_under_it() -> None:
    lane = Played(simple(10)).go()
    lane.press(1, Rep())
    lane.press(6, Stop())
    lane.press(8, Accept(who="athlete", signed=True))
    lane.press(5, Rep())
    lane.press(9, Accept(who="judge", signed=True))
    # The athlete signed another count, so theirs is asked for again.
    assert [signed.who for signed in lane.lane.signatures] == ["judge"]
    assert not lane.lane.closed
    assert (lane.lane.work.good, lane.lane.held) == (1, 1)
    assert fold(lane.plan, lane.entries) == lane.lane


def test_a_stop_said_once_more_with_its_sign_is_still_the_same_stop() -> None:
    lane = Played(for_time()).go()
    lane.press(3, Rep())
    lane.press(4, Stop())
    lane.press(5, Stop())
    assert lane.refusals == ["Stopped already, at 0:04."]
    lane.press(9, Stop(sign="Sharp pain"))
    stopped = lane.lane
    assert [(stop.at, stop.body) for stop in stopped.stops] == [
        (4000, Stop(sign="Sharp pain"))
    ]
    assert [(hold.kind, hold.at) for hold in stopped.holds] == [("stop", 4000)]
    assert fold(lane.plan, lane.entries) == stopped
