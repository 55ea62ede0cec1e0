"""An event's attempts, sets, faults and scores as tidy tables for other programs.

One row is one thing, each column one fact about it, its unit in its name. Names are as
athletes chose to have them shown; nothing private is read. Times in ms are on the
lane's own clock, `at` is the same moment with its offset from UTC. Totals from paper
have no times: `timed` says so, and what nobody wrote is empty.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.plates import load_mass
from judgekit.core.quantity import rounded
from judgekit.reports.columns import (
    BIB,
    DIVISION,
    GOOD,
    HEAT,
    LANE,
    LOAD,
    MOVEMENT,
    NAME,
    NO_REPS,
    PART,
    PLACE,
    ROUND,
    TARGET,
    UNIT,
    WORKOUT,
)
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.logtext import began_wall, wall_text
from judgekit.reports.names import shown_name
from judgekit.reports.standings import score_table
from judgekit.review.attempts import lane_rows

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane
    from judgekit.reports.standings import Standings
    from judgekit.review.attempts import AttemptRow, LaneRows, SetFacts, SetRow

    _Row = tuple[Cell, ...]

_LANE = (
    Column(name="Event", key="event"),
    Column(name="Date", key="date"),
    WORKOUT,
    HEAT,
    LANE,
    BIB,
    NAME,
    DIVISION,
    Column(name="Judge", key="judge"),
    Column(name="Watched", key="watched"),
)
_SET = (
    PART,
    ROUND,
    PLACE,
    Column(name="Card", key="card"),
    MOVEMENT,
    UNIT,
    LOAD,
    Column(name="Load", key="load_kg", align="right", unit="kg"),
    Column(name="Instead of", key="instead_of"),
)
_MOMENT = (
    Column(name="Time", key="at_ms", align="right", unit="ms"),
    Column(name="At", key="at"),
)
_TIMED = Column(name="Timed", key="timed")
_ATTEMPTS = (
    *_LANE,
    *_SET,
    *_MOMENT,
    Column(name="Rep", key="rep", align="right"),
    Column(name="Attempt", key="attempt", align="right"),
    Column(name="Result", key="result"),
    Column(name="Attempts", key="n", align="right"),
    Column(name="Faults", key="faults"),
    Column(name="Rated", key="rated"),
    Column(name="By", key="by"),
    _TIMED,
)
_SETS = (
    *_LANE,
    *_SET,
    TARGET,
    GOOD,
    NO_REPS,
    Column(name="Opened", key="opened_ms", align="right", unit="ms"),
    Column(name="First", key="first_ms", align="right", unit="ms"),
    Column(name="Last", key="last_ms", align="right", unit="ms"),
    Column(name="Done", key="done_ms", align="right", unit="ms"),
    Column(name="Left short", key="left"),
    Column(name="Pieces advised", key="pieces_advised"),
    _TIMED,
)
_FAULTS = (
    *_LANE,
    *_SET,
    *_MOMENT,
    Column(name="Rep", key="rep", align="right"),
    Column(name="Attempt", key="attempt", align="right"),
    Column(name="Weight", key="weight"),
    Column(name="Reason", key="reason", align="right"),
    Column(name="Fault", key="fault"),
    Column(name="Call", key="call"),
    Column(name="By", key="by"),
    _TIMED,
)
_SCORED = (
    Column(name="Log code", key="log_code"),
    Column(name="Workout", key="workout_name"),
    Column(name="Division", key="division_name"),
)


def attempts(lanes: Iterable[Lane]) -> Table:
    """One row for each press: `n` attempts, all good or one no-rep.

    From paper it is one for the good reps of a set, and one for each no-rep.
    """
    return _table("Attempts", _ATTEMPTS, lanes, _attempts)


def sets(lanes: Iterable[Lane]) -> Table:
    """One row for each set that was touched."""
    return _table("Sets", _SETS, lanes, _sets)


def faults(lanes: Iterable[Lane]) -> Table:
    """One row for each reason of each no-rep, and for each cue."""
    return _table("Faults", _FAULTS, lanes, _faults)


def scores(
    found: Sequence[Standings], log_codes: Mapping[tuple[str, int], str]
) -> Table:
    """One row for each lane; `log_codes` by heat and lane.

    Workout and division are ids, as in the other tables; their names stand last.
    """
    plain = score_table(found)
    keys = [column.key for column in plain.columns]
    ranked = [(one, place.row.lane.plan) for one in found for place in one.places]
    return Table(
        title="Scores",
        columns=(*_LANE[:2], *plain.columns, *_SCORED),
        rows=tuple(
            (
                plan.event,
                plan.date,
                *_with_ids(plan, keys, row),
                log_codes.get((plan.heat, plan.lane)) or None,
                one.workout_name,
                one.division_name,
            )
            for (one, plan), row in zip(ranked, plain.rows, strict=True)
        ),
    )


def _with_ids(plan: Plan, keys: Sequence[str], row: _Row) -> _Row:
    """A row of standings with ids where it has names."""
    ids = {"workout": plan.workout, "division": plan.division}
    return tuple(ids.get(key, cell) for key, cell in zip(keys, row, strict=True))


def _table(
    title: str,
    columns: tuple[Column, ...],
    lanes: Iterable[Lane],
    rows: Callable[[Lane, LaneRows], Iterator[_Row]],
) -> Table:
    found = [row for lane in lanes for row in rows(lane, lane_rows(lane))]
    return Table(title=title, columns=columns, rows=tuple(found))


def _attempts(lane: Lane, found: LaneRows) -> Iterator[_Row]:
    of = _Lane(lane)
    for row in found.attempts:
        yield (
            *of.cells(row.watched, row.lane.judge),
            *_set(row.set),
            *of.moment(_at(row)),
            *_tries(row),
            "good" if row.good else "no-rep",
            row.n,
            " ".join(row.faults) or None,
            _yes(row.rated),
            row.by or None,
            _yes(row.timed),
        )


def _sets(lane: Lane, found: LaneRows) -> Iterator[_Row]:
    of = _Lane(lane)
    for row in found.sets:
        yield (
            *of.cells(row.watched, found.facts.judge),
            *_set(row.set),
            row.target,
            row.good,
            # Where nobody judged every rep, none was counted.
            row.no_reps if row.watched == "judged" else None,
            *_times(row),
            row.left or None,
            "+".join(map(str, row.pieces)) or None,
            _yes(row.timed),
        )


def _faults(lane: Lane, found: LaneRows) -> Iterator[_Row]:
    of = _Lane(lane)
    for row in found.attempts:
        for reason, fault in enumerate(row.faults or ("",), 1) if not row.good else ():
            yield (
                *of.cells(row.watched, row.lane.judge),
                *_set(row.set),
                *of.moment(_at(row)),
                *_tries(row),
                "void",
                reason,
                *_call(lane.plan, row.set.card, fault),
                row.by or None,
                _yes(row.timed),
            )
    for cue in found.cues:
        yield (
            *of.cells(found.cues_watched, cue.lane.judge),
            *_set(cue.set),
            *of.moment(cue.at),
            None,
            None,
            "cue",
            1,
            *_call(lane.plan, cue.set.card, cue.fault),
            cue.by or None,
            "yes",
        )


class _Lane:
    """What all rows of a lane begin with, and its clock."""

    def __init__(self, lane: Lane) -> None:
        self._plan = lane.plan
        self._began = began_wall(lane)

    def cells(self, watched: str, judge: str) -> _Row:
        plan = self._plan
        return (
            plan.event,
            plan.date,
            plan.workout,
            plan.heat,
            plan.lane,
            plan.bib,
            shown_name(plan.name, plan.show, plan.bib),
            plan.division,
            judge or None,
            watched,
        )

    def moment(self, at: int | None) -> tuple[int | None, str | None]:
        """A time on the lane's own clock, and the same moment by the wall's."""
        if at is None or self._began is None:
            return at, None
        return at, wall_text(self._began + at, self._plan.zone)


def _set(of: SetFacts) -> _Row:
    mass = load_mass(of.load) if of.load else None
    kg = mass if mass is not None and mass.dimension == "mass" else None
    return (
        of.part or str(of.key.part),
        of.key.round or None,
        of.key.movement,
        of.card,
        of.movement,
        of.unit,
        of.load or None,
        None if kg is None else float(rounded(kg.amount, 3)),
        of.instead_of or None,
    )


def _tries(row: AttemptRow) -> tuple[int | None, int | None]:
    """Which rep was tried at which try; a look and paper say neither."""
    return row.rep or None, row.attempt or None


def _at(row: AttemptRow) -> int | None:
    return row.at if row.timed else None


def _times(row: SetRow) -> _Row:
    return (row.opened, row.first, row.last, row.done) if row.timed else (None,) * 4


def _yes(whether: bool) -> str:
    return "yes" if whether else "no"


def _call(plan: Plan, card: str, fault: str) -> tuple[str | None, str | None]:
    """The fault as logged and its call; nothing where it has none."""
    known = plan.card(card).fault(fault)
    return fault or None, None if known is None else known.call
