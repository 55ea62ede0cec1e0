"""Streaks of one set are folded in one go, and to what each entry alone would make."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.entry import (
    Accept,
    Body,
    Claim,
    Correct,
    Cue,
    Entry,
    Freeze,
    Go,
    NoRep,
    Rep,
    Rule,
    TakeBack,
    Unfreeze,
)
from judgekit.core.lane import empty, evolve, fold
from judgekit.core.people import EarlyStart
from judgekit.core.plan import Plan, SetKey
from judgekit.core.ruling import Ref, RepsInSet, StartBy
from judgekit.core.running import Running
from tests.format_plans import FORMATS
from tests.support import for_time, movement, simple, window

_PARTS = for_time().parts
_SHORT = replace(window().parts[0], length_ms=30_000)
_RESTED = (
    replace(_PARTS[0], rounds=1, movements=(movement("row", 2),)),
    replace(_PARTS[1], length_ms=9000),
    replace(_PARTS[0], movements=(movement("row", 8),)),
)
PLANS = (
    simple(8),
    simple(30, cap_ms=40_000),
    for_time(early_start="seconds"),
    for_time(
        parts=(replace(_PARTS[0], movements=(movement("row", 6),)), *_PARTS[1:]),
    ),
    *(for_time(early_start=early, parts=_RESTED) for early in get_args(EarlyStart)),
    window(parts=(_SHORT, replace(_PARTS[1], length_ms=9000), _SHORT)),
    *FORMATS.values(),
)
BODIES: st.SearchStrategy[Body] = st.one_of(
    *[st.just(Rep())] * 6,
    *[st.just(NoRep(faults=("depth",)))] * 2,
    st.just(NoRep()),
    st.just(Rep(n=2)),
    st.just(Cue(fault="heels")),
    st.builds(TakeBack, target=st.builds(Ref, st.just("b1"), st.integers(3, 40))),
    st.builds(Correct, by=st.integers(-2, 2), said=st.just("aloud")),
    st.just(Freeze()),
    st.builds(Unfreeze, by_mistake=st.booleans()),
    st.builds(Accept, who=st.sampled_from(["athlete", "judge"]), signed=st.just(True)),
    st.builds(
        lambda by: Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=by), why="video"),
        st.integers(-2, 2),
    ),
    st.builds(
        lambda by: Rule(effect=StartBy(by_ms=by), why="late"), st.integers(-900, 900)
    ),
)
# How long after the one before, what, and whether the set is the next or the first.
STEPS = st.lists(
    st.tuples(
        st.sampled_from([-300, 0, 400, 900, 1300, 2000, 2000, 2500, 20_000]),
        BODIES,
        st.sampled_from([0] * 18 + [1, 1, -1]),
    ),
    min_size=1,
    max_size=40,
)

Step = tuple[int, Body, int]
FIRST, NEXT = -1, 1
# Held in another set, and not counted there.
_HELD: list[Step] = [
    (2000, Rep(), 0),
    (0, Freeze(), 0),
    (2000, Rep(), NEXT),
    (0, Unfreeze(by_mistake=False), 0),
]
RARE: dict[str, tuple[Plan, list[Step]]] = {
    "full, ruled short, gone back to": (
        for_time(parts=(replace(_PARTS[0], movements=(movement("row", 3),)),)),
        [
            *[(2000, Rep(), 0)] * 3,
            (0, Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=-2), why="video"), 0),
            (2000, Rep(), NEXT),
            (2000, NoRep(), FIRST),
            (2000, Rep(), 0),
        ],
    ),
    "early again and again": (
        for_time(early_start="seconds", parts=_RESTED),
        [*[(2000, Rep(), 0)] * 2, (2000, Rep(), NEXT), *[(2000, Rep(), 0)] * 5],
    ),
    "corrected before anything counted there": (
        for_time(),
        [*_HELD, (0, Correct(by=-1, said="aloud"), 0), (2000, Rep(), 0)],
    ),
    "in a later part, the one before not ended": (
        for_time(early_start="seconds", parts=_RESTED),
        [*_HELD, (0, Correct(by=-1, said="aloud"), 0), (2000, Rep(), 0)],
    ),
}


def logged(plan: Plan, steps: list[Step]) -> list[Entry]:
    """The log of a lane; entries of one set share its key, as those read do."""
    bodies: list[Body] = [Claim(judge="kb"), Go(boot="x", boot_ms=0, zero_ms=0)]
    at = 0
    made = [entry(number, 0, body, None) for number, body in enumerate(bodies, 1)]
    key = plan.first_from(1)
    for number, (gap, body, moves) in enumerate(steps, 3):
        at += gap
        if moves == FIRST:
            key = plan.first_from(1)
        elif moves and key is not None:
            key = plan.after(key) or key
        judging = isinstance(body, Rep | NoRep | Cue | Correct)
        made.append(entry(number, at, body, key if judging else None))
    return made


def entry(number: int, at: int, body: Body, key: SetKey | None) -> Entry:
    lane = None if isinstance(body, Go | Freeze | Unfreeze) else 4
    return Entry(
        book="b1",
        number=number,
        lane=lane,
        at=at,
        wall=at,
        who="kb",
        set=key,
        body=body,
    )


def apart(entries: list[Entry]) -> list[Entry]:
    """The same, each with a key of its own: no two of them make a streak."""
    return [replace(e, set=e.set and SetKey(*e.set)) for e in entries]


@settings(deadline=None, max_examples=400)
@given(st.sampled_from(PLANS), STEPS)
def test_a_streak_is_what_its_entries_are_one_by_one(
    plan: Plan, steps: list[Step]
) -> None:
    compare(plan, steps)


@pytest.mark.parametrize("name", RARE)
def test_a_streak_after_what_is_rare_is_so_too(name: str) -> None:
    compare(*RARE[name])


def compare(plan: Plan, steps: list[Step]) -> None:
    entries = logged(plan, steps)
    lane = fold(plan, entries)
    assert lane == fold(plan, apart(entries))
    assert lane == reduce(evolve, apart(entries), empty(plan))


def test_only_the_ends_of_a_set_and_what_is_odd_need_a_look(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    looked: list[int] = []
    rep = Running.rep

    def noting(self: Running, one: Entry, key: SetKey, at: int, n: int) -> None:
        looked.append(one.number)
        rep(self, one, key, at, n)

    monkeypatch.setattr(Running, "rep", noting)
    steps: list[Step] = [(2000, Rep(), 0)] * 60
    steps[20] = (300, Rep(), 0)
    steps[40] = (2000, NoRep(), 0)
    lane = fold(simple(59), logged(simple(59), steps))
    assert looked == [3, 23, 62]
    assert lane.work.good == 59
    assert [a.marks for a in lane.work.attempts if a.marks] == [("soon",)]
