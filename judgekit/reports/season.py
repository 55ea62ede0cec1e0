"""Faults over a season: any event with a log, every day of it, added up.

CSV has one row for each group asked for. JSON is an object with `format` (its version,
1), `by` (the words asked for), `rows` (the rows of the CSV by their keys), `recurring`,
`months`, `total` and `sampled`, and `notes`. There a rate lies between 0 and 1 and is
null where nobody counted the attempts; tables for people say the same in per cent.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import NO_REASON
from judgekit.review.faults import Rate
from judgekit.review.season import (
    OFTEN,
    Group,
    Month,
    Recurring,
    Word,
    groups,
    months,
    recurring,
    total,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.review.season import Asked, Fault

FORMAT = 1
# Fewer attempts than this, or an interval wider than that, say little.
_FEW, _WIDE = 20, 0.2
_DECIMALS = 4
_RATE_KEYS = ("rate", "low", "high")
# What goes without saying, in columns that are left out where they say only that.
_IDLE: Mapping[str, Cell] = {"watched": "judged", "note": None}
# Words whose values are ids that have names.
_NAMED: tuple[Word, ...] = ("movement", "athlete", "division", "workout")
_READ = (
    "Rate: no-reps out of attempts; low and high: the interval in which it likely lies "
    "(95 %). First comes what is surely frequent (low) and shared by many athletes."
)
_LOOKED = (
    "Sampled: out of the attempts that a coach saw in looks. Reported: nobody counted "
    "the attempts, so that there is no rate."
)
_MONTHLY = (
    "How often faults that come again were seen, month by month. Where the intervals "
    "of two months overlap much, chance alone may be what differs."
)
_JOINED = (
    "People are joined by the id in people.csv; without one somebody is another person "
    "in each event."
)
_COUNTS = (
    Column(name="Watched", key="watched"),
    Column(name="Attempts", key="attempts", align="right"),
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Rate", key="rate", align="right"),
    Column(name="Low", key="low", align="right"),
    Column(name="High", key="high", align="right"),
    Column(name="Athletes", key="athletes", align="right"),
    Column(name="Of athletes", key="of_athletes", align="right"),
    Column(name="Note", key="note"),
)
_RECURRING = (
    Column(name="Movement", key="movement"),
    Column(name="Fault", key="fault"),
    Column(name="Watched", key="watched"),
    Column(name="Days seen", key="days_seen", align="right"),
    Column(name="Of days", key="of_days", align="right"),
    Column(name="First", key="first"),
    Column(name="Last", key="last"),
)
_MONTHS = (
    Column(name="Movement", key="movement"),
    Column(name="Fault", key="fault"),
    Column(name="Month", key="month"),
    *_COUNTS[:-3],
    _COUNTS[-1],
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What a season says: groups, most worth acting on first, and what comes again.

    `names` tells what ids are called, by words. Without a fault among the words there
    is nothing to come again.
    """

    by: tuple[Word, ...]
    groups: tuple[Group, ...]
    total: Rate
    sampled: Rate
    recurring: tuple[Recurring, ...] = ()
    months: tuple[Month, ...] = ()
    names: Mapping[str, Mapping[str, str]]
    events: int
    days: tuple[str, ...]


def words_needed(by: Sequence[Word]) -> tuple[Word, ...]:
    """What a season must be asked for, to be reported by some words."""
    again: tuple[Word, ...] = ("movement", "date", "month") if "fault" in by else ()
    return tuple(dict.fromkeys((*by, *again)))


def report(
    season: Asked,
    by: Sequence[Word],
    names: Mapping[str, Mapping[str, str]],
    days: Iterable[tuple[str, str]],
) -> Report:
    """The report of a season by some words; `days` are its days with their events."""
    held = list(days)
    again = recurring(season) if "fault" in by else ()
    return Report(
        by=tuple(by),
        groups=groups(season, by),
        total=total(season, "judged"),
        sampled=total(season, "sampled"),
        recurring=again,
        months=months(season, again),
        names=names,
        events=len({event for event, _ in held}),
        days=tuple(sorted({day for _, day in held})),
    )


# --- laid out ------------------------------------------------------------------------


def as_csv(found: Report) -> str:
    """One row for each group; an empty cell where there is nothing."""
    return layout.as_csv(_groups(found, people=False))


