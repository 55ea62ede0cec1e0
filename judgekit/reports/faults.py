"""The fault report: which faults, out of how many attempts, and how sure that is.

CSV has one row for each fault that was called; `good` are the attempts at its movement
that counted, so those with another reason are in neither. Cues change no count: they
stand with the movements, and by fault in `frequencies.py`. JSON is an object with
`format` (its version, 1), `faults` (the rows of the CSV by their keys), `movements`,
`lanes`, `total` and `sampled`, each with attempts, no_reps, rate, low and high, and
`noticed`; lanes say whether they are `from_paper`. There a rate
lies between 0 and 1 and is null where there was no attempt; tables for people say the
same in per cent. `watched` is judged, sampled or reported; people see it where not all
was judged. Where there was a session before, `since` and `recurring` are in it, and
`when`, which says when in the work no-reps come.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import NO_REASON, OFF_CARD
from judgekit.reports.ratewords import (
    COUNTS,
    GOOD,
    REMARK,
    SEEN,
    athletes_words,
    numbers,
    percent,
    percents,
    remark,
    rounded,
    seen,
    without,
    without_empty,
)
from judgekit.reports.sessions import session_data, session_tables
from judgekit.reports.tiring import when_data, when_table
from judgekit.review.sessions import Sessions
from judgekit.review.tiring import Tiring

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.review.faults import (
        FaultRate,
        Faults,
        LaneRate,
        MovementRate,
        Rate,
    )

FORMAT = 1
_READ = (
    "Rate: no-reps with this fault out of the attempts at its movement; likely: where "
    "the rate lies with 95 of 100 (Wilson's interval). First comes what is surely "
    "frequent and shared by many athletes."
)
_SMALL = "Few: under 20 attempts, or a likely range wider than 20 points."
_LOOKED = (
    "Sampled: out of the attempts that a coach saw in looks. Reported: the athlete "
    "said how many were done, so that faults noticed there have no rate."
)
_WATCHED = Column(name="Watched", key="watched")
_ATHLETES = (
    Column(name="Athletes", key="athletes", align="right"),
    Column(name="Of athletes", key="of_athletes", align="right"),
)
# People read them as one: "3 of 12".
_TOGETHER = Column(name="Athletes", key="athletes_of", align="right")
_FAULTS = (
    Column(name="Movement", key="movement"),
    _WATCHED,
    Column(name="Fault", key="fault"),
    Column(name="Call", key="call"),
    COUNTS[0],
    GOOD,
    *COUNTS[1:],
    *_ATHLETES,
    Column(name="Share", key="share", align="right"),
    Column(name="Few", key="few"),
)
_SHOWN_FAULTS = (
    Column(name="Movement", key="movement"),
    _WATCHED,
    Column(name="Call", key="call"),
    *SEEN,
    Column(name="Share", key="share", align="right"),
    _TOGETHER,
    REMARK,
)
_REPORTED = Column(name="Reported", key="reported", align="right")
_MOVEMENTS = (
    Column(name="Movement", key="movement"),
    _WATCHED,
    *COUNTS,
    _REPORTED,
    *_ATHLETES,
    Column(name="Cues", key="cues"),
)
_LANES = (
    Column(name="Heat", key="heat"),
    Column(name="Lane", key="lane", align="right"),
    Column(name="Bib", key="bib"),
    _WATCHED,
    *COUNTS,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What is told beside the rates: other sessions, and when in the work."""

    sessions: Sessions = Sessions()
    when: tuple[Tiring, ...] = ()


def as_csv(found: Faults) -> str:
    """One row for each fault; an empty cell where there is nothing."""
    rows = tuple(_fault(found, fault) for fault in found.faults)
    return layout.as_csv(Table(title="Faults", columns=_FAULTS, rows=rows))


