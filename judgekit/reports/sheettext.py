"""Athletes' sheets for a terminal, as Markdown and as JSON.

JSON is an object with `format` (its version, 1) and `sheets`, a list of objects whose
keys are the fields of a Sheet. Places in a `picture` are hundredths of its width.
"""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from judgekit.reports.layout import Column, Table
from judgekit.reports.names import NO_REASON, asks_words, beside_bib
from judgekit.reports.page import Page, Row, Section
from judgekit.reports.ratewords import without_empty
from judgekit.reports.sheetlearn import to_learn
from judgekit.reports.sheetmissed import HELD
from judgekit.reports.sheetpicture import drawn
from judgekit.reports.sheetsince import FEW
from judgekit.review.lessons import Said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.reports.overallwords import OwnTotal
    from judgekit.reports.sheet import Sheet, Split, WorkSheet
    from judgekit.reports.sheetsince import Since
    from judgekit.review.lessons import Lesson

FORMAT = 1
_NO = "no: "
_HOW = (
    "Time of no-reps, estimated: each one's own try and what the next one was slower; "
    "at the upper end with the pause after it, too."
)
USUAL_WIDTH = 80
WENT_WELL = "What went well"
WORK_ON = "What to work on"
TAKE_CARE = "Take care"
_NOTE = Column(name="Note", key="note")
_HELD_OF_IT = Column(name="Of it held", key="held")
_SPLITS = (
    Column(name="Set", key="where"),
    Column(name="Movement", key="movement"),
    Column(name="Done", key="done", align="right"),
    Column(name="Took", key="took", align="right"),
    _HELD_OF_IT,
    Column(name="At", key="at", align="right"),
    Column(name="Pieces", key="pieces"),
    Column(name="No-reps", key="no_reps", align="right"),
    _NOTE,
)


def as_json(sheets: Sequence[Sheet]) -> str:
    """Every field of every sheet; an empty text means that there is none."""
    data = {"format": FORMAT, "sheets": [asdict(one) for one in sheets]}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def sheet_page(one: Sheet, width: int | None = None) -> Page:
    """A sheet as a page for a terminal of that many cells, or for Markdown."""
    return Page(
        title=beside_bib(one.bib, one.name, "  "),
        under=under_words(one),
        sections=(
            *(_head(work) for work in one.works),
            *map(_overall, one.overall),
            Section(title=WENT_WELL, lines=one.well),
            Section(
                title=WORK_ON,
                lines=tuple(filter(None, [nothing_words(one)])),
                rows=tuple(_to_work_on(one)),
            ),
            *(section for work in one.works for section in _sections(one, work, width)),
            *_since(one.since),
            Section(title=TAKE_CARE, lines=one.care),
            Section(title="Small print", lines=tuple(small_lines(one))),
        ),
    )


def under_words(one: Sheet) -> str:
    """Where and when it was, in which division, for which team."""
    team = f"team {one.team}" if one.team else ""
    return ", ".join(filter(None, (one.event, one.date, one.division, team)))


def facts_of(work: WorkSheet) -> tuple[tuple[str, str], ...]:
    """What a workout came to, in the order of reading; what is empty is left out."""
    status = ", ".join(filter(None, (work.status, work.standing)))
    facts = (
        ("score", work.score),
        ("place", work.place),
        ("status", status),
        ("tie-break", work.tiebreak),
        ("two judges", work.judges),
        ("tries", work.tries),
        *(("instead", told) for told in work.instead),
        ("questions", "" if is_settled(work) else question_words(work)),
    )
    return tuple((what, says) for what, says in facts if says)


def is_settled(work: WorkSheet) -> bool:
    """Whether nothing can be questioned, which stands in the small print."""
    return work.questions.startswith(_NO)


def question_words(work: WorkSheet) -> str:
    """What may be questioned and until when, or why nothing; empty before any score."""
    if not work.questions:
        return ""
    said = work.questions.removeprefix(_NO)
    may = "Not to be questioned" if is_settled(work) else "May be questioned"
    return f"{may}: {said}"


def tries_words(one: Lesson) -> str:
    """How often a fault was made, and in how many tries where those were counted."""
    many = f"{one.many} no-rep{'' if one.many == 1 else 's'}"
    if one.tries is None:
        return f"{many} noticed"
    seen = " watched" if one.watched == "sampled" else ""
    return f"{many} in {one.tries}{seen} {'try' if one.tries == 1 else 'tries'}"


