"""How well breaks and losses are told of athletes whose truth is known.

No time is measured here: precision and recall of breaks, and how often the true loss,
the reps that it was and the place that it cost lie between the ends that are told, over
simulated heats that are always the same.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from judgekit.core.score import score
from judgekit.reports.standings import Result, places_with
from judgekit.review.attempts import lane_rows
from judgekit.review.cost import Costs, Entrant, costs
from judgekit.review.lost import added, losses
from judgekit.review.pieces import lane_pieces
from tests.bench.rows import Group, Line, Setting
from tests.review.simulated import (
    Manner,
    Truth,
    breaks_found,
    good_by,
    open_workout,
    simulated,
    workout,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from judgekit.core.plan import Plan

_Truths = dict[str, Truth]

NAMES = ("pieces", "cost")
_HEATS = 200
_WINDOWS = 60
_WINDOW_S = 480
# So many athletes are ranked together.
_FIELD = 8
_FIELDS = 25
_MANNERS: Mapping[str, Manner] = {
    "even athletes": Manner(uneven=0.05, drift=0, thumb=50),
    "usual athletes": Manner(),
    "slowing down": Manner(drift=0.8),
    "uneven": Manner(uneven=0.18),
    "short pauses": Manner(pause=(1500, 3000)),
    "single reps at times": Manner(singles=0.2),
    "no-reps": Manner(missed=0.06),
    "double presses": Manner(doubled=0.02),
    "a judge who looks away": Manner(late=0.02),
    "all at once": Manner(missed=0.05, late=0.01, doubled=0.01, uneven=0.14, drift=0.5),
}
_COSTS: Mapping[str, Manner] = {
    "usual athletes": Manner(missed=0.04),
    "few no-reps": Manner(missed=0.01),
    "no pause after a no-rep": Manner(missed=0.04, upset=0),
    "many a pause after one": Manner(missed=0.04, upset=0.6),
    "uneven": Manner(missed=0.04, uneven=0.18),
    "slowing down": Manner(missed=0.06, drift=0.8),
    "a judge who looks away": Manner(missed=0.04, late=0.02),
}


def measure(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Both rows, a line for each manner and figure."""
    heats = setting.some(_HEATS)
    if "pieces" in wanted:
        for says, manner in _MANNERS.items():
            yield from _breaks(says, manner, heats)
    if "cost" in wanted:
        for says, manner in _COSTS.items():
            yield from _losses(says, manner, heats)
        yield from _gained(Manner(missed=0.04), setting.some(_WINDOWS))
        for says in ("usual athletes", "few no-reps", "slowing down"):
            yield from _placed(says, _COSTS[says], setting.some(_FIELDS))


def _breaks(says: str, manner: Manner, heats: int) -> Iterator[Line]:
    hits = told = true = 0
    for seed in range(heats):
        lane, truth = simulated(workout(), manner, seed)
        found = breaks_found(lane_pieces(lane))
        hits += len(found & truth.breaks)
        told += len(found)
        true += len(truth.breaks)
    for stat, of in (("precision", told), ("recall", true)):
        what = "that were breaks" if stat == "precision" else "that are told"
        yield Line(
            row="pieces",
            says=f"{says}: of {of} breaks, % {what}",
            stat=stat,
            unit="%",
            product=100 * hits / of,
        )


def _losses(says: str, manner: Manner, heats: int) -> Iterator[Line]:
    inside = of = 0
    middles = []
    for seed in range(heats):
        lane, truth = simulated(workout(), manner, seed)
        true = truth.done_ms - truth.clean_ms
        if not truth.no_reps:
            continue
        rows = lane_rows(lane)
        lost = losses(lane_pieces(lane, rows=rows), rows)
        span = added(one.ms for one in lost if one.ms is not None)
        of += 1
        inside += span.low <= true <= span.high
        middles.append(span.middle / true)
    middles.sort()
    yield Line(
        row="cost",
        says=f"{says}: of {of} heats with a no-rep, % whose true loss is in the range",
        stat="in",
        unit="%",
        product=100 * inside / of,
    )
    yield Line(
        row="cost",
        says=f"{says}: the middle of the range as % of the true loss, half the time",
        stat="p50",
        unit="%",
        product=100 * middles[len(middles) // 2],
    )


def _field(plan: Plan, manner: Manner, seeds: Iterable[int]) -> tuple[Costs, _Truths]:
    """What no-reps cost athletes who are ranked together, and the truth by bib."""
    entrants, results, truths = [], [], {}
    for seed in seeds:
        own = replace(plan, bib=str(seed), lane=seed + 1)
        lane, truth = simulated(own, manner, seed, signed=True)
        result = Result(lane=lane, score=score(lane))
        results.append(result)
        entrants.append(Entrant(lane, result.score))
        truths[str(seed)] = truth
    places = partial(places_with, results, substituted="together")
    return costs(entrants, places), truths


def _gained(manner: Manner, windows: int) -> Iterator[Line]:
    """The reps of a window, against those of the same athlete without a no-rep."""
    found, truths = _field(open_workout(_WINDOW_S), manner, range(windows))
    inside = of = 0
    for one in found.athletes:
        bib = one.lane.plan.bib
        if not truths[bib].no_reps:
            continue
        plan = open_workout(_WINDOW_S)
        true = good_by(plan, manner, int(bib), 1000 * _WINDOW_S)
        low, _, high = (int(clean.value or 0) for clean in one.if_clean)
        of += 1
        inside += low - 1 <= true <= high + 1
    yield Line(
        row="cost",
        says=f"windows: of {of} heats, % with the true reps in the range or next to it",
        stat="reps",
        unit="%",
        product=100 * inside / of,
    )


def _placed(says: str, manner: Manner, fields: int) -> Iterator[Line]:
    """The place of each athlete without no-reps, everybody else as they were."""
    inside = right = of = moved = 0
    for number in range(fields):
        first = number * _FIELD
        seeds = range(first, first + _FIELD)
        found, truths = _field(workout(), manner, seeds)
        for one in found.athletes:
            bib = one.lane.plan.bib
            if not truths[bib].no_reps:
                continue
            others = [each.done_ms for at, each in truths.items() if at != bib]
            true = 1 + sum(at < truths[bib].clean_ms for at in others)
            low, middle, high = one.places
            of += 1
            moved += true != one.place
            inside += (high or 0) <= true <= (low or 0)
            right += middle == true
    for stat, many, what in (
        ("place", inside, "is in the range"),
        ("p50", right, "is the middle one"),
    ):
        yield Line(
            row="cost",
            says=f"{says}: of {of} places ({moved} move), % where the true one {what}",
            stat=stat,
            unit="%",
            product=100 * many / of,
        )


GROUP = Group(names=NAMES, measure=measure)
