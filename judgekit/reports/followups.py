"""Who is to be spoken with: a list for the coach, never for the wall."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from judgekit.reports.exposure import advice_words
from judgekit.reports.inforce import SIGNS
from judgekit.reports.layout import Cell, Column, Table, visible, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.review.followups import Due

NOTES = (
    f"Ask how they are. {SIGNS}",
    "A reminder, no medical advice; judgekit followups EVENT --done BIB notes it.",
)
_WHEN, _NARROW = 14, 30
_COLUMNS = (
    Column(name="When", key="when"),
    Column(name="Due", key="due"),
    Column(name="Bib", key="bib"),
    Column(name="Name", key="name"),
    Column(name="Event", key="event"),
    Column(name="Heat", key="heat"),
    Column(name="Lane", key="lane", align="right"),
    Column(name="Why", key="why"),
)


def followup_table(
    event: str, found: Iterable[Due], unknown: Sequence[str], today: int
) -> Table:
    """What is due, what has waited longest first, then what comes.

    `unknown` are those of whom nobody knows what they are used to.
    """
    return Table(
        title=f"{event}: to be spoken with, {date.fromordinal(today).isoformat()}",
        columns=_COLUMNS,
        rows=tuple(_row(one, today) for one in found),
        notes=(*NOTES, *_unknown(unknown)),
    )


def followup_text(table: Table, width: int | None) -> str:
    """The same line by line, so that no reason is cut."""
    room = None if width is None else max(_NARROW, width - _WHEN)
    lines = [visible(table.title), ""]
    for row in table.rows:
        when, _due, bib, name, event, heat, lane, why = map(str, row)
        said = [f"{bib} {name}, {event}, heat {heat}, lane {lane}", why]
        told = [line for text in said for line in wrapped(visible(text), room)]
        lines.append(f"{when:<{_WHEN}}{told[0]}")
        lines += [" " * _WHEN + line for line in told[1:]]
    if not table.rows:
        lines.append("Nobody.")
    notes = [line for note in table.notes for line in wrapped(visible(note), width)]
    return "\n".join([*lines, "", *notes]) + "\n"


def _row(one: Due, today: int) -> tuple[Cell, ...]:
    plan = one.heat.lane.plan
    return (
        _when(one.due, today),
        date.fromordinal(one.due).isoformat(),
        one.heat.bib,
        one.heat.name,
        one.heat.event,
        plan.heat,
        plan.lane,
        why_words(one),
    )


def _when(due: int, today: int) -> str:
    if due == today:
        return "today"
    late = today - due
    if late > 0:
        return f"{late} day{'' if late == 1 else 's'} late"
    return "tomorrow" if late == -1 else f"in {-late} days"


def why_words(one: Due) -> str:
    """What happened, and when."""
    on = date.fromordinal(one.heat.day).isoformat()
    if one.stop is not None:
        at = f" at {one.stop.movement.casefold()}" if one.stop.movement else ""
        sign = f": {one.stop.sign}" if one.stop.sign else ""
        return f"stopped{at} on {on}{sign}"
    volumes = [f"{row.movement.casefold()}, {advice_words(row)}" for row in one.volumes]
    return f"{on}: {'; '.join(volumes)}"


def _unknown(names: Sequence[str]) -> tuple[str, ...]:
    if not names:
        return ()
    what = "without an id in people.csv nobody knows what is much for them"
    return (f"Not looked at for volume: {', '.join(names)}; {what}.",)
