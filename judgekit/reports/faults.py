"""The fault report: which faults, out of how many attempts, and how sure that is.

CSV has one row for each fault. JSON is an object with `format` (its version, 1),
`faults` (the rows of the CSV by their keys), `movements`, `lanes`, `total` and
`sampled`, each with attempts, no_reps, rate, low and high, and `noticed`. There a rate
lies between 0 and 1 and is null where there was no attempt; tables for people say the
same in per cent. `watched` is judged, sampled or reported; people see it where not all
was judged.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import NO_REASON, OFF_CARD

if TYPE_CHECKING:
    from judgekit.review.faults import (
        FaultRate,
        Faults,
        LaneRate,
        MovementRate,
        Rate,
    )

FORMAT = 1
_DECIMALS = 4
_READ = (
    "Rate: no-reps with this fault out of the attempts at its movement; low and "
    "high: the 95 % interval. First comes what is surely frequent (low) and shared "
    "by many athletes."
)
_LOOKED = (
    "Sampled: out of the attempts that a coach saw in looks. Reported: the athlete "
    "said how many were done, so that faults noticed there have no rate."
)
_WATCHED = Column(name="Watched", key="watched")
_COUNTS = (
    Column(name="Attempts", key="attempts", align="right"),
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Rate", key="rate", align="right"),
    Column(name="Low", key="low", align="right"),
    Column(name="High", key="high", align="right"),
)
_ATHLETES = (
    Column(name="Athletes", key="athletes", align="right"),
    Column(name="Of athletes", key="of_athletes", align="right"),
)
# People read them as one: "3 of 12".
_TOGETHER = Column(name="Athletes", key="athletes", align="right")
_FAULTS = (
    Column(name="Movement", key="movement"),
    _WATCHED,
    Column(name="Fault", key="fault"),
    Column(name="Call", key="call"),
    *_COUNTS,
    *_ATHLETES,
)
_REPORTED = Column(name="Reported", key="reported", align="right")
_MOVEMENTS = (
    Column(name="Movement", key="movement"),
    _WATCHED,
    *_COUNTS,
    _REPORTED,
    *_ATHLETES,
    Column(name="Cues", key="cues"),
)
_LANES = (
    Column(name="Heat", key="heat"),
    Column(name="Lane", key="lane", align="right"),
    Column(name="Bib", key="bib"),
    _WATCHED,
    *_COUNTS,
)


def as_csv(found: Faults) -> str:
    """One row for each fault; an empty cell where there is nothing."""
    rows = tuple(_fault(fault, _numbers(fault.rate)) for fault in found.faults)
    return layout.as_csv(Table(title="Faults", columns=_FAULTS, rows=rows))


def as_json(found: Faults) -> str:
    """The report as the module's docstring says."""
    data = {
        "format": FORMAT,
        "faults": [_object(_FAULTS, _fault(f, _numbers(f.rate))) for f in found.faults],
        "movements": [
            {
                **_object(_MOVEMENTS, _movement(m, _numbers(m.rate))),
                "cues": dict(m.cues),
            }
            for m in found.movements
        ],
        "lanes": [_object(_LANES, _lane(x, _numbers(x.rate))) for x in found.lanes],
        "total": _object(_COUNTS, _numbers(found.total)),
        "sampled": _object(_COUNTS, _numbers(found.sampled)),
        "noticed": found.noticed,
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def tables(found: Faults) -> tuple[Table, ...]:
    """Faults, movements and lanes, for people."""
    every: tuple[Table, ...] = (
        Table(
            title="Faults",
            columns=_FAULTS,
            rows=tuple(_fault(f, _percents(f.rate)) for f in found.faults),
            notes=_notes(found),
        ),
        Table(
            title="Movements",
            columns=_MOVEMENTS,
            rows=tuple(_movement(m, _percents(m.rate)) for m in found.movements),
        ),
        Table(
            title="Lanes",
            columns=_LANES,
            rows=tuple(_lane(lane, _percents(lane.rate)) for lane in found.lanes),
        ),
    )
    every = tuple(_with_athletes(table) for table in every)
    if _is_told(found):
        return every
    return tuple(_without(table, {_WATCHED, _REPORTED}) for table in every)


def _with_athletes(table: Table) -> Table:
    """How many athletes, out of how many, in one column: a terminal is narrow."""
    if _ATHLETES[0] not in table.columns:
        return table
    place = table.columns.index(_ATHLETES[0])
    after = place + len(_ATHLETES)
    return replace(
        table,
        columns=(*table.columns[:place], _TOGETHER, *table.columns[after:]),
        rows=tuple(
            (*row[:place], f"{row[place]} of {row[place + 1]}", *row[after:])
            for row in table.rows
        ),
    )


def _without(table: Table, columns: set[Column]) -> Table:
    """The table without columns that say the same in each row."""
    kept = [place for place, c in enumerate(table.columns) if c not in columns]
    return replace(
        table,
        columns=tuple(table.columns[place] for place in kept),
        rows=tuple(tuple(row[place] for place in kept) for row in table.rows),
    )


def _is_told(found: Faults) -> bool:
    """Whether athletes told of some of it themselves."""
    return any(lane.watched != "judged" for lane in found.lanes)


def _notes(found: Faults) -> tuple[str, ...]:
    notes = [_READ] if found.faults else []
    told = _is_told(found)
    judged = any(row.watched == "judged" for row in found.lanes)
    if told:
        notes.append(_LOOKED)
    if judged or not told:
        notes.append(total_words(found.total))
    if found.sampled.attempts:
        notes.append(f"In looks: {_start_small(total_words(found.sampled))}")
    if found.noticed:
        many = "1 fault" if found.noticed == 1 else f"{found.noticed} faults"
        notes.append(f"Noticed outside of looks: {many}.")
    return tuple(notes)


def _start_small(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def total_words(total: Rate) -> str:
    """All attempts together, in a sentence."""
    if not total.attempts:
        return "No attempt was judged: 0 no-reps."
    tries = "1 attempt" if total.attempts == 1 else f"{total.attempts} attempts"
    if not total.no_reps:
        return f"No faults: 0 no-reps in {tries}."
    misses = "1 no-rep" if total.no_reps == 1 else f"{total.no_reps} no-reps"
    _, _, rate, low, high = _percents(total)
    return f"{misses} in {tries}: {rate}, likely between {low} and {high} (95 %)."


def _object(columns: tuple[Column, ...], cells: tuple[Cell, ...]) -> dict[str, object]:
    return dict(zip((column.key for column in columns), cells, strict=True))


def _fault(fault: FaultRate, counts: tuple[Cell, ...]) -> tuple[Cell, ...]:
    call = fault.call or (OFF_CARD if fault.fault else None)
    name = fault.fault or NO_REASON
    athletes = (fault.athletes, fault.of_athletes)
    return (fault.movement, fault.watched, name, call, *counts, *athletes)


def _movement(movement: MovementRate, counts: tuple[Cell, ...]) -> tuple[Cell, ...]:
    cues = ", ".join(f"{fault} {count}" for fault, count in movement.cues)
    athletes = (movement.athletes, movement.of_athletes)
    reported = movement.reported if movement.watched == "reported" else None
    watched = movement.watched
    return (movement.movement, watched, *counts, reported, *athletes, cues or None)


def _lane(lane: LaneRate, counts: tuple[Cell, ...]) -> tuple[Cell, ...]:
    return (lane.heat, lane.lane, lane.bib, lane.watched, *counts)


def _numbers(rate: Rate) -> tuple[Cell, ...]:
    return (
        rate.attempts,
        rate.no_reps,
        *(
            None if part is None else round(part, _DECIMALS)
            for part in (rate.rate, rate.low, rate.high)
        ),
    )


def _percents(rate: Rate) -> tuple[Cell, ...]:
    return (
        rate.attempts,
        rate.no_reps,
        *(
            None if part is None else f"{part:.1%}".replace("%", " %")
            for part in (rate.rate, rate.low, rate.high)
        ),
    )
