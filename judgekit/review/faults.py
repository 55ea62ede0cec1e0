"""Which faults, how often out of how many attempts, how sure, and by how many.

An attempt is a good rep or a no-rep that was judged while it could count. A fault is
counted under the reason as it was logged, whatever the card says today. Where a
monitor counts, nobody judged each unit: no-reps are told there, but have no rate.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.review.intervals import wilson

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import Attempt, Lane, Mark

# Presses that say nothing about a rep: nobody was meant to be working.
_NOT_WORKING: frozenset[Mark] = frozenset({"not counted", "after the horn"})


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


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementRate:
    """All no-reps of one movement, each counted once."""

    card: str
    movement: str
    rate: Rate
    athletes: int
    of_athletes: int
    cues: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneRate:
    """All no-reps of one lane, each counted once."""

    heat: str
    lane: int
    bib: str
    rate: Rate


@dataclass(frozen=True, slots=True, kw_only=True)
class Faults:
    """Fault rates of some lanes, most worth acting on first, and their totals."""

    faults: tuple[FaultRate, ...]
    movements: tuple[MovementRate, ...]
    lanes: tuple[LaneRate, ...]
    total: Rate


@dataclass(slots=True)
class _Tally:
    """What was seen of one movement while the lanes are gone through."""

    name: str
    revision: int = 0
    attempts: int = 0
    no_reps: int = 0
    athletes: set[str] = field(default_factory=set)
    missing: set[str] = field(default_factory=set)
    reasons: dict[str, int] = field(default_factory=dict)
    by: dict[str, set[str]] = field(default_factory=dict)
    calls: dict[str, str] = field(default_factory=dict)
    cues: dict[str, int] = field(default_factory=dict)


# A movement is counted rep by rep (True) or by a monitor, each with rates of its own.
_Key = tuple[str, bool]


def fault_rates(lanes: Iterable[Lane]) -> Faults:
    """Fault rates over all of the lanes; their order never matters.

    Every movement of a lane's plan has a row of its own, also without an attempt.
    """
    tallies: dict[_Key, _Tally] = {}
    rows: list[LaneRate] = []
    for lane in sorted(lanes, key=_order):
        _add_plan(tallies, lane.plan)
        judged = [a for a in lane.work.attempts if is_judged(a)]
        for attempt in judged:
            _add(tallies[_key(lane.plan, attempt.set)], lane.plan.bib, attempt)
        for cue in lane.work.cues:
            seen = tallies[_key(lane.plan, cue.set)].cues
            seen[cue.fault] = seen.get(cue.fault, 0) + 1
        rows.append(_lane(lane.plan, judged))
    faults = [row for key in sorted(tallies) for row in _faults(key, tallies[key])]
    counted = [tally for (_, by_rep), tally in tallies.items() if by_rep]
    return Faults(
        faults=tuple(sorted(faults, key=_worth)),
        movements=tuple(_movement(key, tallies[key]) for key in sorted(tallies)),
        lanes=tuple(rows),
        total=rate(sum(t.no_reps for t in counted), sum(t.attempts for t in counted)),
    )


def is_judged(attempt: Attempt) -> bool:
    """Whether an attempt says something about how the athlete moves.

    The one rule for every report: a voided attempt does not, nor does a press after
    the horn or one that was not counted, unless a ruling restored it.
    """
    if attempt.shows is not None:
        return False
    if attempt.counts or _restored(attempt):
        return True
    return "voided" not in attempt.marks and not _NOT_WORKING & set(attempt.marks)


def is_missed(attempt: Attempt) -> bool:
    """A judged no-rep that stands; one restored was a good rep after all."""
    return (
        is_judged(attempt)
        and not attempt.good
        and not attempt.counts
        and not _restored(attempt)
    )


def missed(lane: Lane) -> list[Attempt]:
    """The no-reps of a lane that stand, in the order of the log."""
    return [attempt for attempt in lane.work.attempts if is_missed(attempt)]


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


def _restored(attempt: Attempt) -> bool:
    """Whether the newest ruling on the attempt restored it."""
    ruled = [mark for mark in attempt.marks if mark in ("voided", "restored")]
    return ruled[-1:] == ["restored"]


def _order(lane: Lane) -> tuple[str, str, int, str]:
    plan = lane.plan
    return plan.date, plan.heat, plan.lane, plan.bib


def _key(plan: Plan, key: SetKey) -> _Key:
    movement = plan.movement(key)
    return movement.card, movement.unit == "reps"


def _add_plan(tallies: dict[_Key, _Tally], plan: Plan) -> None:
    for part in plan.parts:
        for movement in part.movements:
            card = plan.card(movement.card)
            key = card.id, movement.unit == "reps"
            tally = tallies.setdefault(key, _Tally(name=card.name))
            if card.revision >= tally.revision:
                tally.revision = card.revision
                tally.name = card.name
                tally.calls = {fault.id: fault.call for fault in card.faults}


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


def _lane(plan: Plan, judged: Iterable[Attempt]) -> LaneRate:
    counted = [a for a in judged if _key(plan, a.set)[1]]
    missed = sum(1 for a in counted if is_missed(a))
    return LaneRate(
        heat=plan.heat,
        lane=plan.lane,
        bib=plan.bib,
        rate=rate(missed, sum(a.n for a in counted)),
    )


def _attempts(key: _Key, tally: _Tally) -> int | None:
    return tally.attempts if key[1] else None


def _faults(key: _Key, tally: _Tally) -> list[FaultRate]:
    return [
        FaultRate(
            card=key[0],
            movement=tally.name,
            fault=reason,
            call=tally.calls.get(reason, ""),
            rate=rate(count, _attempts(key, tally)),
            athletes=len(tally.by[reason]),
            of_athletes=len(tally.athletes),
        )
        for reason, count in sorted(tally.reasons.items())
    ]


def _worth(row: FaultRate) -> tuple[float, str, str]:
    """What a coach should act on first: surely frequent, and shared by many."""
    return -(row.rate.low or 0.0) * row.athletes, row.card, row.fault


def _movement(key: _Key, tally: _Tally) -> MovementRate:
    return MovementRate(
        card=key[0],
        movement=tally.name,
        rate=rate(tally.no_reps, _attempts(key, tally)),
        athletes=len(tally.missing),
        of_athletes=len(tally.athletes),
        cues=tuple(sorted(tally.cues.items())),
    )
