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
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import counted_words
from judgekit.reports.ratewords import (
    COUNTS,
    REMARK,
    SEEN,
    numbers,
    percent,
    percents,
    remark,
    rounded,
    seen,
    without,
)
from judgekit.reports.seasoncourse import course_data, course_table
from judgekit.reports.seasonnames import (
    Names,
    columns_of,
    fault_cells,
    told_apart,
    unjoined,
    values,
)
from judgekit.review.course import courses
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
    from collections.abc import Iterable, Mapping, Sequence

    from judgekit.review.judged import Watched
    from judgekit.review.season import Asked

FORMAT = 1
# What goes without saying, in columns that are left out where they say only that.
_IDLE: Mapping[str, Cell] = {"watched": "judged", "remark": ""}
# Of more faults nobody reads the months.
_MOST_MONTHLY = 8
_READ = (
    "Rate: no-reps out of {attempts}; likely: where the rate lies with 95 of 100 "
    "(Wilson's interval). Share: of all {share}. First comes what is surely frequent "
    "and shared by many athletes."
)
_FEW = " Few: under 20 attempts, or a likely range wider than 20 points."
_TRIES = "the attempts at all movements that can have the fault"
_LOOKED = (
    "Sampled: out of the attempts that a coach saw in looks. Reported: nobody counted "
    "the attempts, so that there is no rate."
)
_MONTHLY = (
    "How often faults that come again were seen, month by month. Whether that is more "
    "than chance stands under how it went."
)
_WATCHED = Column(name="Watched", key="watched")
_SHARE = Column(name="Share", key="share", align="right")
_ATHLETES = Column(name="Athletes", key="athletes", align="right")
_CUES = Column(name="Cues", key="cues", align="right")
_NOTE = Column(name="Note", key="note")
_DATA = (
    _WATCHED,
    COUNTS[0],
    Column(name="Good", key="good", align="right"),
    *COUNTS[1:],
    _SHARE,
    _ATHLETES,
    Column(name="Of athletes", key="of_athletes", align="right"),
    _CUES,
    _NOTE,
)
_SHOWN = (_WATCHED, *SEEN, _SHARE, _ATHLETES, REMARK)
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
    _WATCHED,
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
    names: Names
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
        "recurring": _objects(_again(found, people=False)),
        "months": _objects(_monthly(found, people=False)),
        "courses": [course_data(found.names, one) for one in courses(found.months)],
        "total": _counts(found.total),
        "sampled": _counts(found.sampled),
        "notes": list(_notes(found)),
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def tables(found: Report) -> tuple[Table, ...]:
    """The groups; what comes again and how it went month by month, if anything does.

    Where all was judged, or nothing is to be noted, no column says so.
    """
    found = replace(found, names=told_apart(found.names))
    main = _groups(found, people=True)
    if "athlete" in found.by:
        # Each row is one athlete's there.
        main = without(main, {_ATHLETES})
    more = (
        _again(found, people=True),
        _cues_table(found) if "fault" in found.by else None,
        # In one month it would say what stands above once more.
        _monthly(found, people=True) if _has_months(found) else None,
        course_table(found.names, found.months),
    )
    again, *rest = ((table,) if table and table.rows else () for table in more)
    below = (table for tables in rest for table in tables)
    return tuple(_without_idle(table) for table in (*again, main, *below))


def _has_months(found: Report) -> bool:
    return len({one.month for one in found.months}) > 1


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
    every = _no_reps_by_watched(found)
    return Table(
        title="Faults over the season",
        columns=(
            *columns_of(found.by, people=people),
            *(_SHOWN if people else _DATA),
        ),
        rows=tuple(
            (
                *values(found.names, found.by, group.of, people=people),
                *(_shown(every, group) if people else _data(every, group)),
            )
            for group in found.groups
            if not (people and "fault" in found.by and _is_cue(group))
        ),
        notes=_notes(found),
    )


def _is_cue(group: Group) -> bool:
    """Whether nothing but cues was noted of it: such a fault has no rate to read."""
    return bool(group.cues and not group.no_reps)


