"""The fault report: which faults, out of how many attempts, and how sure that is.

CSV has one row for each fault. JSON is an object with `format` (its version, 1),
`faults` (the rows of the CSV by their keys), `movements`, `lanes` and `total`, each
with attempts, no_reps, rate, low and high. There a rate lies between 0 and 1 and is
null where there was no attempt; tables for people say the same in per cent.
"""

from __future__ import annotations

import json
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
_FAULTS = (
    Column(name="Movement", key="movement"),
    Column(name="Fault", key="fault"),
    Column(name="Call", key="call"),
    *_COUNTS,
    *_ATHLETES,
)
_MOVEMENTS = (
    Column(name="Movement", key="movement"),
    *_COUNTS,
    *_ATHLETES,
    Column(name="Cues", key="cues"),
)
_LANES = (
    Column(name="Heat", key="heat"),
    Column(name="Lane", key="lane", align="right"),
    Column(name="Bib", key="bib"),
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
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def tables(found: Faults) -> tuple[Table, ...]:
    """Faults, movements and lanes, for people."""
    return (
        Table(
            title="Faults",
            columns=_FAULTS,
            rows=tuple(_fault(f, _percents(f.rate)) for f in found.faults),
            notes=(*([_READ] if found.faults else []), total_words(found.total)),
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
    return (fault.movement, name, call, *counts, *athletes)


def _movement(movement: MovementRate, counts: tuple[Cell, ...]) -> tuple[Cell, ...]:
    cues = ", ".join(f"{fault} {count}" for fault, count in movement.cues)
    athletes = (movement.athletes, movement.of_athletes)
    return (movement.movement, *counts, *athletes, cues or None)


def _lane(lane: LaneRate, counts: tuple[Cell, ...]) -> tuple[Cell, ...]:
    return (lane.heat, lane.lane, lane.bib, *counts)


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
