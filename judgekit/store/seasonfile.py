"""Attempts, sets and cues as Parquet: what a season is counted from.

Any other engine reads the files, too. Each holds what one event has on one day: a row
for each press, for each set touched, for each cue. They are made of the books alone,
can be made anew at any time, and are never the truth.
"""

from __future__ import annotations

import io
from datetime import date
from typing import TYPE_CHECKING, Any

import polars as pl

from judgekit.core.plan import OPEN
from judgekit.store.seasonkept import ATTEMPTS, CUES, SETS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from judgekit.review.attempts import AttemptRow, CueRow, SetRow
    from judgekit.review.lost import Span
    from judgekit.review.pieces import SetPieces
    from judgekit.store.seasonkept import KeptLane

# Its words repeat all the time, so each is stored once.
_WORD = pl.Categorical()
# What all rows of one athlete at one set share.
_LANE = pl.Schema(
    {
        "event": _WORD,
        "date": pl.Date(),
        "workout": _WORD,
        "heat": _WORD,
        "lane": pl.Int32(),
        "division": _WORD,
        "judge": _WORD,
        "athlete": _WORD,
        "name": _WORD,
        "bib": _WORD,
        "watched": _WORD,
        "rated": pl.Boolean(),
        "timed": pl.Boolean(),
        "part": _WORD,
        "round": pl.Int32(),
        "place": pl.Int32(),
        "card": _WORD,
        "movement": _WORD,
        "unit": _WORD,
        "load": _WORD,
        "target": pl.Int32(),
        "log": _WORD,
        "log_code": _WORD,
    }
)
_LOST = ("lost_low_ms", "lost_middle_ms", "lost_high_ms")
# What each press is, beside that.
_PRESS = pl.Schema(
    {
        "at_ms": pl.Int64(),
        "rep": pl.Int32(),
        "attempt": pl.Int32(),
        "good": pl.Boolean(),
        "n": pl.Int32(),
        "faults": pl.List(_WORD),
        **dict.fromkeys(_LOST, pl.Int64()),
    }
)
# How each set was done.
_SET = pl.Schema(
    {
        "reps": pl.Int32(),
        "no_reps": pl.Int32(),
        "pieces": pl.List(pl.Int32()),
        "advised": pl.List(pl.Int32()),
        "as_advised": pl.Boolean(),
        "pace_ms": pl.Int64(),
        "breaks": pl.Int32(),
        "rested_ms": pl.Int64(),
        "begins": _WORD,
        "way_ms": pl.Int64(),
        "untold": _WORD,
    }
)
_CUE = pl.Schema({"at_ms": pl.Int64(), "fault": _WORD})
SCHEMAS: Mapping[str, pl.Schema] = {
    ATTEMPTS: pl.Schema({**_LANE, **_PRESS}),
    SETS: pl.Schema({**_LANE, **_SET}),
    CUES: pl.Schema({**_LANE, **_CUE}),
}


def parquets(lanes: Sequence[KeptLane]) -> dict[str, bytes]:
    """The files of one event and day by their names, lanes in the order given."""
    make: Mapping[str, Callable[[Iterable[KeptLane]], pl.DataFrame]] = {
        ATTEMPTS: _attempts,
        SETS: _sets,
        CUES: _cues,
    }
    return {name: _written(of(lanes)) for name, of in make.items()}


def attempts_file(lanes: Iterable[KeptLane]) -> bytes:
    """The attempts of those lanes alone."""
    return _written(_attempts(lanes))


def _written(frame: pl.DataFrame) -> bytes:
    out = io.BytesIO()
    frame.write_parquet(out, compression="zstd")
    return out.getvalue()


