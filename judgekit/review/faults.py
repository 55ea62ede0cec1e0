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

from judgekit.core.values import dataclass
from judgekit.review.attempts import athlete_of, lane_rows
from judgekit.review.intervals import wilson
from judgekit.review.judged import Watched, closed_looks, is_told
from judgekit.review.tallying import Tally

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from judgekit.core.state import Lane
    from judgekit.review.attempts import AttemptRow, LaneRows

# Fewer attempts than this, or an interval wider than that, say little.
FEW, WIDE = 20, 0.2


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

    @property
    def is_small(self) -> bool:
        """Whether there are so few attempts that the rate says little."""
        if self.attempts is None or self.low is None or self.high is None:
            return False
        return self.attempts < FEW or self.high - self.low > WIDE


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultRate:
    """One fault of one movement.

    `fault` is the reason as logged, empty where none was given; `call` is what the
    card's highest revision calls it, empty where that has it no more. A no-rep with two
    reasons counts under each; `good` are the attempts that counted, None where nobody
    counted them. `athletes` had it at least once, of `of_athletes`; they are
    people, of a team whoever worked.
    """

    card: str
    movement: str
    fault: str
    call: str
    rate: Rate
    good: int | None
    athletes: int
    of_athletes: int
    watched: Watched = "judged"


class Cued(NamedTuple):
    """How often a cue was noted; `call` is empty where the card has it no more."""

    fault: str
    call: str
    times: int


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
    cues: tuple[Cued, ...]
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
    from_paper: bool = False


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

    def share(self, fault: FaultRate) -> float:
        """A fault's share of all faults that were seen by the same way of watching."""
        of = [row for row in self.faults if row.watched == fault.watched]
        return fault.rate.no_reps / sum(row.rate.no_reps for row in of)


@dataclass(slots=True)
class _Movement:
    """One movement while the lanes are gone through: what its card says, and a tally.

    The words are those of the card's highest revision.
    """

    name: str
    revision: int = 0
    calls: dict[str, str] = field(default_factory=dict)
    reported: int = 0
    tally: Tally = field(default_factory=Tally)


class _Key(NamedTuple):
    """A movement by how it was watched, and whether each attempt was one press."""

    card: str
    rated: bool
    watched: Watched

    @property
    def has_rate(self) -> bool:
        """Whether there is a number of attempts that no-reps are out of."""
        return self.rated and self.watched != "reported"


_Found = dict[_Key, _Movement]