def _cues_table(found: Report) -> Table:
    """Cues for people, the most often noted first; they void nothing."""
    noted = [group for group in found.groups if _is_cue(group)]
    return Table(
        title="Cues noted",
        columns=(*columns_of(found.by, people=True), _WATCHED, _CUES),
        rows=tuple(
            (
                *values(found.names, found.by, one.of, people=True),
                one.watched,
                one.cues,
            )
            for one in sorted(noted, key=lambda one: -one.cues)
        ),
    )


def _no_reps_by_watched(found: Report) -> Mapping[Watched, int]:
    every: dict[Watched, int] = {}
    for group in found.groups:
        every[group.watched] = every.get(group.watched, 0) + group.no_reps
    return every


def _data(every: Mapping[Watched, int], group: Group) -> tuple[Cell, ...]:
    attempts, *rest = numbers(group.rate)
    return (
        group.watched,
        attempts,
        group.good if group.rated else None,
        *rest,
        rounded(_share(every, group)),
        group.athletes,
        # Who was not watched may have tried as well.
        group.of_athletes if group.rated else None,
        group.cues,
        _note(group.rate),
    )


def _shown(every: Mapping[Watched, int], group: Group) -> tuple[Cell, ...]:
    share = _share(every, group)
    of = f" of {group.of_athletes}" if group.rated else ""
    return (
        group.watched,
        *seen(group.rate),
        None if share is None else percent(share),
        f"{group.athletes}{of}",
        ", ".join(word for word in (remark(group.rate), _cues(group.cues)) if word),
    )


def _cues(many: int) -> str:
    return counted_words(many, "cues") if many else ""


def _share(every: Mapping[Watched, int], group: Group) -> float | None:
    """The group's part of all no-reps, or of their reasons, that were watched so.

    Where nobody counted and nothing was missed there is none.
    """
    if not (group.rated or group.no_reps):
        return None
    alike = every[group.watched]
    return group.no_reps / alike if alike else None


def _again(found: Report, *, people: bool) -> Table:
    return Table(
        title="Faults that come again",
        columns=_RECURRING,
        rows=tuple(
            (
                *fault_cells(found.names, one.of, people=people),
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
    """Each fault month by month; for people only the first ones."""
    faults = list(dict.fromkeys(one.of for one in found.months))
    told = set(faults[:_MOST_MONTHLY] if people else faults)
    left = len(faults) - len(told)
    more = f"The first {len(told)} of {len(faults)} faults; JSON has them all."
    return Table(
        title="Month by month",
        columns=(*_MONTHS, *((*SEEN, REMARK) if people else (*COUNTS, _NOTE))),
        rows=tuple(
            (
                *fault_cells(found.names, one.of, people=people),
                one.month,
                one.of.watched,
                *(_seen(one.rate) if people else (*numbers(one.rate), _note(one.rate))),
            )
            for one in found.months
            if one.of in told
        ),
        notes=(_MONTHLY, *((more,) if left else ())),
    )


def _seen(of: Rate) -> tuple[Cell, ...]:
    return *seen(of), remark(of)


def _note(of: Rate) -> str | None:
    """That a rate says little, where it is out of few attempts."""
    return "few attempts" if of.is_small else None


def _counts(of: Rate) -> dict[str, Cell]:
    return dict(zip((column.key for column in COUNTS), numbers(of), strict=True))


def _objects(table: Table) -> list[dict[str, Cell]]:
    keys = [column.key for column in table.columns]
    return [dict(zip(keys, row, strict=True)) for row in table.rows]


def _notes(found: Report) -> tuple[str, ...]:
    told = [group for group in found.groups if not _is_cue(group)]
    rates = (*(one.rate for one in told), *(one.rate for one in found.months))
    few = any(rate.is_small for rate in rates)
    notes = [_read(found.by) + (_FEW if few else ""), _over(found)]
    if any(group.watched != "judged" or not group.rated for group in told):
        notes.append(_LOOKED)
    notes.append(_sentence("Judged", found.total))
    if found.sampled.attempts:
        notes.append(_sentence("In looks", found.sampled))
    return (*notes, *unjoined(found.names, found.events))


def _read(by: Sequence[Word]) -> str:
    """How to read the groups."""
    attempts = "attempts" if "movement" in by or "fault" not in by else _TRIES
    return _READ.format(
        attempts=attempts, share="reasons" if "fault" in by else "no-reps"
    )


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
