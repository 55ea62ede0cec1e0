"""How far an athlete would have come with more time, at the own pace of each movement.

The pace of a movement is that of all its sets in the lane, with the ways to them,
pauses and no-reps in it; of a set that was begun it is without the way. What was not
reached goes by the lane as a whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.review.attempts import lane_rows
from judgekit.review.pieces import Kind, kind_of

if TYPE_CHECKING:
    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import Lane


@dataclass(frozen=True, slots=True, kw_only=True)
class Onward:
    """So many reps of the score more, and the time that is left after the last work."""

    reps: int
    left_ms: int


def onward(lane: Lane, number: int, ms: int) -> Onward:
    """From where the work of a part ended, so much time on.

    A rest on the way takes its time; at what the clock opens all ends.
    """
    plan = lane.plan
    done = [s for s in lane.work.sets if s.key.part == number]
    key = done[-1].key if done else plan.first_from(number)
    units = done[-1].short if done and not done[-1].moved_on else 0
    if not done and key is not None:
        units = plan.target(key)
    paces, within = _paces(lane), bool(done)
    reps, left = 0, float(ms)
    while key is not None:
        pace = paces.of(kind_of(plan, key), within=within)
        more = min(units, int(left / pace))
        reps += more // plan.movement(key).per
        left -= more * pace
        if more < units:
            return Onward(reps=reps, left_ms=0)
        within = False
        key, rest = _next(plan, key)
        left = max(0.0, left - rest)
        units = plan.target(key) if key is not None else 0
    return Onward(reps=reps, left_ms=round(left))


@dataclass(slots=True)
class _Sum:
    """Time, and the units that it was for."""

    ms: int = 0
    units: int = 0

    def add(self, ms: int, units: int) -> None:
        self.ms += max(0, ms)
        self.units += max(0, units)

    @property
    def each(self) -> float | None:
        """The ms of a unit; None where nothing tells."""
        return self.ms / self.units if self.ms and self.units else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Paces:
    """The time of a unit by movement and load: with the way to the set, and within."""

    whole: Mapping[Kind, _Sum]
    within: Mapping[Kind, _Sum]
    lane: _Sum

    def of(self, kind: Kind, *, within: bool) -> float:
        """The ms of a unit; who did nothing good in a time does as little in more."""
        whole = self.whole.get(kind, self.lane).each or self.lane.each
        inside = self.within[kind].each if within and kind in self.within else None
        return inside or whole or max(1, self.lane.ms)


def _paces(lane: Lane) -> _Paces:
    whole: dict[Kind, _Sum] = {}
    within: dict[Kind, _Sum] = {}
    every = _Sum()
    for row in lane_rows(lane).sets:
        ended = row.done or row.last
        if ended is None or row.first is None:
            continue
        kind = kind_of(lane.plan, row.set.key)
        for of in (whole.setdefault(kind, _Sum()), every):
            of.add(ended - row.opened, row.good)
        within.setdefault(kind, _Sum()).add(ended - row.first, row.good - 1)
    return _Paces(whole=whole, within=within, lane=every)


def _next(plan: Plan, key: SetKey) -> tuple[SetKey | None, int]:
    """The set after one, and the rest before it; none that the clock opens."""
    after = plan.after(key)
    if after is None:
        return None, 0
    if after.part == key.part:
        part = plan.part(key)
        return after, part.rest_ms if after.round > key.round else 0
    between = plan.parts[key.part : after.part - 1]
    clocked = any(part.kind != "rest" for part in between)
    if clocked or not plan.part(after).ends_by_work:
        return None, 0
    return after, sum(part.length_ms for part in between)