def fault_rates(
    lanes: Iterable[Lane], rows_of: Callable[[Lane], LaneRows] = lane_rows
) -> Faults:
    """Fault rates over all of the lanes; their order never matters.

    Every movement of a lane's plan has a row of its own, also without an attempt.
    `rows_of` is for those who have made the rows already.
    """
    found: _Found = {}
    rows: list[LaneRate] = []
    for lane in sorted(lanes, key=_order):
        _add_plan(found, lane)
        of_lane = rows_of(lane)
        _add_rows(found, of_lane, _watched(lane))
        rows += _lane_rates(lane, of_lane)
    faults = [row for key in sorted(found) for row in _faults(key, found[key])]
    told = [of for key, of in found.items() if key.watched == "reported"]
    return Faults(
        faults=tuple(sorted(faults, key=_worth)),
        movements=tuple(_movement(key, found[key]) for key in sorted(found)),
        lanes=tuple(rows),
        total=_total(found, "judged"),
        sampled=_total(found, "sampled"),
        noticed=sum(of.tally.no_reps for of in told),
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


def rate_of(rows: Iterable[AttemptRow]) -> Rate:
    """The rate over some rows; those without a number of attempts are left out."""
    rated = [row for row in rows if row.rated]
    missed = sum(row.n for row in rated if not row.good)
    return rate(missed, sum(row.n for row in rated))


def _order(lane: Lane) -> tuple[str, str, int, str]:
    plan = lane.plan
    return plan.date, plan.heat, plan.lane, plan.bib


def _watched(lane: Lane) -> Watched:
    """How a lane's sets were watched, looks aside."""
    return "reported" if is_told(lane) else "judged"


def _total(found: _Found, watched: Watched) -> Rate:
    of = [
        one.tally
        for key, one in found.items()
        if key.has_rate and key.watched == watched
    ]
    return rate(sum(t.no_reps for t in of), sum(t.attempts for t in of))


def _add_plan(found: _Found, lane: Lane) -> None:
    watched = _watched(lane)
    keys = [
        _Key(movement.card, movement.unit == "reps", watched)
        for part in lane.plan.parts
        for movement in part.movements
    ]
    keys += [
        _Key(lane.plan.movement(look.set).card, rated=True, watched="sampled")
        for look in closed_looks(lane)
    ]
    for key in keys:
        card = lane.plan.card(key.card)
        of = found.setdefault(key, _Movement(name=card.name))
        if card.revision >= of.revision:
            of.revision = card.revision
            of.name = card.name
            of.calls = {fault.id: fault.call for fault in card.faults}


# --- adding up -----------------------------------------------------------------------


def _add_rows(found: _Found, rows: LaneRows, watched: Watched) -> None:
    # A set's rows follow each other: its movement is looked up once, not for each rep.
    of_set, seen, tally = None, None, Tally()
    for row in rows.attempts:
        if row.set is not of_set or row.watched != seen:
            of_set, seen = row.set, row.watched
            tally = found[_Key(of_set.card, of_set.rated, seen)].tally
        tally.add(row, athlete_of(rows.facts, row.by))
    for cue in rows.cues:
        found[_Key(cue.set.card, cue.set.rated, watched)].tally.cue(cue.fault)
    if watched != "reported":
        return
    for done in rows.sets:
        if done.good:
            of = found[_Key(done.set.card, done.set.rated, watched)]
            of.reported += done.good
            of.tally.athletes.add(athlete_of(rows.facts, ""))


def _lane_rates(lane: Lane, rows: LaneRows) -> list[LaneRate]:
    """What was judged of a lane, or seen in looks and noticed outside of them."""
    if not is_told(lane):
        return [_lane_rate(lane, rate_of(rows.attempts), "judged")]
    noticed = [row for row in rows.attempts if row.watched == "reported"]
    looked = closed_looks(lane)
    found = []
    if looked:
        found.append(_lane_rate(lane, rate_of(rows.attempts), "sampled"))
    if noticed or not looked:
        found.append(_lane_rate(lane, rate(len(noticed), None), "reported"))
    return found


def _lane_rate(lane: Lane, of: Rate, watched: Watched) -> LaneRate:
    plan = lane.plan
    return LaneRate(
        heat=plan.heat,
        lane=plan.lane,
        bib=plan.bib,
        rate=of,
        watched=watched,
        from_paper=lane.work.paper is not None,
    )


def _attempts(key: _Key, tally: Tally) -> int | None:
    return tally.attempts if key.has_rate else None


def _faults(key: _Key, of: _Movement) -> list[FaultRate]:
    attempts = _attempts(key, of.tally)
    return [
        FaultRate(
            card=key.card,
            movement=of.name,
            fault=reason,
            call=of.calls.get(reason, ""),
            rate=rate(count, attempts),
            good=None if attempts is None else attempts - of.tally.no_reps,
            athletes=len(of.tally.by[reason]),
            of_athletes=len(of.tally.athletes),
            watched=key.watched,
        )
        for reason, count in sorted(of.tally.reasons.items())
    ]


def worth(of: Rate, athletes: int) -> float:
    """What a coach should act on first: surely frequent, and shared by many."""
    return (of.low or 0.0) * athletes


def _worth(row: FaultRate) -> tuple[float, str, str, str]:
    return -worth(row.rate, row.athletes), row.card, row.fault, row.watched


def _movement(key: _Key, of: _Movement) -> MovementRate:
    return MovementRate(
        card=key.card,
        movement=of.name,
        rate=rate(of.tally.no_reps, _attempts(key, of.tally)),
        athletes=len(of.tally.missing),
        of_athletes=len(of.tally.athletes),
        cues=tuple(
            Cued(fault, of.calls.get(fault, ""), times)
            for fault, times in sorted(of.tally.cues.items())
        ),
        watched=key.watched,
        reported=of.reported,
    )
