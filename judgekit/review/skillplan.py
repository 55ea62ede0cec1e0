"""A skill block for the next class: for the top faults the drill, the cue, and who.

It is five to eight minutes, and each fault is watched again at the end of its drill.
What was planned is held against the next session: whether its rate moved.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal, NamedTuple

from judgekit.core.values import dataclass
from judgekit.review.differences import Count, Difference, chance_alone, difference
from judgekit.review.faults import Rate, rate
from judgekit.review.frequencies import Person, frequencies
from judgekit.review.many import adjusted
from judgekit.review.sessions import BELIEVED, FaultKey

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.review.attempts import LaneRows
    from judgekit.review.frequencies import Frequencies, Frequency
    from judgekit.review.sessions import LaneSum

# Minutes for the drill and for watching again, by how many faults there are: more
# than three are remembered by nobody (common practice).
_MINUTES = {1: ((4, 1),), 2: ((2, 1), (2, 1)), 3: ((2, 1), (2, 1), (1, 1))}
MOST = len(_MINUTES)
# One no-rep is no pattern.
LEAST = 2

Verdict = Literal["fewer", "more", "cannot tell yet", "not tried since"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """One fault's part of the block; `who` had it, most often first.

    `must_be` is what the standard asks, `had` how often each of `who` had the fault
    (nothing where that is not told), `of_athletes` how many tried the movement, where
    that is known. `minutes` are for the drill, `watched` for reps
    that are watched for the fault.
    """

    of: FaultKey
    movement: str
    call: str
    cue: str
    drill: str
    rate: Rate
    who: tuple[Person, ...]
    must_be: str = ""
    had: tuple[int, ...] = ()
    of_athletes: int | None = None
    minutes: int = 0
    watched: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SkillPlan:
    """The block after a day; without drills there is nothing to plan for."""

    date: str
    drills: tuple[Drill, ...]

    @property
    def minutes(self) -> int:
        """How long it takes, all in all."""
        return sum(drill.minutes + drill.watched for drill in self.drills)


class Planned(NamedTuple):
    """A fault that was planned for, and how often it was called then."""

    of: FaultKey
    movement: str
    call: str
    no_reps: int
    attempts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What was planned after a day."""

    date: str
    drills: tuple[Planned, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A planned fault, then and on a later day; `by` is now less then.

    `now` and `by` are None where its movement was not tried.
    """

    planned: Planned
    then: Rate
    now: Rate | None
    by: Difference | None
    verdict: Verdict


def skill_plan(lanes: Sequence[LaneRows], date: str) -> SkillPlan:
    """The block for what was most worth acting on; judged before sampled."""
    found = frequencies(lanes, ("movement", "fault"))
    picked = list(_picked(found))[:MOST]
    who = _who(lanes) if picked else {}
    return in_minutes(date, [_drill(row, found, who) for row in picked])


def in_minutes(date: str, drills: Sequence[Drill]) -> SkillPlan:
    """The block of the first of those drills, each in the minutes that it has."""
    first = drills[:MOST]
    return SkillPlan(
        date=date,
        drills=tuple(
            replace(one, minutes=minutes, watched=watched)
            for one, (minutes, watched) in zip(
                first, _MINUTES.get(len(first), ()), strict=True
            )
        ),
    )


def _picked(found: Frequencies) -> Iterator[Frequency]:
    """What can be drilled: with a rate, no chance no-rep, and still on its card."""
    seen = set()
    for row in found.rows:
        card, fault = row.of
        known = found.cards[card].fault(fault)
        enough = row.rate.rate is not None and row.rate.no_reps >= LEAST
        if known is not None and enough and row.of not in seen:
            seen.add(row.of)
            yield row


class _Had(NamedTuple):
    """Somebody who had a fault, and how often."""

    no_reps: int
    person: Person


_Who = Mapping[FaultKey, Sequence[_Had]]


def _who(lanes: Sequence[LaneRows]) -> _Who:
    """Who had each fault, most often first."""
    found = frequencies(lanes, ("movement", "fault", "athlete"))
    who: dict[FaultKey, list[_Had]] = {}
    for row in found.rows:
        card, fault, athlete = row.of
        if row.rate.no_reps:
            key = FaultKey(card, fault, row.watched)
            had = _Had(row.rate.no_reps, found.people[athlete])
            who.setdefault(key, []).append(had)
    return {
        key: sorted(of, key=lambda one: (-one.no_reps, one.person))
        for key, of in who.items()
    }


def _drill(row: Frequency, found: Frequencies, who: _Who) -> Drill:
    key = FaultKey(row.of[0], row.of[1], row.watched)
    card = found.cards[key.card]
    fault = card.fault(key.fault)
    if fault is None:
        raise KeyError(key.fault)
    criterion = card.criterion_of(fault)
    had = who.get(key, ())
    return Drill(
        of=key,
        movement=card.name,
        call=fault.call,
        cue=fault.cues[0] if fault.cues else "",
        drill=fault.drill,
        rate=row.rate,
        who=tuple(one.person for one in had),
        must_be="" if criterion is None else criterion.says,
        had=tuple(one.no_reps for one in had),
        of_athletes=row.of_athletes,
    )


def kept(plan: SkillPlan) -> Kept:
    """What of a plan is kept for the next time: no person in it."""
    return Kept(
        date=plan.date,
        drills=tuple(
            Planned(
                of=drill.of,
                movement=drill.movement,
                call=drill.call,
                no_reps=drill.rate.no_reps,
                attempts=drill.rate.attempts or 0,
            )
            for drill in plan.drills
        ),
    )


def planned_of(before: Kept | None) -> frozenset[FaultKey]:
    """The faults that were planned for; none without a plan."""
    return frozenset(one.of for one in before.drills) if before else frozenset()


def moved(before: Kept, lanes: Iterable[LaneSum], day: str) -> tuple[Moved, ...]:
    """What was planned, held against a later day."""
    today = _counts(lane for lane in lanes if lane.date == day)
    pairs = [
        (one, Count(one.no_reps, one.attempts), _count(today, one.of))
        for one in before.drills
    ]
    # What was not tried is no question asked, and raises the bar for none.
    chances = iter(
        adjusted([chance_alone(now, then) for _, then, now in pairs if now.tries])
    )
    return tuple(
        _moved(one, then, now, next(chances) if now.tries else 1.0)
        for one, then, now in pairs
    )


def _moved(one: Planned, then: Count, now: Count, chance: float) -> Moved:
    by = difference(now, then)
    return Moved(
        planned=one,
        then=rate(*then),
        now=rate(*now) if now.tries else None,
        by=by,
        verdict=_verdict(by, chance),
    )


def _verdict(by: Difference | None, chance: float) -> Verdict:
    if by is None:
        return "not tried since"
    if chance > BELIEVED or not by.is_clear:
        return "cannot tell yet"
    return "fewer" if by.high < 0 else "more"


def _counts(
    lanes: Iterable[LaneSum],
) -> dict[tuple[str, str], tuple[int, dict[str, int]]]:
    """Attempts and reasons of each movement by how it was watched."""
    found: dict[tuple[str, str], tuple[int, dict[str, int]]] = {}
    for lane in lanes:
        for one in lane.sums:
            tries, reasons = found.get((one.card, one.watched), (0, {}))
            for reason, many in one.reasons:
                reasons[reason] = reasons.get(reason, 0) + many
            found[one.card, one.watched] = (tries + one.attempts, reasons)
    return found


def _count(
    today: Mapping[tuple[str, str], tuple[int, dict[str, int]]], of: FaultKey
) -> Count:
    tries, reasons = today.get((of.card, of.watched), (0, {}))
    return Count(reasons.get(of.fault, 0), tries)
