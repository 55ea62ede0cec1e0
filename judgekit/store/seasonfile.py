"""Attempts as Parquet: what a season is counted from, and any other engine can read.

A file holds the attempts of one event on one day, a row for each press. It is made of
the books alone, can be made anew at any time, and is never the truth.
"""

from __future__ import annotations

import io
from datetime import date
from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.review.attempts import AttemptRow
    from judgekit.store.seasonkept import KeptLane

# Its words repeat all the time, so each is stored once.
_WORD = pl.Categorical()
# What all attempts of one athlete at one set share.
_SHARED = pl.Schema(
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
        "log": _WORD,
        "log_code": _WORD,
    }
)
# What each press is, beside that.
_OWN = pl.Schema(
    {
        "at_ms": pl.Int64(),
        "rep": pl.Int32(),
        "attempt": pl.Int32(),
        "good": pl.Boolean(),
        "n": pl.Int32(),
        "faults": pl.List(_WORD),
    }
)
SCHEMA = pl.Schema({**_SHARED, **_OWN})
# Where the reasons of a good rep stand among all reasons.
_NO_REASON = 0


def parquet(lanes: Iterable[KeptLane]) -> bytes:
    """The lanes of one event and day, in the order given, as a Parquet file."""
    rows = _Rows()
    for lane in lanes:
        rows.add(lane)
    out = io.BytesIO()
    rows.frame().write_parquet(out, compression="zstd")
    return out.getvalue()


class _Rows:
    """Rows as they are gathered: what many share is kept once, and pointed at."""

    def __init__(self) -> None:
        self._shared: list[tuple[object, ...]] = []
        self._places: list[int] = []
        self._reasons: dict[tuple[str, ...], int] = {(): _NO_REASON}
        self._told: list[int] = []
        self._rows: list[AttemptRow] = []

    def add(self, lane: KeptLane) -> None:
        known: dict[tuple[int, str, str], int] = {}
        of = watched = by = None
        place = 0
        for row in lane.rows.attempts:
            # Mostly a row shares all with the one before it.
            if row.set is not of or row.watched != watched or row.by != by:
                of, watched, by = row.set, row.watched, row.by
                place = known.setdefault((id(of), watched, by), len(self._shared))
                if place == len(self._shared):
                    self._shared.append(_shared(lane, row))
            self._places.append(place)
        self._told += [
            _NO_REASON if row.good else self._reason(row) for row in lane.rows.attempts
        ]
        self._rows += lane.rows.attempts

    def _reason(self, row: AttemptRow) -> int:
        return self._reasons.setdefault(row.faults or ("",), len(self._reasons))

    def frame(self) -> pl.DataFrame:
        shared = pl.DataFrame(self._shared, schema=_SHARED, orient="row")
        reasons = pl.Series([list(r) for r in self._reasons], dtype=_OWN["faults"])
        own = {
            "at_ms": [row.at if row.timed else None for row in self._rows],
            "rep": [row.rep or None for row in self._rows],
            "attempt": [row.attempt or None for row in self._rows],
            "good": [row.good for row in self._rows],
            "n": [row.n for row in self._rows],
            "faults": reasons[self._told],
        }
        return shared[self._places].hstack(pl.DataFrame(own, schema=_OWN))


def _shared(lane: KeptLane, row: AttemptRow) -> tuple[object, ...]:
    plan, of = lane.rows.facts.plan, row.set
    who = lane.who(row.by)
    return (
        plan.event,
        date.fromisoformat(plan.date),
        plan.workout,
        plan.heat,
        plan.lane,
        plan.division,
        lane.rows.facts.judge,
        who.athlete,
        who.name,
        row.by or plan.bib,
        row.watched,
        row.rated,
        row.timed,
        of.part or str(of.key.part),
        of.key.round or None,
        of.key.movement,
        of.card,
        of.movement,
        of.unit,
        of.load,
        lane.log,
        lane.log_code,
    )