def as_json(found: Report) -> str:
    """The report as the module's docstring says."""
    data = {
        "format": FORMAT,
        "by": list(found.by),
        "rows": _objects(_groups(found, people=False)),
        "recurring": _objects(_again(found)),
        "months": _objects(_monthly(found, people=False)),
        "total": _counts(found.total),
        "sampled": _counts(found.sampled),
        "notes": list(_notes(found)),
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def tables(found: Report) -> tuple[Table, ...]:
    """The groups; what comes again and how it went month by month, if anything does.

    Where all was judged, or nothing is to be noted, no column says so.
    """
    main = _groups(found, people=True)
    more = (_again(found), _monthly(found, people=True))
    again, monthly = ((table,) if table.rows else () for table in more)
    return tuple(_without_idle(table) for table in (*again, main, *monthly))


def _without_idle(table: Table) -> Table:
    """The table without columns in which no row says anything of its own."""
    kept = [
        place
        for place, column in enumerate(table.columns)
        if column.key not in _IDLE
        or {row[place] for row in table.rows} - {_IDLE[column.key]}
    ]
    return replace(
        table,
        columns=tuple(table.columns[place] for place in kept),
        rows=tuple(tuple(row[place] for place in kept) for row in table.rows),
    )


def _groups(found: Report, *, people: bool) -> Table:
    return Table(
        title="Faults over the season",
        columns=(
            *(Column(name=word.capitalize(), key=word) for word in found.by),
            *_COUNTS,
        ),
        rows=tuple(
            (
                *(_named(found, w, v) for w, v in zip(found.by, group.of, strict=True)),
                group.watched,
                *_numbers(group.rate, people=people),
                group.athletes,
                # Who was not watched may have tried as well.
                group.of_athletes if group.rated else None,
                _note(group.rate),
            )
            for group in found.groups
        ),
        notes=_notes(found),
    )


def _again(found: Report) -> Table:
    return Table(
        title="Faults that come again",
        columns=_RECURRING,
        rows=tuple(
            (
                *_fault(found, one.of),
                one.of.watched,
                len(one.seen),
                one.days,
                one.seen[0],
                one.seen[-1],
            )
            for one in found.recurring
        ),
        notes=(f"Seen on {OFTEN} days or more, of those on which it was tried.",),
    )


def _monthly(found: Report, *, people: bool) -> Table:
    return Table(
        title="Month by month",
        columns=_MONTHS,
        rows=tuple(
            (
                *_fault(found, one.of),
                one.month,
                one.of.watched,
                *_numbers(one.rate, people=people),
                _note(one.rate),
            )
            for one in found.months
        ),
        notes=(_MONTHLY,),
    )


def _fault(found: Report, of: Fault) -> tuple[Cell, Cell]:
    return _named(found, "movement", of.movement), _named(found, "fault", of.fault)


def _named(found: Report, word: Word, value: str) -> Cell:
    """What an id is called; as it is where it has no name."""
    if word == "fault":
        return value or NO_REASON
    if word in _NAMED:
        return found.names.get(word, {}).get(value, value)
    return value or None


def _numbers(of: Rate, *, people: bool) -> tuple[Cell, ...]:
    parts = (of.rate, of.low, of.high)
    if not people:
        return (
            of.attempts,
            of.no_reps,
            *(None if part is None else round(part, _DECIMALS) for part in parts),
        )
    shown = (None if x is None else f"{x:.1%}".replace("%", " %") for x in parts)
    return of.attempts, of.no_reps, *shown


def _note(of: Rate) -> str | None:
    """That a rate says little, where it is out of few attempts."""
    if of.attempts is None or of.low is None or of.high is None:
        return None
    return "few attempts" if of.attempts < _FEW or of.high - of.low > _WIDE else None


def _counts(of: Rate) -> dict[str, Cell]:
    keys = ("attempts", "no_reps", *_RATE_KEYS)
    return dict(zip(keys, _numbers(of, people=False), strict=True))


def _objects(table: Table) -> list[dict[str, Cell]]:
    keys = [column.key for column in table.columns]
    return [dict(zip(keys, row, strict=True)) for row in table.rows]


def _notes(found: Report) -> tuple[str, ...]:
    notes = [_READ, _over(found)]
    if any(group.watched != "judged" or not group.rated for group in found.groups):
        notes.append(_LOOKED)
    notes.append(_sentence("Judged", found.total))
    if found.sampled.attempts:
        notes.append(_sentence("In looks", found.sampled))
    if "athlete" in found.by:
        notes.append(_JOINED)
    return tuple(notes)


def _over(found: Report) -> str:
    events = "1 event" if found.events == 1 else f"{found.events} events"
    if len(found.days) == 1:
        return f"{events}, on {found.days[0]}."
    return (
        f"{events} on {len(found.days)} days, {found.days[0]} to {found.days[-1]}."
        if found.days
        else "No event has a log in that time."
    )


def _sentence(what: str, of: Rate) -> str:
    if not of.attempts:
        return f"{what}: no attempt."
    _, _, share, low, high = _numbers(of, people=True)
    tries = "1 attempt" if of.attempts == 1 else f"{of.attempts} attempts"
    misses = "1 no-rep" if of.no_reps == 1 else f"{of.no_reps} no-reps"
    return f"{what}: {misses} in {tries}, {share}, likely between {low} and {high}."
