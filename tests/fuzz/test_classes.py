"""Thousands of random classes: reports, looks and results as the model has them."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core import entry as e
from judgekit.core import press as p
from judgekit.core.lane import fold
from judgekit.core.plan import Plan, SetKey
from judgekit.core.ruling import Ref
from judgekit.core.score import score
from judgekit.core.watchentry import Look, LookEnd, Result, ResultUnit, SetReported
from judgekit.core.workout import Watching
from judgekit.reports.scorecard import scorecard
from judgekit.reports.scorecardtext import as_text
from judgekit.review.faults import fault_rates
from tests.fuzz.class_model import ClassModel, Seen, Wall
from tests.support import Played, for_time, simple, window

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.state import Attempt

SEQUENCES = 800
WHOLE = st.integers(-3, 60) | st.integers(-(2**53) + 1, 2**53 - 1)
REFS = st.builds(Ref, st.just("b"), st.integers(1, 16))
# What a log from elsewhere may hold, whatever a desk would have refused.
BODIES: st.SearchStrategy[e.Body] = st.one_of(
    st.builds(SetReported, n=WHOLE),
    st.just(Look()),
    st.builds(LookEnd, seen=WHOLE),
    st.builds(
        Result,
        unit=st.sampled_from(get_args(ResultUnit)),
        amount=WHOLE,
        rounds=WHOLE,
        load=st.sampled_from(["", "80 kg", "heavy", "1e9 kg"]),
    ),
    st.builds(e.Rep, n=st.integers(1, 60)),
    st.builds(e.NoRep, faults=st.sampled_from([(), ("depth",), ("gone",)])),
    st.builds(e.NameFault, target=REFS, fault=st.sampled_from(["depth", "gone"])),
    st.builds(e.TakeBack, target=REFS),
    st.builds(e.PutBack, target=REFS),
    st.builds(e.Reading, shows=WHOLE, why=st.sampled_from(["", "misread"])),
    st.builds(e.Correct, by=WHOLE, said=st.just("so many")),
    st.just(e.Stop()),
    st.builds(e.GoOn, by_mistake=st.booleans()),
    st.just(e.Time()),
    st.builds(e.Accept, who=st.sampled_from(get_args(e.Signer)), signed=st.just(True)),
)
SETS = st.builds(SetKey, st.integers(1, 3), st.integers(1, 3), st.integers(1, 2))
ACTS: tuple[tuple[int, p.Act], ...] = (
    (12, p.ReportSet()),
    (6, p.ReportSet(n=1)),
    (6, p.ReportSet(n=2)),
    (2, p.ReportSet(n=9)),
    (8, Look()),
    (6, p.EndLook()),
    (4, p.EndLook(seen=4)),
    (14, e.Rep()),
    (4, e.Rep(n=3)),
    (8, p.Called(fault="depth")),
    (8, p.Called(fault="lock")),
    (5, e.NoRep()),
    (3, p.Name(fault="lock")),
    (9, p.TakeBackOne()),
    (6, p.CountAgain()),
    (2, e.Correct(by=1, said="one more")),
    (2, e.Correct(by=-1, said="one less")),
    (1, Result(unit="ms", amount=61_000)),
)
GAPS_MS = (0, 1, 200, 700, 999, 1000, 1001, 2000, 2001, 9000)


def sequence(chance: random.Random) -> list[tuple[int, p.Act]]:
    """Acts with their heat times, after go."""
    weights, acts = zip(*ACTS, strict=True)
    at = 0
    made = []
    for _ in range(chance.randrange(4, 45)):
        at += chance.choice(GAPS_MS)
        made.append((at, chance.choices(acts, weights)[0]))
    return made


def seen_by(presses: Iterable[Attempt]) -> list[tuple[bool, int, list[str]]]:
    return [(one.good, one.n, list(one.faults)) for one in presses]


def told(presses: Iterable[Seen]) -> list[tuple[bool, int, list[str]]]:
    return [(one.good, one.many, one.faults) for one in presses]


def agree(played: Played, wall: Wall) -> None:
    work = played.lane.work
    assert {s.key: s.good for s in work.sets if s.good} == {
        key: n for key, n in wall.good.items() if n
    }
    assert work.cursor == wall.cursor
    assert [(one.set, one.seen, seen_by(one.presses)) for one in work.looks] == [
        (one.set, one.seen, told(one.presses)) for one in wall.looks
    ]
    assert seen_by(work.noticed) == told(wall.noticed)
    assert (work.given is not None) == wall.given
    assert len(work.reported) == wall.reported
    assert work.attempts == ()


def compare(plan: Plan, made: list[tuple[int, p.Act]]) -> None:
    played, model = Played(plan).go(), ClassModel(plan)
    for at, act in made:
        many, refusals = len(played.entries), len(played.refusals)
        played.press(at / 1000, act)
        outcome = "refused"
        if len(played.refusals) == refusals:
            [new] = played.entries[many:]
            outcome = "ignored" if isinstance(new.body, e.Ignored) else "kept"
        assert outcome == model.press(act, at), (at, act, played.refusals[-1:])
        agree(played, model.read())
    assert fold(plan, played.entries) == played.lane
    closed = [look for look in model.read().looks if look.seen is not None]
    found = fault_rates([played.lane])
    assert found.sampled.attempts == sum(look.seen or 0 for look in closed)
    assert found.total.attempts == 0


def two_parts() -> Plan:
    """Two parts with no rest between them, one with a monitor."""
    whole = for_time()
    return replace(whole, cap_ms=0, parts=(whole.parts[0], whole.parts[2]))


@pytest.mark.parametrize("plan", [simple(6), two_parts()], ids=["one set", "two parts"])
def test_random_classes_are_what_the_model_says(plan: Plan) -> None:
    watched = replace(plan, watching="reported")
    for seed in range(SEQUENCES):
        made = sequence(random.Random(seed))  # noqa: S311 - presses, not secrets
        try:
            compare(watched, made)
        except Exception as error:
            listed = "\n".join(f"{at:7d} {act}" for at, act in made)
            error.add_note(f"seed {seed}\n{listed}")
            raise


ANY_PLAN = st.sampled_from([for_time(), window(), simple(5), for_time(score="placing")])


@settings(max_examples=400)
@given(
    ANY_PLAN,
    st.sampled_from(get_args(Watching)),
    st.lists(st.tuples(BODIES, st.integers(0, 300_000), st.none() | SETS), max_size=14),
)
def test_any_log_has_a_lane_a_score_and_words(
    plan: Plan, watching: Watching, steps: list[tuple[e.Body, int, SetKey | None]]
) -> None:
    played = Played(replace(plan, watching=watching)).go()
    at = 0
    for body, gap, key in steps:
        at += gap
        played.put(body, at, key)
    lane = played.lane
    assert fold(played.plan, played.entries) == lane
    assert all(0 <= done.good <= done.target for done in lane.work.sets)
    assert as_text(scorecard(lane, score(lane)), 80)
    found = fault_rates([lane])
    assert not (found.total.attempts and watching == "reported")
    assert not (found.sampled.attempts and watching == "judged")
