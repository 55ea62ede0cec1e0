"""The coach's report of a session: which faults, when, how sets were done, what to do.

It is a page of the kind that every layout knows, with charts beside the tables. It is
for the coach: names stand in it as their owners want them, nothing of the column
`private` and no note.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.reports.chart import bars_of, rates_chart
from judgekit.reports.classsets import sets_sections
from judgekit.reports.drills import (
    Report,
    advice_words,
    called_words,
    drills_page,
    moved_words,
    told_of,
)
from judgekit.reports.faults import total_words
from judgekit.reports.frequencies import (
    ATHLETES,
    SHARE,
    Named,
    cue_table,
    frequency_table,
    no_rep_table,
    reading,
)
from judgekit.reports.layout import Column, Table
from judgekit.reports.names import counted_words
from judgekit.reports.page import Page, Section
from judgekit.reports.ratewords import (
    SEEN,
    attempts_words,
    likely,
    percent,
    without,
)
from judgekit.reports.reportstops import cut_short, followups_section, stops_section
from judgekit.reports.sessions import again_short, change_lines, since_short
from judgekit.reports.tiring import (
    stretches,
    together_lines,
    when_lines,
    when_words,
)
from judgekit.review.faults import rate
from judgekit.review.followups import Due
from judgekit.review.pieces import LanePieces
from judgekit.review.sessions import Recurring, Sessions
from judgekit.review.tiring import Tiring

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.reports.chart import Chart
    from judgekit.review.faults import Rate
    from judgekit.review.frequencies import Frequency
    from judgekit.review.sessions import FaultKey
    from judgekit.review.tiring import Place

# More bars than these are read by nobody; the table has all.
_MOST_BARS = 12
_IN_SHORT = 3
_MOST_CHANGES = 8
_CHARTED = (("judged", "Judged"), ("sampled", "In looks"))
_ALONG = {
    "rep": "No-reps by rep of the set",
    "round": "No-reps by round",
    "minute": "No-reps by minute",
}
_WHICH_FIRST = (
    "First comes what is surely frequent (the lower end of likely) and shared by many "
    "athletes, not the highest rate."
)
_WHOSE_FIRST = (
    "First comes who surely has many no-reps: by the lower end of likely, as a rate of "
    "few attempts is less sure."
)
_ALL_TOGETHER = (
    "The pictures count all athletes and movements together: a harder movement late in "
    "the work shows in them, too."
)
_FAULT = Column(name="Fault", key="kind")
_MOST_OFTEN = Column(name="Called most often", key="most_often")
_TWICE = 2
_CUES = "Cues noted"
_CUES_OF_EACH = "Cues noted, by athlete"
_ONE_FAULT = "If one fault had not been there"
_ALIKE = (
    "Attempts of one athlete are alike, so with few athletes the likely range is too "
    "short."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """What a report is made of; `what` says which part of the event it is about.

    `kinds` are the faults by movement, `movements` and `athletes` all no-reps by
    either, `theirs` the faults by both. `lanes` are all that were begun, `pieces` how
    their sets were done, `due` whom the coach speaks with, `cost` tables of what
    no-reps cost in each workout and division, none while results may still change.
    """

    event: str
    date: str
    what: str
    kinds: Named
    movements: Named
    athletes: Named
    theirs: Named
    when: tuple[Tiring, ...]
    sessions: Sessions
    drills: Report
    lanes: tuple[Lane, ...]
    pieces: tuple[LanePieces, ...]
    due: tuple[Due, ...]
    cost: tuple[tuple[Table, ...], ...]


def report_page(one: Session) -> Page:
    """The report, the most important first."""
    many = len(one.lanes)
    lanes = f"{many} lane{'' if many == 1 else 's'}"
    again = again_short(_by_worth(one), _MOST_CHANGES)
    changes = since_short(one.sessions, _MOST_CHANGES)
    return Page(
        title=f"{one.event}: report for the coach",
        under=", ".join(filter(None, (one.date, one.what, lanes))),
        kind="report",
        sections=(
            Section(title="In short", lines=tuple(_in_short(one))),
            # A report is read in one order: nothing in it leads as on a wall.
            *(replace(s, leads=False) for s in drills_page(one.drills).sections),
            stops_section(one.lanes),
            followups_section(one.due),
            _movements(one.movements),
            *((_tabled(again.title, again),) if again.rows else ()),
            *((_tabled(changes.title, changes),) if one.sessions.changes else ()),
            _faults(one),
            _cues(_CUES, one.kinds),
            _when(one),
            *sets_sections(one.pieces, cut_short(one.lanes)),
            _athletes(one),
            _cues(_CUES_OF_EACH, one.athletes),
            *map(_cost, one.cost),
        ),
    )


def _by_worth(one: Session) -> Sessions:
    """What comes again as often: first what is most worth acting on today."""
    rows = one.kinds.found.rows
    worth = {(*row.of, row.watched): place for place, row in enumerate(rows)}

    def key(again: Recurring) -> tuple[int, int, int]:
        of = again.of
        place = worth.get((of.card, of.fault, of.watched), len(rows))
        return -again.seen, again.sessions, place

    recurring = tuple(sorted(one.sessions.recurring, key=key))
    return replace(one.sessions, recurring=recurring)


def _tabled(title: str, table: Table) -> Section:
    return Section(title=title, lines=table.notes, tables=(table,))


def _cues(title: str, named: Named) -> Section:
    return Section(title=title, closed=True, tables=(cue_table(named),))


def _cost(tables: tuple[Table, ...]) -> Section:
    """What no-reps cost in a workout and division, and what without one fault."""
    athletes, *faults = tables
    return Section(
        title=athletes.title,
        closed=bool(athletes.rows),
        lines=athletes.notes,
        tables=(athletes, *(replace(of, title=_ONE_FAULT) for of in faults)),
    )


# --- faults --------------------------------------------------------------------------


def _in_short(one: Session) -> Iterator[str]:
    """What a coach who reads no more than this should know."""
    yield from advice_words(one.drills.plan)
    yield from _totals(one.kinds)
    yield from (f"Most at {_rate_words(one.movements, of)}" for of in _worst(one))
    yield from _paper(one.lanes)
    if not one.drills.plan.drills:
        yield from (
            _rate_words(one.kinds, row) for row in _rated(one.kinds)[:_IN_SHORT]
        )
    yield from (when_words(found) for found in one.when if found.doubling is not None)
    yield from moved_words(one.drills)
    yield from change_lines(one.sessions, _IN_SHORT, _told(one))
    stopped = sum(len(lane.stops) for lane in one.lanes)
    if stopped:
        yield f"{counted_words(stopped, 'stops')} for safety: see Stops"
    if one.due:
        people = len({each.heat.who for each in one.due})
        yield f"{counted_words(people, 'athletes')} to speak with: see below"


def _worst(one: Session) -> list[Frequency]:
    """The movement that is most worth acting on, if anybody missed it twice."""
    often = [row for row in _rated(one.movements) if row.rate.no_reps >= _TWICE]
    return often[:1] if one.drills.plan.drills else []


def _paper(lanes: Iterable[Lane]) -> Iterator[str]:
    paper = [
        f"heat {lane.plan.heat} lane {lane.plan.lane}"
        for lane in lanes
        if lane.work.paper is not None
    ]
    if paper:
        which = ", ".join(paper)
        yield f"From paper, so without times and in no picture along the work: {which}"


def _rate_words(named: Named, row: Frequency) -> str:
    """How often, of how many athletes."""
    looks = " in looks" if row.watched == "sampled" else ""
    of = counted_words(row.of_athletes, "athletes")
    return (
        f"{_kind_words(named, row)}: {attempts_words(row.rate)}{looks}, "
        f"{percent(row.rate.rate or 0)}, likely {likely(row.rate)}; "
        f"{row.athletes} of {of}"
    )


def _told(one: Session) -> set[FaultKey]:
    """The changes that stand with what was planned: it was planned on that day."""
    return {
        change.of
        for change in one.sessions.changes
        if change.of in told_of(one.drills, change.before)
    }


def _totals(named: Named) -> Iterator[str]:
    """No-reps by how they were watched, never added up."""
    found = named.found
    looked = bool(found.sampled.attempts)
    if found.total.attempts or not (looked or found.noticed):
        yield total_words(found.total)
    if looked:
        yield f"No-reps in looks: {called_words(found.sampled)}"
    if found.noticed:
        many = counted_words(found.noticed, "no-reps")
        yield f"{many} noticed where nobody counted the attempts"


def _rated(named: Named) -> list[Frequency]:
    """The groups that have a no-rep and a rate, most worth acting on first."""
    return [
        row
        for row in named.found.rows
        if row.rate.rate is not None and row.rate.no_reps
    ]


def _kind_words(named: Named, row: Frequency) -> str:
    return ": ".join(named.shown(row, place) for place in range(len(row.of)))


def _movements(named: Named) -> Section:
    """All no-reps at each movement, whatever the fault."""
    table = _barred(_with_rates(no_rep_table(named)), _missed(named))
    lines = (_WHICH_FIRST,) if table.rows[1:] else ()
    return Section(title="Movements", lines=lines, tables=(table,))


def _missed(named: Named) -> list[Frequency]:
    """The groups of a table of no-reps."""
    return [row for row in named.found.rows if row.rate.no_reps]


def _barred(
    table: Table, rows: Sequence[Frequency], whole: Rate | None = None
) -> Table:
    """The table with a bar for each group that it has a row of."""
    return replace(table, bars=bars_of((row.rate for row in rows), whole))


def _with_rates(table: Table) -> Table:
    """The table in few columns: a rate beside what it is out of, no share."""
    places = [table.columns.index(column) for column in SEEN[:2]]
    first, second = places
    rows = tuple(
        tuple(
            f"{cell}, {row[second]}" if at == first and row[second] else cell
            for at, cell in enumerate(row)
        )
        for row in table.rows
    )
    return without(replace(table, rows=rows), {SEEN[1], SHARE})


def _faults(one: Session) -> Section:
    rated = _rated(one.kinds)
    of_each = {
        watched: [row for row in rated if row.watched == watched]
        for watched, _ in _CHARTED
    }
    charts = (
        _rates(f"{word}: how often each fault was called", one.kinds, of_each[watched])
        for watched, word in _CHARTED
    )
    drawn = tuple(chart for chart in charts if chart is not None)
    return Section(
        title="Faults",
        charts=drawn,
        lines=(reading(one.kinds.found, share=False), _ALIKE) if rated else (),
        tables=(_fault_table(one.kinds),),
    )


def _fault_table(named: Named) -> Table:
    """All faults, those of the pictures, too: who sees none has all numbers."""
    table = _with_rates(no_rep_table(named))
    rows = tuple((f"{row[0]}: {row[1]}", *row[2:]) for row in table.rows)
    table = replace(table, columns=(_FAULT, *table.columns[2:]), rows=rows)
    return _barred(replace(table, title="Faults"), _missed(named))


def _rates(
    of: str, named: Named, rows: Sequence[Frequency], whole: Rate | None = None
) -> Chart | None:
    shown = ((_kind_words(named, row), row.rate) for row in rows[:_MOST_BARS])
    many = len(rows)
    first = f" (the first {_MOST_BARS} of {many})" if many > _MOST_BARS else ""
    return rates_chart(f"{of}{first}", shown, whole=whole)


def _athletes(one: Session) -> Section:
    """Who had how many no-reps: a page for the coach alone."""
    found = one.athletes
    # Whoever had none stands there, too: last, and best.
    rows = [
        row
        for row in found.found.rows
        if row.rate.rate is not None and row.watched == "judged"
    ]
    chart = _rates("Judged: no-reps of each athlete", found, rows, found.found.total)
    return Section(
        title="Athletes",
        charts=() if chart is None else (chart,),
        lines=(_WHOSE_FIRST,) if rows else (),
        tables=(_athlete_table(one),),
    )


def _athlete_table(one: Session) -> Table:
    """Each athlete's no-reps, and which fault they had most often."""
    named = one.athletes
    rows = tuple(
        replace(row, cues=0)
        for row in named.found.rows
        if row.rate.attempts or row.rate.no_reps
    )
    shown = replace(named, found=replace(named.found, rows=rows))
    table = without(_with_rates(frequency_table(shown)), {ATHLETES})
    table = replace(
        table,
        columns=(*table.columns, _MOST_OFTEN),
        rows=tuple(
            (*cells, _most_often(one.theirs, row))
            for cells, row in zip(table.rows, rows, strict=True)
        ),
        notes=(),
    )
    return _barred(replace(table, title="Athletes"), rows, named.found.total)


