"""Which faults, how often out of how many attempts, how sure, and by how many.

An attempt is a good rep or a no-rep that was judged while it could count. A fault is
counted under the reason as it was logged, whatever the card says today. Where a
monitor counts, nobody judged each unit: no-reps are told there, but have no rate.

Three ways of watching are kept apart. Judged: every attempt was watched. Sampled: a
coach looked for a while and said how many were seen. Reported: the athlete said how
many were done, and nothing there ever has a rate, nor has a look never closed.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.plan import SetKey
from judgekit.core.seeing import seen_in
from judgekit.core.values import dataclass
from judgekit.review.intervals import wilson
from judgekit.review.judged import Watched, closed_looks, is_judged, is_missed, is_told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.state import Attempt, Lane, LookMade


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """No-reps out of attempts; `rate`, `low` and `high` lie between 0 and 1.

    The interval is Wilson's at 95 %. Without an attempt there is no rate; `attempts`
    is None where nobody counted them.
    """

    attempts: int | None
    no_reps: int
    rate: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultRate:
    """One fault of one movement.

    `fault` is the reason as logged, empty where none was given; `call` is what the
    card's highest revision calls it, empty where that has it no more. A no-rep with two
    reasons counts under each. `athletes` had it at least once, of `of_athletes`.
    """

    card: str
    movement: str
    fault: str
    call: str
    rate: Rate
    athletes: int
    of_athletes: int
    watched: Watched = "judged"


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementRate:
    """All no-reps of one movement, each counted once.

    `reported` are the units that athletes said they did.
    """

    card: str
    movement: str
    rate: Rate
    athletes: int
    of_athletes: int
    cues: tuple[tuple[str, int], ...]
    watched: Watched = "judged"
    reported: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneRate:
    """All no-reps of one lane, each counted once."""

    heat: str
    lane: int
    bib: str
    rate: Rate
    watched: Watched = "judged"


@dataclass(frozen=True, slots=True, kw_only=True)
class Faults:
    """Fault rates of some lanes, most worth acting on first, and their totals.

    `total` is of judged attempts, `sampled` of those seen in looks; `noticed` faults
    were seen outside of looks.
    """

    faults: tuple[FaultRate, ...]
    movements: tuple[MovementRate, ...]
    lanes: tuple[LaneRate, ...]
    total: Rate
    sampled: Rate
    noticed: int = 0


@dataclass(slots=True)
class _Tally:
    """What was seen of one movement while the lanes are gone through."""

    name: str
    revision: int = 0
    attempts: int = 0
    no_reps: int = 0
    reported: int = 0
    athletes: set[str] = field(default_factory=set)
    missing: set[str] = field(default_factory=set)
    reasons: dict[str, int] = field(default_factory=dict)
    by: dict[str, set[str]] = field(default_factory=dict)
    calls: dict[str, str] = field(default_factory=dict)
    cues: dict[str, int] = field(default_factory=dict)


class _Key(NamedTuple):
    """A movement by how it was watched, and whether each attempt was one press."""

    card: str
    by_rep: bool
    watched: Watched

    @property
    def has_rate(self) -> bool:
        """Whether there is a number of attempts that no-reps are out of."""
        return self.by_rep and self.watched != "reported"


_Tallies = dict[_Key, _Tally]


def fault_rates(lanes: Iterable[Lane]) -> Faults:
    """Fault rates over all of the lanes; their order never matters.

    Every movement of a lane's plan has a row of its own, also without an attempt.
    """
    tallies: _Tallies = {}
    rows: list[LaneRate] = []
    for lane in sorted(lanes, key=_order):
        _add_plan(tallies, lane)
        if is_told(lane):
            rows += _add_told(tallies, lane)
        else:
            rows.append(_add_judged(tallies, lane))
        for cue in lane.work.cues:
            seen = tallies[_key(lane, cue.set)].cues
            seen[cue.fault] = seen.get(cue.fault, 0) + 1
    faults = [row for key in sorted(tallies) for row in _faults(key, tallies[key])]
    told = [tally for key, tally in tallies.items() if key.watched == "reported"]
    return Faults(
        faults=tuple(sorted(faults, key=_worth)),
        movements=tuple(_movement(key, tallies[key]) for key in sorted(tallies)),
        lanes=tuple(rows),
        total=_total(tallies, "judged"),
        sampled=_total(tallies, "sampled"),
        noticed=sum(tally.no_reps for tally in told),
    )


def rate(no_reps: int, attempts: int | None) -> Rate:
    """The rate of no-reps with its interval; None where there is no attempt."""
    bounds = wilson(no_reps, attempts) if attempts else None
    return Rate(
        attempts=attempts,
        no_reps=no_reps,
        rate=no_reps / attempts if attempts else None,
        low=bounds[0] if bounds else None,
        high=bounds[1] if bounds else None,
    )


def _order(lane: Lane) -> tuple[str, str, int, str]:
    plan = lane.plan
    return plan.date, plan.heat, plan.lane, plan.bib


def _key(lane: Lane, key: SetKey) -> _Key:
    movement = lane.plan.movement(key)
    watched: Watched = "reported" if is_told(lane) else "judged"
    return _Key(movement.card, movement.unit == "reps", watched)


def _total(tallies: _Tallies, watched: Watched) -> Rate:
    of = [t for key, t in tallies.items() if key.has_rate and key.watched == watched]
    return rate(sum(t.no_reps for t in of), sum(t.attempts for t in of))


def _add_plan(tallies: _Tallies, lane: Lane) -> None:
    keys = [
        _key(lane, SetKey(number, 1, place))
        for number, part in enumerate(lane.plan.parts, 1)
        for place in range(1, len(part.movements) + 1)
    ]
    keys += [_sampled(lane, look) for look in closed_looks(lane)]
    for key in keys:
        card = lane.plan.card(key.card)
        tally = tallies.setdefault(key, _Tally(name=card.name))
        if card.revision >= tally.revision:
            tally.revision = card.revision
            tally.name = card.name
            tally.calls = {fault.id: fault.call for fault in card.faults}


def _add_judged(tallies: _Tallies, lane: Lane) -> LaneRate:
    judged = [a for a in lane.work.attempts if is_judged(a)]
    for attempt in judged:
        _add(tallies[_key(lane, attempt.set)], lane.plan.bib, attempt)
    counted = [a for a in judged if _key(lane, a.set).by_rep]
    missed = sum(1 for a in counted if is_missed(a))
    return _lane_rate(lane, rate(missed, sum(a.n for a in counted)), "judged")


# --- where sets are reported ---------------------------------------------------------


def _sampled(lane: Lane, look: LookMade) -> _Key:
    """Each attempt that a look saw was looked at, whatever counts the work."""
    return _Key(lane.plan.movement(look.set).card, by_rep=True, watched="sampled")


def _add_told(tallies: _Tallies, lane: Lane) -> list[LaneRate]:
    bib = lane.plan.bib
    for done in lane.work.sets:
        if done.good:
            tally = tallies[_key(lane, done.key)]
            tally.reported += done.good
            tally.athletes.add(bib)
    closed = closed_looks(lane)
    for look in closed:
        _add_look(tallies[_sampled(lane, look)], bib, look)
    noticed = [*lane.work.noticed, *_unclosed_faults(lane)]
    for fault in noticed:
        _add(tallies[_key(lane, fault.set)], bib, fault)
    rows = []
    if closed:
        missed = sum(is_missed(press) for look in closed for press in look.presses)
        seen = sum(look.seen or 0 for look in closed)
        rows.append(_lane_rate(lane, rate(missed, seen), "sampled"))
    if noticed or not closed:
        rows.append(_lane_rate(lane, rate(len(noticed), None), "reported"))
    return rows


def _add_look(tally: _Tally, bib: str, look: LookMade) -> None:
    """As many attempts as were seen, of which each fault was pressed."""
    seen = look.seen or 0
    tally.attempts += seen - seen_in(look.presses)
    if seen:
        tally.athletes.add(bib)
    for press in look.presses:
        _add(tally, bib, press)


def _unclosed_faults(lane: Lane) -> list[Attempt]:
    """What was seen in looks that nobody closed: out of how many, nobody said."""
    return [
        press
        for look in lane.work.looks
        if look.seen is None
        for press in look.presses
        if not press.good
    ]


# --- adding up -----------------------------------------------------------------------


def _add(tally: _Tally, bib: str, attempt: Attempt) -> None:
    tally.attempts += attempt.n
    tally.athletes.add(bib)
    if not is_missed(attempt):
        return
    tally.no_reps += 1
    tally.missing.add(bib)
    for reason in attempt.faults or ("",):
        tally.reasons[reason] = tally.reasons.get(reason, 0) + 1
        tally.by.setdefault(reason, set()).add(bib)


def _lane_rate(lane: Lane, of: Rate, watched: Watched) -> LaneRate:
    plan = lane.plan
    return LaneRate(
        heat=plan.heat, lane=plan.lane, bib=plan.bib, rate=of, watched=watched
    )


def _attempts(key: _Key, tally: _Tally) -> int | None:
    return tally.attempts if key.has_rate else None


def _faults(key: _Key, tally: _Tally) -> list[FaultRate]:
    return [
        FaultRate(
            card=key.card,
            movement=tally.name,
            fault=reason,
            call=tally.calls.get(reason, ""),
            rate=rate(count, _attempts(key, tally)),
            athletes=len(tally.by[reason]),
            of_athletes=len(tally.athletes),
            watched=key.watched,
        )
        for reason, count in sorted(tally.reasons.items())
    ]


def _worth(row: FaultRate) -> tuple[float, str, str, str]:
    """What a coach should act on first: surely frequent, and shared by many."""
    return -(row.rate.low or 0.0) * row.athletes, row.card, row.fault, row.watched


def _movement(key: _Key, tally: _Tally) -> MovementRate:
    return MovementRate(
        card=key.card,
        movement=tally.name,
        rate=rate(tally.no_reps, _attempts(key, tally)),
        athletes=len(tally.missing),
        of_athletes=len(tally.athletes),
        cues=tuple(sorted(tally.cues.items())),
        watched=key.watched,
        reported=tally.reported,
    )
