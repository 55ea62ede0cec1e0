"""Faults over a season: any event with a log, every day of it, added up.

CSV has one row for each group asked for; by athlete `athlete_id` says who it is, as the
Parquet's `athlete` does: "id:" and the id, or "bib:" and the bib in its event. JSON is
an object with `format` (its version, 1), `by` (the words asked for), `rows` (the rows
of the CSV by their keys), `recurring`, `months`, `courses`, `total` and `sampled`, and
`notes`. There a rate lies between 0 and 1 and is null where nobody counted the
attempts; tables for people say it in per cent.
`courses` has each fault that comes again over its months: `trend_z` and `trend_p`, and
the last month less the one before it, with their words.
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
from judgekit.reports.ratewords import (
    COUNTS,
    numbers,
    out_of,
    percents,
    points,
    rounded,
)
from judgekit.review.course import LEAST_MONTHS, Course, courses
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
    "How often faults that come again were seen, month by month. Whether that is more "
    "than chance stands under how it went."
)
_COURSE = (
    "Over the months: it rises or falls where chance alone would hardly do it "
    f"(Cochran-Armitage's test, from {LEAST_MONTHS} months on). Change: the last month "
    "(now) less the one before (then), in points of 100; likely: where it lies with "
    "95 of 100 (Newcombe's interval). Fewer or more is said as rarely (Fisher's exact "
    "test), and all of it given how many faults are compared (Benjamini and Hochberg)."
)
_CANNOT = "cannot tell"
_JOINED = (
    "People are joined by the id in people.csv; without one somebody is another person "
    "in each event."
)
_COUNTS = (
    Column(name="Watched", key="watched"),
    *COUNTS,
    Column(name="Athletes", key="athletes", align="right"),
    Column(name="Of athletes", key="of_athletes", align="right"),
    Column(name="Note", key="note"),
)
_ATHLETE_ID = Column(name="Athlete's id", key="athlete_id")
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
_COURSES = (
    Column(name="Movement", key="movement"),
    Column(name="Fault", key="fault"),
    Column(name="Watched", key="watched"),
    Column(name="Over the months", key="course"),
    Column(name="Last month", key="last"),
    Column(name="Now", key="now", align="right"),
    Column(name="Month before", key="before"),
    Column(name="Then", key="then", align="right"),
    Column(name="Change", key="change", align="right"),
    Column(name="Likely", key="likely", align="right"),
    Column(name="Fewer or more", key="says"),
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
        "courses": [_course_data(found, one) for one in courses(found.months)],
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
    more = (_again(found), _monthly(found, people=True), _went(found))
    again, monthly, went = ((table,) if table.rows else () for table in more)
    return tuple(_without_idle(table) for table in (*again, main, *monthly, *went))


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
    # Two people may share a name: in data each row says whose it is.
    ids = (_ATHLETE_ID,) if "athlete" in found.by and not people else ()
    return Table(
        title="Faults over the season",
        columns=(
            *(Column(name=word.capitalize(), key=word) for word in found.by),
            *ids,
            *_COUNTS,
        ),
        rows=tuple(
            (
                *(_named(found, w, v) for w, v in zip(found.by, group.of, strict=True)),
                *(group.of[found.by.index("athlete")] for _ in ids),
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


def _went(found: Report) -> Table:
    """How faults that come again went: over all months, and in the last one."""
    return Table(
        title="How it went",
        columns=_COURSES,
        rows=tuple(_course(found, one) for one in courses(found.months)),
        notes=(_COURSE,),
    )


def _course(found: Report, one: Course) -> tuple[Cell, ...]:
    then, now = one.months[-2:]
    by, low, high = points(one.by.by, one.by.low, one.by.high)
    return (
        *_fault(found, one.of),
        one.of.watched,
        _course_word(one),
        now.month,
        out_of(now.rate),
        then.month,
        out_of(then.rate),
        by,
        f"{low} to {high}",
        _change_word(one),
    )


def _course_word(one: Course) -> str:
    if one.trend is None or not one.moves:
        return _CANNOT
    return "rises" if one.trend.z > 0 else "falls"


def _change_word(one: Course) -> str:
    if not one.changed:
        return _CANNOT
    return "more" if one.by.low > 0 else "fewer"


def _course_data(found: Report, one: Course) -> dict[str, object]:
    movement, fault = _fault(found, one.of)
    return {
        "movement": movement,
        "fault": fault,
        "watched": one.of.watched,
        "months": len(one.months),
        "trend_z": rounded(one.trend.z) if one.trend else None,
        "trend_p": rounded(one.trend.p) if one.trend else None,
        "course": _course_word(one),
        "last": one.months[-1].month,
        "before": one.months[-2].month,
        "difference": rounded(one.by.by),
        "difference_low": rounded(one.by.low),
        "difference_high": rounded(one.by.high),
        "p_adjusted": rounded(one.p),
        "says": _change_word(one),
    }


def _numbers(of: Rate, *, people: bool) -> tuple[Cell, ...]:
    return percents(of) if people else numbers(of)


def _note(of: Rate) -> str | None:
    """That a rate says little, where it is out of few attempts."""
    return "few attempts" if of.is_small else None


def _counts(of: Rate) -> dict[str, Cell]:
    return dict(zip((column.key for column in COUNTS), numbers(of), strict=True))


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
    _, _, share, low, high = percents(of)
    tries = "1 attempt" if of.attempts == 1 else f"{of.attempts} attempts"
    misses = "1 no-rep" if of.no_reps == 1 else f"{of.no_reps} no-reps"
    return f"{what}: {misses} in {tries}, {share}, likely between {low} and {high}."