def as_json(found: Faults, beside: Beside | None = None) -> str:
    """The report as the module's docstring says."""
    data = {
        "format": FORMAT,
        "faults": [_object(_FAULTS, _fault(found, f)) for f in found.faults],
        "movements": [
            {
                **_object(_MOVEMENTS, _movement(m, numbers(m.rate))),
                "cues": {cue.fault: cue.times for cue in m.cues},
            }
            for m in found.movements
        ],
        "lanes": [
            {
                **_object(_LANES, _lane(x, numbers(x.rate))),
                "from_paper": x.from_paper,
            }
            for x in found.lanes
        ],
        "total": _object(COUNTS, numbers(found.total)),
        "sampled": _object(COUNTS, numbers(found.sampled)),
        "noticed": found.noticed,
        **(_beside(beside) if beside is not None else {}),
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def _beside(beside: Beside) -> dict[str, object]:
    return {**session_data(beside.sessions), "when": when_data(beside.when)}


def tables(found: Faults, beside: Beside | None = None) -> tuple[Table, ...]:
    """Faults, movements and lanes for people; what comes again stands above them.

    What changed, and when in the work no-reps come, stands below.
    """
    faults = Table(
        title="Faults",
        columns=_SHOWN_FAULTS,
        rows=tuple(_shown_fault(found, fault) for fault in found.faults),
        notes=_notes(found),
    )
    every: tuple[Table, ...] = (
        without_empty(faults, REMARK),
        Table(
            title="Movements",
            columns=_MOVEMENTS,
            rows=tuple(_movement(m, percents(m.rate)) for m in found.movements),
        ),
        Table(
            title="Lanes",
            columns=_LANES,
            rows=tuple(_lane(lane, percents(lane.rate)) for lane in found.lanes),
        ),
    )
    every = tuple(_with_athletes(table) for table in every if table.rows or table.notes)
    if not _is_told(found):
        every = _seen_alike(every)
    if beside is None:
        return every
    above, below = session_tables(beside.sessions)
    when = when_table(beside.when)
    return (*above, *every, *below, *((when,) if when.rows else ()))


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
            (*row[:place], _athletes(*row[place:after]), *row[after:])
            for row in table.rows
        ),
    )


def _athletes(athletes: Cell, of_athletes: Cell) -> Cell:
    return athletes_words(int(athletes or 0), int(of_athletes or 0))


def _seen_alike(every: Iterable[Table]) -> tuple[Table, ...]:
    """Tables without what says the same in each row."""
    return tuple(without(table, {_WATCHED, _REPORTED}) for table in every)


def _is_told(found: Faults) -> bool:
    """Whether athletes told of some of it themselves."""
    return any(lane.watched != "judged" for lane in found.lanes)


def _notes(found: Faults) -> tuple[str, ...]:
    notes = [_READ] if found.faults else []
    if any(fault.rate.is_small for fault in found.faults):
        notes.append(_SMALL)
    told = _is_told(found)
    judged = any(row.watched == "judged" for row in found.lanes)
    if told:
        notes.append(_LOOKED)
    sums = Sums(found.total, found.sampled, found.noticed)
    notes += sums_words(sums, judged=judged or not told)
    paper = [f"heat {x.heat} lane {x.lane}" for x in found.lanes if x.from_paper]
    if paper:
        notes.append(f"From paper, so without times: {', '.join(paper)}.")
    return tuple(notes)


class Sums(NamedTuple):
    """All that was judged, all that looks saw, and what was noticed besides."""

    total: Rate
    sampled: Rate
    noticed: int


def sums_words(sums: Sums, *, judged: bool) -> Iterator[str]:
    """Sums in sentences, each way of watching by itself; `judged`: some of it was."""
    if judged:
        yield total_words(sums.total)
    if sums.sampled.attempts:
        yield f"In looks: {_start_small(total_words(sums.sampled))}"
    if sums.noticed:
        many = "1 fault" if sums.noticed == 1 else f"{sums.noticed} faults"
        yield f"Noticed outside of looks: {many}."


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
    _, _, rate, low, high = percents(total)
    return f"{misses} in {tries}: {rate}, likely between {low} and {high} (95 %)."


def _object(columns: tuple[Column, ...], cells: tuple[Cell, ...]) -> dict[str, object]:
    return dict(zip((column.key for column in columns), cells, strict=True))


def _fault(found: Faults, fault: FaultRate) -> tuple[Cell, ...]:
    """A fault as data."""
    attempts, *rest = numbers(fault.rate)
    return (
        fault.movement,
        fault.watched,
        fault.fault or NO_REASON,
        fault.call or (OFF_CARD if fault.fault else None),
        *(attempts, fault.good, *rest),
        fault.athletes,
        fault.of_athletes,
        rounded(found.share(fault)),
        "yes" if fault.rate.is_small else None,
    )


def _shown_fault(found: Faults, fault: FaultRate) -> tuple[Cell, ...]:
    """A fault for people: by its call, or as logged where the card has it no more."""
    logged = f"{fault.fault} ({OFF_CARD})" if fault.fault else NO_REASON
    return (
        fault.movement,
        fault.watched,
        fault.call or logged,
        *seen(fault.rate),
        percent(found.share(fault)),
        athletes_words(fault.athletes, fault.of_athletes),
        remark(fault.rate),
    )


def _movement(movement: MovementRate, counts: tuple[Cell, ...]) -> tuple[Cell, ...]:
    cues = ", ".join(f"{cue.call or cue.fault} {cue.times}" for cue in movement.cues)
    athletes = (movement.athletes, movement.of_athletes)
    reported = movement.reported if movement.watched == "reported" else None
    watched = movement.watched
    return (movement.movement, watched, *counts, reported, *athletes, cues or None)


def _lane(lane: LaneRate, counts: tuple[Cell, ...]) -> tuple[Cell, ...]:
    return (lane.heat, lane.lane, lane.bib, lane.watched, *counts)