def small_lines(one: Sheet) -> Iterator[str]:
    """Lanes and log codes, what is settled, how estimates are made, what codes show."""
    for work in one.works:
        code = f", log code {work.log_code}" if work.log_code else ""
        yield f"{work.workout}: heat {work.heat}, lane {work.lane}{code}"
    yield from _settled(one)
    if any(work.lost for work in one.works):
        yield _HOW
    if one.proves:
        yield one.proves


def _settled(one: Sheet) -> Iterator[str]:
    """Why nothing can be questioned: once, where it is so of all workouts alike."""
    said = {w.workout: question_words(w) for w in one.works if is_settled(w)}
    alike = len(said) == len(one.works) and len(set(said.values())) == 1
    if alike:
        yield from list(said.values())[:1]
    else:
        yield from (f"{workout}: {words}" for workout, words in said.items())


def rules_words(work: WorkSheet) -> str:
    """The rules in force in one line, but for those that stand beside no-reps."""
    return _listed(_rules(work))


def rules_lines(one: Sheet) -> Iterator[str]:
    """The rules in force of all workouts; what all have in common is said once."""
    each = {work.workout: rules for work in one.works if (rules := _rules(work))}
    first = next(iter(each.values()), [])
    shared = [rule for rule in first if all(rule in rules for rules in each.values())]
    if len(each) > 1 and shared:
        yield f"All workouts: {_listed(shared)}"
    else:
        shared = []
    for workout, rules in each.items():
        own = _listed(rule for rule in rules if rule not in shared)
        if own:
            yield f"{workout}: {own}"


def _rules(work: WorkSheet) -> list[tuple[str, str]]:
    """The rules in force; none were for who did not start."""
    if _was_absent(work):
        return []
    return [rule for rule in work.rules if rule not in work.missed_rules]


def _was_absent(work: WorkSheet) -> bool:
    """Whether there was no start, and so nothing that was judged."""
    return work.status == "did not start" and not work.splits


def _listed(rules: Iterable[tuple[str, str]]) -> str:
    """Rules in one line; their own words have commas, colons and semicolons."""
    return " · ".join(f"{rule}: {value}" for rule, value in rules)


def missed_rules_words(work: WorkSheet) -> str:
    """The settings that say what no-reps lacked, in one line; empty without any."""
    told = _listed(work.missed_rules)
    return f"Settings in force: {told}" if told else ""


def place_words(place: str) -> str:
    """A place as a sentence of its own has it."""
    return f"place {place}" if place[:1].isdigit() else place


def nothing_words(one: Sheet) -> str:
    """What stands where there is no fault to work on."""
    if one.lessons:
        return ""
    each = (missed for work in one.works for missed in work.missed)
    missed = [missed for missed in each if missed.call != HELD]
    if any(missed.call != NO_REASON for missed in missed):
        return "What was called is on the card no longer; ask your coach."
    if missed:
        return "No reason stands in the log for what did not count; ask your coach."
    if any(work.watched for work in one.works):
        return "No fault was seen. Keep moving as you did."
    if any(work.tries for work in one.works):
        return "Nobody watched how you moved, so nothing is said of it here."
    if all(map(_was_absent, one.works)):
        return "No start was judged, so nothing is said of it here."
    return "Nothing was judged yet."


def _overall(one: OwnTotal) -> Section:
    how, *more = one.how
    return Section(
        title=f"Overall, {one.division}",
        rows=(
            *_rows((("place", one.place), *one.steps)),
            Row(label="how", says=how, more=tuple(more)),
        ),
    )


def _head(work: WorkSheet) -> Section:
    return Section(
        title=f"{work.workout}, heat {work.heat}, lane {work.lane}",
        rows=_rows(facts_of(work)),
    )


def _rows(pairs: Iterable[tuple[str, str]]) -> tuple[Row, ...]:
    return tuple(Row(label=label, says=says) for label, says in pairs)


def how_often(one: Lesson | Said) -> str:
    """How often it was made, or called."""
    if isinstance(one, Said):
        return f"called {one.many} times, and the reps counted"
    return tries_words(one)


def _to_work_on(one: Sheet) -> Iterator[Row]:
    for lesson in to_learn(one.lessons, one.said):
        cue = f"cue: {lesson.cue}" if lesson.cue else ""
        drill = f"drill: {lesson.drill}" if lesson.drill else ""
        yield Row(
            label=f"{lesson.movement}: {lesson.call}",
            says=how_often(lesson),
            more=tuple(filter(None, (asks_words(lesson.must_be), cue, drill))),
        )
    if one.pace:
        yield Row(label="Pace", says=one.pace)


