"""How well breaks and losses are told of athletes whose truth is known.

No time is measured here: precision and recall of breaks, and how often the true loss
lies between the ends that are told, over simulated heats that are always the same.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.review.attempts import lane_rows
from judgekit.review.lost import added, losses
from judgekit.review.pieces import lane_pieces
from tests.bench.rows import Group, Line, Setting
from tests.review.simulated import Manner, breaks_found, simulated, workout

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

NAMES = ("pieces", "cost")
_HEATS = 200
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


def _breaks(says: str, manner: Manner, heats: int) -> Iterator[Line]:
    hits = told = true = 0
    for seed in range(heats):
        lane, truth = simulated(workout(), manner, seed)
        found = breaks_found(lane_pieces(lane))
        hits += len(found & truth.breaks)
        told += len(found)
        true += len(truth.breaks)
    for stat, of in (("told", told), ("were", true)):
        what = "that were breaks" if stat == "told" else "that are told"
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


GROUP = Group(names=NAMES, measure=measure)
