"""What must hold in every format of `tests/formats`: prefixes, order, rulings, caps."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core import looking
from judgekit.core.earned import Finish, points_of
from judgekit.core.entry import Accept, Rule, Time
from judgekit.core.lane import evolve, fold
from judgekit.core.placing import placed_by_parts
from judgekit.core.plan import OPEN, SetKey
from judgekit.core.points import Overall
from judgekit.core.ruling import Percent, RepsInSet, TimeBy
from judgekit.core.score import Score, score
from judgekit.reports.standings import Result, standings
from tests.files.test_format_examples import COUNTS, lane_of

if TYPE_CHECKING:
    from judgekit.core.counted import RankKey
    from judgekit.core.entry import Body, Entry
    from judgekit.core.ruling import Effect
    from judgekit.core.state import Lane

ALL = pytest.mark.parametrize("workout", sorted(COUNTS))
ATHLETES = 6


def unsigned(workout: str) -> list[Entry]:
    """The entries of a format's lane without its signatures."""
    entries = lane_of(workout).entries
    return [entry for entry in entries if not isinstance(entry.body, Accept)]


def put(lane: Lane, body: Body, after_ms: int = 1) -> Lane:
    """The lane with one more entry, so long after its last."""
    last = lane.entries[-1]
    at = max((e.at for e in lane.entries if e.at is not None), default=0) + after_ms
    entry = replace(
        last,
        number=last.number + 1,
        lane=None if isinstance(body, Time) else lane.plan.lane,
        at=at,
        set=None,
        body=body,
    )
    return evolve(lane, entry)


def ruled(lane: Lane, effect: Effect) -> Lane:
    return put(lane, Rule(effect=effect, why="video"))


@cache
def field(workout: str, capped: str = "") -> tuple[Lane, ...]:
    """Athletes who came so far in a workout: a sixth, two sixths, ... all of its log.

    Where time was not up by then, it is called.
    """
    entries = unsigned(workout)
    plan = lane_of(workout).plan
    if capped:
        plan = replace(plan, capped=capped)  # type: ignore[arg-type]
    lanes = []
    for number in range(1, ATHLETES + 1):
        upto = max(3, len(entries) * number // ATHLETES)
        own = replace(plan, bib=f"{number}", name=f"Athlete {number}")
        lane = fold(own, entries[:upto])
        if not looking.is_over(lane):
            end = looking.end_ms(lane)
            lane = put(lane, Time(), end if end is not None else 600_000)
        lanes.append(lane)
    return tuple(lanes)


def keys_of(result: Score) -> list[RankKey | None]:
    """A score's place in the order; where parts are placed apart, that of each."""
    return [part.key for part in result.parts] or [result.rank_key]


def never_better(before: Score, after: Score) -> bool:
    pairs = zip(keys_of(before), keys_of(after), strict=True)
    return all(b is None or a is None or b <= a for b, a in pairs)


@ALL
def test_every_prefix_has_a_score_and_none_is_final_before_it_is_accepted(
    workout: str,
) -> None:
    whole = lane_of(workout)
    for upto in range(len(whole.entries) + 1):
        lane = fold(whole.plan, whole.entries[:upto])
        result = score(lane)
        assert result.shown
        assert result.may_change or lane.closed
        if not looking.is_over(lane):
            assert result.provisional in (("waiting",), ("in progress",))
            assert result.rank_key is None
    assert score(whole).provisional == ()


@ALL
@given(order=st.permutations(range(ATHLETES)))
def test_the_order_is_the_same_whoever_is_told_first(
    workout: str, order: list[int]
) -> None:
    results = [Result(lane=lane, score=score(lane)) for lane in field(workout)]
    assert standings([results[n] for n in order]) == standings(results)


@ALL
def test_a_rank_is_one_more_than_those_who_are_better(workout: str) -> None:
    results = [Result(lane=lane, score=score(lane)) for lane in field(workout)]
    (found,) = standings(results)
    scores = [place.row.score for place in found.places]
    if scores[0].parts:
        scores = placed_by_parts(scores)
    keys = [one.rank_key for one in scores]
    for place, key in zip(found.places, keys, strict=True):
        assert (place.rank is None) == (key is None)
        if key is not None:
            assert place.rank == 1 + sum(k < key for k in keys if k is not None)


@ALL
def test_shared_places_add_up_to_all_places(workout: str) -> None:
    results = [Result(lane=lane, score=score(lane)) for lane in field(workout)]
    (found,) = standings(results)
    ranks = [place.rank for place in found.places if place.rank is not None]
    finishes = [
        Finish(bib=str(n), status="finished", rank=rank, tied=ranks.count(rank))
        for n, rank in enumerate(ranks)
    ]
    points = points_of(Overall(tied="shared"), workout, finishes)
    assert sum(points.values()) == Fraction(len(ranks) * (len(ranks) + 1), 2)


def _room(lane: Lane) -> list[SetKey]:
    """Sets that were begun and could take one more."""
    return [
        done.key
        for done in lane.work.sets
        if done.short and lane.plan.target(done.key) != OPEN
    ] + [d.key for d in lane.work.sets if lane.plan.target(d.key) == OPEN]


@ALL
def test_a_rep_more_never_makes_a_score_worse(workout: str) -> None:
    for lane in field(workout):
        before = score(lane)
        for key in _room(lane):
            after = score(ruled(lane, RepsInSet(set=key, by=1)))
            assert never_better(after, before), (key, before.shown, after.shown)


@ALL
def test_a_rep_less_never_makes_a_score_better(workout: str) -> None:
    for lane in field(workout):
        before = score(lane)
        for done in lane.work.sets:
            if done.good:
                less = RepsInSet(set=done.key, by=-1)
                after = score(ruled(lane, less))
                assert never_better(before, after), (done.key, after.shown)


@ALL
@pytest.mark.parametrize(
    "penalty", [TimeBy(by_ms=7000), Percent(percent=15)], ids=["seconds", "percent"]
)
def test_a_penalty_never_helps(workout: str, penalty: TimeBy | Percent) -> None:
    for lane in field(workout):
        assert never_better(score(lane), score(ruled(lane, penalty)))


FOR_TIME = sorted(
    name
    for name in COUNTS
    if lane_of(name).plan.score == "time" and lane_of(name).plan.cap_ms
)


def test_some_formats_have_a_cap() -> None:
    assert len(FOR_TIME) >= 2


@pytest.mark.parametrize("workout", FOR_TIME)
def test_both_cap_conventions_order_alike_without_penalties(workout: str) -> None:
    orders = []
    for capped in ("below", "second-per-rep"):
        keys = [score(lane).rank_key for lane in field(workout, capped)]
        ranked = [key for key in keys if key is not None]
        assert len(ranked) == len(keys)
        orders.append([[one < other for other in ranked] for one in ranked])
    assert orders[0] == orders[1]


def test_a_field_is_no_crowd_of_equals() -> None:
    """The checks above would say little of athletes who all tie."""
    differing = [len({str(keys_of(score(lane))) for lane in field(w)}) for w in COUNTS]
    assert min(differing) >= 2
    assert sum(differing) > 3 * len(COUNTS)
