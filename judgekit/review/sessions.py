"""Sessions beside each other: what changed since last time, and what comes again.

A session is one day. A fault's rate is held against that of the newest day before on
which its movement was tried, whatever else was done in between. Only attempts with a
rate are compared, judged with judged and sampled with sampled.
"""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.review.differences import Count, Difference, chance_alone, difference
from judgekit.review.faults import Rate, rate
from judgekit.review.many import adjusted
from judgekit.review.tallying import Tally

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

    from judgekit.core.plan import PlanCard
    from judgekit.review.attempts import LaneRows
    from judgekit.review.judged import Watched

# So many sessions make a fault one that comes again.
OFTEN = 3
# Of what is said to have changed, at most this share is chance.
BELIEVED = 0.05


class MovementSum(NamedTuple):
    """What one lane adds to a movement: attempts with a rate, no-reps by reason.

    `calls` are those of the reasons on the card the lane was judged by.
    """

    card: str
    name: str
    watched: Watched
    attempts: int
    reasons: tuple[tuple[str, int], ...]
    calls: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneSum:
    """One lane of a session, as little of it as sessions are compared by."""

    date: str
    sums: tuple[MovementSum, ...]


class FaultKey(NamedTuple):
    """A fault of a movement by how it was watched; the fault is empty: no reason."""

    card: str
    fault: str
    watched: Watched


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A fault on one day, `then` on the day before it; `by` is now less then.

    `p` is how likely chance alone is, raised for how many faults were compared. What
    was `planned`, to be drilled, is a question of its own, and compared by itself.
    """

    of: FaultKey
    movement: str
    call: str
    day: str
    before: str
    now: Rate
    then: Rate
    by: Difference
    p: float
    planned: bool = False

    @property
    def is_clear(self) -> bool:
        """Whether it may be believed though many faults were compared."""
        return self.p <= BELIEVED and self.by.is_clear


@dataclass(frozen=True, slots=True, kw_only=True)
class Recurring:
    """A fault that was seen in so many sessions of those that had its movement.

    `rate` is that of all these sessions together.
    """

    of: FaultKey
    movement: str
    call: str
    seen: int
    sessions: int
    rate: Rate
    first: str
    last: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sessions:
    """Changes, the sure ones first, and what comes again, most often first.

    Of changes comes first the biggest; of what came in as many sessions, what is surely
    frequent.
    """

    changes: tuple[Change, ...] = ()
    recurring: tuple[Recurring, ...] = ()


@dataclass(slots=True)
class _Day:
    """One movement on one day."""

    attempts: int = 0
    reasons: dict[str, int] = field(default_factory=dict)


class _Movement(NamedTuple):
    card: str
    watched: Watched


_Days = dict[str, _Day]


class _Words(NamedTuple):
    """What a movement and its faults are called, by the newest lane that had them."""

    name: str
    calls: dict[str, str]


class _Of(NamedTuple):
    """A movement, what it and its faults are called, and its days."""

    movement: _Movement
    words: _Words
    days: _Days

    def key(self, fault: str) -> FaultKey:
        """One of its faults."""
        return FaultKey(self.movement.card, fault, self.movement.watched)


def lane_sum(rows: LaneRows) -> LaneSum:
    """What a lane adds to its session."""
    tallies: dict[tuple[str, str, Watched], Tally] = {}
    of_set, seen, tally = None, None, Tally()
    for row in rows.attempts:
        if row.set is not of_set or row.watched != seen:
            of_set, seen = row.set, row.watched
            key = (of_set.card, of_set.movement, seen)
            tally = tallies.setdefault(key, Tally()) if row.rated else Tally()
        tally.add(row, "")
    return LaneSum(
        date=rows.facts.plan.date,
        sums=tuple(
            MovementSum(
                *key,
                tally.attempts,
                tuple(sorted(tally.reasons.items())),
                _calls(rows.facts.plan.card(key[0]), tally.reasons),
            )
            for key, tally in sorted(tallies.items(), key=lambda of: of[0])
        ),
    )


def _calls(card: PlanCard, reasons: Iterable[str]) -> tuple[tuple[str, str], ...]:
    known = ((reason, card.fault(reason)) for reason in sorted(reasons))
    return tuple((reason, one.call) for reason, one in known if one is not None)


def sessions(
    lanes: Iterable[LaneSum], day: str, planned: Collection[FaultKey] = ()
) -> Sessions:
    """What changed on a day and what comes again until then; later days are left out.

    Every fault is compared that was seen on the day or the one before it; those that
    were `planned` to be drilled are compared by themselves, as a question of its own.
    """
    days, words = _by_movement(lane for lane in lanes if lane.date <= day)
    changes = [
        change
        for movement, of in sorted(days.items())
        for change in _changes(_Of(movement, words[movement.card], of), day)
    ]
    asked = [one for one in changes if one.of in planned]
    others = [one for one in changes if one.of not in planned]
    told = [*_raised(asked, planned=True), *_raised(others, planned=False)]
    again = [
        one
        for movement, of in sorted(days.items())
        for one in _recurring(_Of(movement, words[movement.card], of))
    ]
    return Sessions(
        changes=tuple(
            sorted(told, key=lambda one: (not one.is_clear, -abs(one.by.by), one.of))
        ),
        recurring=tuple(
            sorted(again, key=lambda one: (-one.seen, -(one.rate.low or 0.0), one.of))
        ),
    )


def _raised(changes: Sequence[Change], *, planned: bool) -> Iterator[Change]:
    """Changes whose chances are raised for how many of them are compared."""
    raised = adjusted([change.p for change in changes])
    for change, p in zip(changes, raised, strict=True):
        yield replace(change, p=p, planned=planned)


def _by_movement(
    lanes: Iterable[LaneSum],
) -> tuple[Mapping[_Movement, _Days], Mapping[str, _Words]]:
    days: dict[_Movement, _Days] = {}
    words: dict[str, _Words] = {}
    for lane in sorted(lanes, key=lambda lane: lane.date):
        for one in lane.sums:
            before = words.get(one.card, _Words("", {})).calls
            words[one.card] = _Words(one.name, {**before, **dict(one.calls)})
            of = days.setdefault(_Movement(one.card, one.watched), {})
            on = of.setdefault(lane.date, _Day())
            on.attempts += one.attempts
            for reason, many in one.reasons:
                on.reasons[reason] = on.reasons.get(reason, 0) + many
    return days, words


def _changes(of: _Of, day: str) -> Iterable[Change]:
    before = max((one for one in of.days if one < day), default=None)
    if before is None or day not in of.days:
        return
    now, then = of.days[day], of.days[before]
    for fault in sorted({*now.reasons, *then.reasons}):
        mine = Count(now.reasons.get(fault, 0), now.attempts)
        theirs = Count(then.reasons.get(fault, 0), then.attempts)
        by = difference(mine, theirs)
        if by is not None:
            yield Change(
                of=of.key(fault),
                movement=of.words.name,
                call=of.words.calls.get(fault, ""),
                day=day,
                before=before,
                now=rate(*mine),
                then=rate(*theirs),
                by=by,
                p=chance_alone(mine, theirs),
            )


def _recurring(of: _Of) -> Iterable[Recurring]:
    faults = {fault for day in of.days.values() for fault in day.reasons if fault}
    for fault in sorted(faults):
        seen = sorted(date for date, day in of.days.items() if fault in day.reasons)
        if len(seen) >= OFTEN:
            yield Recurring(
                of=of.key(fault),
                movement=of.words.name,
                call=of.words.calls.get(fault, ""),
                seen=len(seen),
                sessions=len(of.days),
                rate=rate(
                    sum(day.reasons.get(fault, 0) for day in of.days.values()),
                    sum(day.attempts for day in of.days.values()),
                ),
                first=seen[0],
                last=seen[-1],
            )
