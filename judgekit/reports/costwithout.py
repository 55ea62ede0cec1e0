"""All scores and places if nobody had had one fault, for people and as data.

CSV has a row for each athlete and fault; what is not known is empty.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports import layout
from judgekit.reports.cost import (
    HOW_CLEAN,
    HOW_LONG,
    NO_PLACES,
    fault_name,
    open_words,
    place_after,
    score_after,
    shown_score,
    took,
    unknown_words,
)
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import (
    NO_REASON,
    NOTHING_DONE,
    numbered_name,
    shown_name,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.review.cost import CleanFault, Costs, Stand

_ALL_CLEAN = (
    "Without: that time comes off a time, or becomes reps at the athlete's own pace. "
    "Places go by the scores of all without it, an estimate like them."
)
_CLEAN = (
    Column(name="Place", key="place", align="right"),
    Column(name="Athlete", key="athlete"),
    Column(name="Score", key="score", align="right"),
    Column(name="Without", key="without", align="right"),
    Column(name="Place then", key="place_without", align="right"),
)
_CLEAN_ROWS = (
    Column(name="Workout", key="workout"),
    Column(name="Division", key="division"),
    Column(name="Movement", key="movement"),
    Column(name="Fault", key="fault"),
    Column(name="Bib", key="bib"),
    Column(name="Name", key="name"),
    Column(name="Place", key="place", align="right"),
    Column(name="Score", key="score", align="right", is_time=True),
    Column(name="Place without", key="place_without", align="right"),
    Column(name="Score without", key="score_without", align="right", is_time=True),
)


def clean_tables(found: Sequence[Costs]) -> tuple[Table, ...]:
    """For people: all places without each of the faults that are left in `found`.

    Of what is still open only that is said.
    """
    return tuple(table for one in found for table in _clean(one))


def _clean(one: Costs) -> Iterator[Table]:
    name = f"{one.workout_name}, {one.division_name}"
    if one.open:
        title = f"What no-reps cost: {name}"
        yield Table(title=title, columns=_CLEAN, rows=(), notes=(open_words(one),))
    for fault in one.faults:
        what = fault_name(fault)
        yield Table(
            title=f"If {what} had not been there: {name}",
            columns=_CLEAN,
            rows=tuple(_clean_row(stand) for stand in fault.standings),
            notes=(_fault_words(fault), *_clean_notes(fault)),
        )


def _clean_notes(fault: CleanFault) -> Iterator[str]:
    """What the scores are made of, as far as there are any, and why some are not."""
    if not fault.timed:
        return
    if any(not stand.untold for stand in fault.standings):
        yield from (HOW_CLEAN, _ALL_CLEAN)
    yield HOW_LONG
    untold = dict.fromkeys(
        stand.untold
        for stand in fault.standings
        if stand.untold and stand.before.status not in NOTHING_DONE
    )
    yield from unknown_words([fault])
    if untold and fault.is_timed:
        yield f"Scores and places that are not worked out: {'; '.join(untold)}."


def clean_csv(found: Sequence[Costs]) -> str:
    """The same with a row for each athlete and fault."""
    rows = (
        (one.workout_name, one.division_name, *_clean_cells(fault, stand))
        for one in found
        for fault in one.faults
        for stand in fault.standings
    )
    return layout.as_csv(Table(title="Cost", columns=_CLEAN_ROWS, rows=tuple(rows)))


def _clean_cells(fault: CleanFault, stand: Stand) -> tuple[Cell, ...]:
    plan = stand.lane.plan
    return (
        *(fault.kind.movement, fault.kind.fault or NO_REASON, plan.bib),
        shown_name(plan.name, plan.show, plan.bib),
        *(stand.place, shown_score(stand.before)),
        *(place_after(stand), score_after(stand)),
    )


def _clean_row(stand: Stand) -> tuple[Cell, ...]:
    return (
        *(stand.place, numbered_name(stand.lane.plan), shown_score(stand.before)),
        *(score_after(stand), place_after(stand)),
    )


def _fault_words(fault: CleanFault) -> str:
    """How many no-reps there were of it, and what they took."""
    many = "1 no-rep" if fault.no_reps == 1 else f"{fault.no_reps} no-reps"
    who = "1 athlete" if fault.athletes == 1 else f"{fault.athletes} athletes"
    if not fault.timed:
        return f"{many} of {who}, none of them timed. {NO_PLACES}"
    if not fault.is_timed:
        timed = "1 with a time" if fault.timed == 1 else f"{fault.timed} with times"
        return f"{many} of {who}; the {timed} took {took(fault.ms)} s. {NO_PLACES}"
    return f"{many} of {who} took {took(fault.ms)} s."