class _Presses:
    """Rows as they are gathered: what many share is kept once, and pointed at."""

    def __init__(self) -> None:
        self._shared: list[tuple[object, ...]] = []
        self._places: list[int] = []
        self._lost: list[Span | None] = []
        self._rows: list[AttemptRow] = []

    def add(self, lane: KeptLane) -> None:
        known: dict[tuple[int, str, str, str], int] = {}
        last: tuple[object, ...] = ()
        place = 0
        for row in lane.rows.attempts:
            key = (id(row.set), row.watched, row.by, row.lane.judge)
            # Mostly a row shares all with the one before it.
            if key != last:
                last, place = key, known.setdefault(key, len(self._shared))
                if place == len(self._shared):
                    self._shared.append(_shared(lane, row, row.by, row.watched))
            self._places.append(place)
        self._rows += lane.rows.attempts
        self._lost += lane.lost

    def frame(self) -> pl.DataFrame:
        shared = pl.DataFrame(self._shared, schema=_LANE, orient="row")
        rows, lost = self._rows, self._lost
        # A no-rep without a reason has an empty one.
        reasons = [() if row.good else row.faults or ("",) for row in rows]
        own = {
            "at_ms": [row.at if row.timed else None for row in rows],
            "rep": [row.rep or None for row in rows],
            "attempt": [row.attempt or None for row in rows],
            "good": [row.good for row in rows],
            "n": [row.n for row in rows],
            "faults": _lists(reasons, _PRESS["faults"]),
            "lost_low_ms": [None if one is None else one.low for one in lost],
            "lost_middle_ms": [None if one is None else one.middle for one in lost],
            "lost_high_ms": [None if one is None else one.high for one in lost],
        }
        return shared[self._places].hstack(pl.DataFrame(own, schema=_PRESS))


def _columns(rows: Sequence[Sequence[Any]], many: int) -> list[Sequence[Any]]:
    """Rows of so many values, each turned into a column."""
    return list(zip(*rows, strict=True)) if rows else [()] * many


def _lists(values: Iterable[Sequence[object]], of: pl.DataType) -> pl.Series:
    """Lists as a column: the same come again, so each is made once, and pointed at."""
    known: dict[Sequence[object], int] = {}
    places = [known.setdefault(one, len(known)) for one in values]
    return pl.Series([list(one) for one in known], dtype=of)[places]


def _attempts(lanes: Iterable[KeptLane]) -> pl.DataFrame:
    presses = _Presses()
    for lane in lanes:
        presses.add(lane)
    return presses.frame()


def _sets(lanes: Iterable[KeptLane]) -> pl.DataFrame:
    shared: list[tuple[object, ...]] = []
    done: list[tuple[object, ...]] = []
    for lane in lanes:
        own = "" if lane.rows.facts.plan.team.members else lane.rows.facts.plan.bib
        for row, one in zip(lane.rows.sets, lane.sets, strict=True):
            shared.append(_shared(lane, row, own, row.watched))
            done.append(_done(one))
    columns = {
        name: _lists(values, of) if isinstance(of, pl.List) else values
        for (name, of), values in zip(
            _SET.items(), _columns(done, len(_SET)), strict=True
        )
    }
    frame = pl.DataFrame(shared, schema=_LANE, orient="row")
    return frame.hstack(pl.DataFrame(columns, schema=_SET))


def _cues(lanes: Iterable[KeptLane]) -> pl.DataFrame:
    rows: list[tuple[object, ...]] = []
    for lane in lanes:
        watched = lane.rows.cues_watched if lane.rows.cues else ""
        rows += (
            (*_shared(lane, cue, cue.by, watched), cue.at, cue.fault)
            for cue in lane.rows.cues
        )
    return pl.DataFrame(rows, schema=SCHEMAS[CUES], orient="row")


def _done(one: SetPieces) -> tuple[object, ...]:
    timed = one.told is not None
    return (
        one.good,
        one.no_reps,
        one.pieces,
        one.planned,
        one.as_planned,
        one.pace_ms,
        one.breaks if timed else None,
        one.rested_ms if timed else None,
        one.begins,
        one.way_ms,
        one.untold,
    )


def _shared(
    lane: KeptLane, row: AttemptRow | SetRow | CueRow, by: str, watched: str
) -> tuple[object, ...]:
    plan, of = lane.rows.facts.plan, row.set
    who = lane.who(by)
    target = plan.target(of.key) if of.key.round else OPEN
    return (
        plan.event,
        date.fromisoformat(plan.date),
        plan.workout,
        plan.heat,
        plan.lane,
        plan.division,
        row.lane.judge,
        who.athlete,
        who.name,
        by or plan.bib,
        watched,
        of.rated and watched != "reported",
        # Paper tells of no cue.
        getattr(row, "timed", True),
        of.part or str(of.key.part),
        of.key.round or None,
        of.key.movement,
        of.card,
        of.movement,
        of.unit,
        of.load,
        None if target == OPEN else target,
        lane.log,
        lane.log_code,
    )