def _most_often(theirs: Named, of: Frequency) -> str | None:
    """The fault that somebody was called for most often, if for any twice."""
    who = (of.of[0], of.watched)
    own = [row for row in theirs.found.rows if (row.of[0], row.watched) == who]
    most = max(own, key=lambda row: row.rate.no_reps, default=None)
    if most is None or most.rate.no_reps < _TWICE:
        return None
    movement, call = (theirs.shown(most, place) for place in (1, 2))
    return f"{movement}: {call} ({most.rate.no_reps})"


# --- along the work ------------------------------------------------------------------


def _when(one: Session) -> Section:
    every = [found for found in one.when if found.places]
    charts = [
        rates_chart(
            *(_ALONG[found.along], _places(found.places), found.along),
            _all_of(found.places),
        )
        for found in every
    ]
    # A picture that rises is explained, whatever each athlete by themselves did.
    together = together_lines(every) or ((_ALL_TOGETHER,) if every else ())
    drawn = tuple(chart for chart in charts if chart is not None)
    return Section(
        title="When in the work",
        charts=drawn,
        lines=(*when_lines(every), *together, *(_paper(one.lanes) if every else ())),
    )


def _places(places: Sequence[Place]) -> Iterator[tuple[str, Rate]]:
    """Stretches of places, as everywhere else."""
    for first, last, of in stretches(places):
        yield (f"{first} to {last}" if first < last else str(first)), of


def _all_of(places: Sequence[Place]) -> Rate:
    return rate(
        sum(place.rate.no_reps for place in places),
        sum(place.rate.attempts or 0 for place in places),
    )