def _sections(one: Sheet, work: WorkSheet, width: int | None) -> Iterator[Section]:
    """One workout in detail."""
    seen = drawn(work.picture, width or USUAL_WIDTH) if work.picture else ()
    yield Section(
        title=f"{work.workout}: the work",
        figure=seen,
        tables=(_splits(work),),
    )
    yield Section(
        title=f"{work.workout}: what did not count",
        lines=tuple(
            filter(None, [work.lost, missed_rules_words(work), _beside_words(work)])
        ),
        rows=_rows(_missed(work)),
    )
    yield Section(
        title=f"{work.workout}: what else was noted",
        lines=tuple(noted_lines(work, one)),
    )
    yield Section(
        title=f"{work.workout}: the arithmetic",
        rows=_rows((step.label, step.value) for step in work.steps),
    )
    yield Section(
        title=f"{work.workout}: rules in force",
        lines=tuple(filter(None, [rules_words(work)])),
    )


def _splits(work: WorkSheet) -> Table:
    table = Table(title="", columns=_SPLITS, rows=tuple(_split_cells(work)))
    return without_empty(without_empty(table, _HELD_OF_IT), _NOTE)


def noted_lines(work: WorkSheet, one: Sheet) -> Iterator[str]:
    """Cues, which leave the count as it is, and what else became of the work."""
    on_cards = list(to_learn(one.lessons, one.said))
    asks = {
        f"{cue.movement}: {cue.call}": _asked(cue, with_drill=cue not in on_cards)
        for cue in one.said
    }
    for what, many in work.cues:
        how = "cue once; the rep" if many == 1 else f"cue {many} times; the reps"
        asked = f" ({asks[what]})" if asks.get(what) else ""
        yield f"{what}, {how} counted{asked}"
    yield from work.happened


def _asked(cue: Said, *, with_drill: bool) -> str:
    """What a cue asks for, and its drill where no card has it."""
    drill = f"drill: {cue.drill}" if cue.drill and with_drill else ""
    return "; ".join(filter(None, (cue.must_be or cue.cue, drill)))


def loads_where_new(rows: Iterable[Split]) -> Iterator[Split]:
    """The sets; a load or a height stands where it is another than before."""
    known: dict[str, str] = {}
    for row in rows:
        is_new = known.get(row.movement) != row.load
        known[row.movement] = row.load
        yield row if is_new else replace(row, load="")


def _split_cells(work: WorkSheet) -> Iterator[tuple[str | int | None, ...]]:
    for one in loads_where_new(work.splits):
        what = ", ".join(filter(None, (one.movement, one.load)))
        yield (
            *(one.where, what, one.done, one.took or None, one.held or None),
            *(one.at or None, one.pieces or None, one.no_reps, one.note or None),
        )


def _missed(work: WorkSheet) -> Iterator[tuple[str, str]]:
    """Each no-rep, and what must be there: in rows, so that no word of it is cut."""
    space = max((len(one.at) for one in work.missed), default=0)
    wide = max((len(one.where) for one in work.missed), default=0)
    for one in work.missed:
        at, where = one.at.rjust(space), one.where.ljust(wide)
        yield f"{at}  {where}  {one.movement}: {one.call}", one.must_be


def _beside_words(work: WorkSheet) -> str:
    """What stands beside calls: it is no fault, but what was to be there."""
    asks = any(one.must_be for one in work.missed if one.call != HELD)
    return "Beside each call stands what the standard asks." if asks else ""


def _since(found: Since | None) -> Iterator[Section]:
    if found is not None:
        yield Section(title=since_title(found), lines=tuple(since_lines(found)))


def since_title(found: Since) -> str:
    """Which event is compared with."""
    return f"Since last time: {found.event}, {found.date}"


def since_lines(found: Since) -> Iterator[str]:
    """What changed, a line each, and what the numbers in brackets are."""
    yield from found.scores
    for one in found.faults:
        yield f"{one.movement}, {one.call}: {one.says}"
    if any(one.tells == FEW for one in found.faults):
        yield "Few: so few tries that no change is sure."
    if any(one.tells != FEW for one in found.faults):
        yield (
            "In brackets: by how much no-reps in 100 tries may have changed (95 % "
            "interval); where it holds 0, no change is sure."
        )
