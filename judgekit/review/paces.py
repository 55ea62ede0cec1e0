"""How long the athletes of a gym take for one unit of a movement, by their own logs.

The time of a set runs from the end of the one before, or from when it was opened, to
its last unit: the way there, pauses and no-reps are in it. Only whole sets of judged
athletes tell; tries at a load, holds, teams and lanes that were stopped or frozen do
not.
"""

from __future__ import annotations

from fractions import Fraction
from statistics import quantiles
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import Freeze, Stop
from judgekit.core.values import dataclass
from judgekit.review.exposure import Kind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import Lane

# What is told of fewer people or fewer units is chance.
LEAST_ATHLETES = 5
LEAST_UNITS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """How long one athlete took for so many units in one lane."""

    who: str
    kind: Kind
    units: int
    ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GymPace:
    """The ms of one unit: the median of so many athletes, and their quartiles."""

    athletes: int
    quick_ms: int
    middle_ms: int
    slow_ms: int


def took(who: str, lane: Lane) -> tuple[Took, ...]:
    """What a lane tells of its athlete's paces, a row for each whole set."""
    odd = any(isinstance(entry.body, Stop | Freeze) for entry in lane.entries)
    return () if odd or lane.plan.team.members else tuple(_sets(who, lane))


def _sets(who: str, lane: Lane) -> Iterator[Took]:
    line = looking.line_of_work(lane, lane.work)
    ended = 0
    for done in lane.work.sets:
        begun = max(line.opening(done.key) or 0, ended)
        ended = done.done_ms or done.last_ms or ended
        movement = lane.plan.movement(done.key)
        if done.done_ms is not None and tells(lane.plan, done.key):
            kind = Kind(movement.card, movement.unit)
            ms = done.done_ms - begun
            if ms > 0:
                yield Took(who=who, kind=kind, units=done.good, ms=ms)


def tells(plan: Plan, key: SetKey) -> bool:
    """Whether a set has a pace: a number of units to be done as fast as can be."""
    of_work = plan.part(key).kind not in ("attempts", "hold")
    return of_work and plan.movement(key).unit != "seconds"


def gym_paces(rows: Iterable[Took]) -> Mapping[Kind, GymPace]:
    """The paces of the movements that enough athletes did enough of.

    Everybody counts once, with all their sets, however often they came.
    """
    sums: dict[Kind, dict[str, tuple[int, int]]] = {}
    for row in rows:
        people = sums.setdefault(row.kind, {})
        units, ms = people.get(row.who, (0, 0))
        people[row.who] = units + row.units, ms + row.ms
    found = {}
    for kind, people in sorted(sums.items()):
        each = [Fraction(ms, n) for n, ms in people.values() if n >= LEAST_UNITS]
        if len(each) >= LEAST_ATHLETES:
            found[kind] = _pace(each)
    return found


def _pace(each: list[Fraction]) -> GymPace:
    quick, middle, slow = quantiles(each, n=4, method="inclusive")
    return GymPace(
        athletes=len(each),
        quick_ms=round(quick),
        middle_ms=round(middle),
        slow_ms=round(slow),
    )
