"""Why an athlete is where they are: arithmetic, neighbours, entries, open questions.

JSON is an object with `format` (its version, 1) and `explained`, a list of objects
with bib, name, workout, division, place, score, status, judges (what two of them
counted), steps, neighbours, entries, otherwise, questions.
"""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core import disputing
from judgekit.core.entry import (
    Absent,
    Correct,
    Dispute,
    Extra,
    NoRep,
    Rule,
    Stop,
    TakeBack,
    Withdraw,
)
from judgekit.core.quantity import rounded, show_time
from judgekit.core.tiebreaks import tie_moments
from judgekit.core.twojudges import second_lane
from judgekit.core.values import dataclass
from judgekit.reports.entrywords import entry_words
from judgekit.reports.layout import Column, Table
from judgekit.reports.names import beside_bib, has_score, numbered_name, shown_name
from judgekit.reports.page import Page, Row, Section
from judgekit.reports.remarks import effect_words
from judgekit.reports.standings import rank, status_words
from judgekit.reports.standingwords import time_of_day
from judgekit.reports.twojudges import judges_words
from judgekit.review.whatif import Otherwise, otherwise

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.points import Substituted
    from judgekit.core.ranking import Placed
    from judgekit.core.ruling import Ref
    from judgekit.core.state import Lane
    from judgekit.reports.standings import Result, Standings

FORMAT = 1
_NEIGHBOURS = 1
_TO_GO = ("waiting", "in progress", "recalled")
_DECIDING = NoRep | Correct | Rule | Extra | TakeBack | Stop | Withdraw | Absent
_TENTH = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbour:
    """Who is next above or below, with what, and what parts the two."""

    place: str
    who: str
    score: str
    parted: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Deciding:
    """An entry that made the score what it is, and where it stands in the log."""

    number: int
    log: str
    at: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Instead:
    """What would be, if one answer were the other."""

    question: str
    score: str
    moves: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """One athlete's place in one workout, followed down to the log."""

    bib: str
    name: str
    workout: str
    division: str
    place: str
    score: str
    status: str
    judges: str
    steps: tuple[tuple[str, str], ...]
    neighbours: tuple[Neighbour, ...]
    entries: tuple[Deciding, ...]
    otherwise: tuple[Instead, ...]
    questions: str


def explain(
    found: Sequence[Standings],
    bib: str,
    names: Mapping[str, str],
    substituted: Substituted = "together",
    wall: int | None = None,
) -> tuple[Explained, ...]:
    """The places of a bib, one for each workout it is in; none if nobody has it.

    `names` gives names to the ids of those who rule; `substituted` is as in standings.
    `wall` is the moment of looking, as in a score.
    """
    return tuple(
        _explained(one, at, _Asked(names, substituted, wall))
        for one in found
        for at, place in enumerate(one.places)
        if place.row.lane.plan.bib == bib
    )


class _Asked(NamedTuple):
    """How the places are told: see `explain`."""

    names: Mapping[str, str]
    substituted: Substituted
    wall: int | None


def _explained(one: Standings, at: int, asked: _Asked) -> Explained:
    names, substituted = asked.names, asked.substituted
    place = one.places[at]
    lane, score = place.row.lane, place.row.score
    plan = lane.plan
    ranked = [p.row.lane for p in one.places if not p.row.unscored]
    beside = {
        (p.row.lane.plan.heat, p.row.lane.plan.lane): p.row.beside for p in one.places
    }
    by_rule = partial(rank, substituted=substituted, beside=beside)
    return Explained(
        bib=plan.bib,
        name=shown_name(plan.name, plan.show, plan.bib),
        workout=one.workout_name,
        division=one.division_name,
        place=place_words(place, len(one.places), so_far=others_to_go(one.places)),
        score=score.detail if has_score(score) else "no score",
        status=status_words(place.row),
        judges=judges_words(place.row),
        steps=tuple((step.label, step.value) for step in score.steps),
        neighbours=tuple(_neighbours(one.places, at)),
        entries=tuple(_decided(place.row, names)),
        otherwise=tuple(
            _instead(other, names)
            for other in otherwise(ranked, by_rule, judged=lane)
            if _matters(other, lane)
        ),
        questions=questions_words(lane, asked.wall),
    )


def _matters(other: Otherwise, lane: Lane) -> bool:
    """Whether an answer is about the lane or moves it; a call only where it moves."""
    if other.question in ("no-rep", "correction"):
        return bool(other.moves)
    bib = lane.plan.bib
    return other.lane is lane or any(move.bib == bib for move in other.moves)


def questions_words(lane: Lane, wall: int | None = None) -> str:
    """What may be questioned, until when, and by whom it is decided."""
    about = disputing.may_be_questioned(lane)
    if lane.closed:
        return "no: it is closed, and only a head judge's ruling changes it"
    if about == "nothing":
        return "no: at this event nothing is"
    until = disputing.until_wall(lane)
    if until is None:
        return f"{about}, with the head judge"
    limit = time_of_day(until, lane.plan.zone)
    if disputing.open_until(lane, wall) is None:
        return f"no: the time for it ended at {limit}"
    return f"{about} until {limit}, with the head judge"


def others_to_go(places: Iterable[Placed[Result]]) -> bool:
    """Whether somebody has not done their work yet, so that places may still move."""
    return any(place.row.score.status in _TO_GO for place in places)


def place_words(place: Placed[Result], many: int, *, so_far: bool = False) -> str:
    """The place among so many, or why there is none."""
    if place.rank is None:
        return f"no place: {place.row.unscored or place.row.score.status}"
    shared = ", shared" if place.tied else ""
    return f"{place.rank} of {many}{shared}{' so far' * so_far}"


# --- neighbours ----------------------------------------------------------------------


def _neighbours(places: Sequence[Placed[Result]], at: int) -> Iterator[Neighbour]:
    """The nearest above and below with another place, and those who share it."""
    mine = places[at]
    if mine.rank is None:
        return
    above = [p for p in places[:at] if p.rank is not None and p.rank < mine.rank]
    shared = [p for p in places if p.rank == mine.rank and p is not mine]
    below = [p for p in places[at:] if p.rank is not None and p.rank > mine.rank]
    for other in (*above[-_NEIGHBOURS:], *shared, *below[:_NEIGHBOURS]):
        plan, score = other.row.lane.plan, other.row.score
        yield Neighbour(
            place=str(other.rank),
            who=numbered_name(plan),
            score=score.detail,
            parted=_parted(mine.row, other.row),
        )


def _parted(mine: Result, other: Result) -> str:
    """What parts two scores: the score itself, then the first tie-break to differ."""
    one, two = mine.score, other.score
    if one.rank_key == two.rank_key:
        return "nothing: the place is shared"
    if one.shown != two.shown or one.status != two.status:
        return _by_score(mine, other)
    for own, other_s in zip(one.tiebreaks, two.tiebreaks, strict=False):
        if own.shown != other_s.shown:
            against = f"{own.shown or 'none'} against {other_s.shown or 'none'}"
            return f"the tie-break, {own.label}: {against}"
    return "the tie-break"


def _by_score(mine: Result, other: Result) -> str:
    one, two = mine.score, other.score
    same = one.unit == two.unit and one.status == two.status
    if not same or one.value is None or two.value is None:
        return f"{one.shown} ({one.status}) against {two.shown} ({two.status})"
    apart = abs(Fraction(one.value) - Fraction(two.value))
    if one.unit == "ms":
        return f"{show_time(int(apart), mine.lane.plan.precision_ms)} between them"
    unit = one.unit.removesuffix("s") if apart == 1 else one.unit
    return f"{_number(apart)} {unit} between them"


def _number(value: Fraction) -> str:
    """Whole, or to two decimals."""
    whole = value == int(value)
    return str(int(value)) if whole else f"≈ {rounded(value, 2)}"


# --- entries and other answers -------------------------------------------------------


def _decided(row: Result, names: Mapping[str, str]) -> Iterator[Deciding]:
    """The entries that decide, of both judges where two count."""
    yield from _deciding(row.lane, names)
    if row.beside:
        known = {entry.book for entry in row.lane.entries}
        second = second_lane(row.lane, row.beside)
        yield from (one for one in _deciding(second, names) if one.log not in known)


def _deciding(lane: Lane, names: Mapping[str, str]) -> Iterator[Deciding]:
    """What changed the count or the score, and what ended the work or a tie-break."""
    attempts = {a.ref: a for a in lane.work.attempts}
    ends = _ends(lane)
    for entry in lane.entries:
        attempt = attempts.get(entry.ref)
        odd = attempt is not None and bool(attempt.marks)
        seen = isinstance(entry.body, NoRep) and lane.plan.watching == "reported"
        kept = isinstance(entry.body, _DECIDING) and not seen
        if kept or odd or entry.ref in ends:
            told = _decides(lane, entry, names)
            what = ", ".join(ends.get(entry.ref, ()))
            yield replace(told, says=f"{what}: {told.says}") if what else told


def _ends(lane: Lane) -> dict[Ref, list[str]]:
    """The last thing that counted, and what made each tie-break: what they are."""
    counted = [a for a in lane.work.attempts if a.counts]
    last = _last_counted(lane)
    found: dict[Ref, list[str]] = {} if last is None else {last: ["last"]}
    for label, ms in tie_moments(lane):
        made = next((a for a in reversed(counted) if a.at == ms), None)
        if made is not None:
            found.setdefault(made.ref, []).append(f"tie-break, {label}")
    return found


def _last_counted(lane: Lane) -> Ref | None:
    """The last thing that counted: a result, a set reported, or a rep."""
    work = lane.work
    if work.given is not None:
        return work.given.ref
    if work.paper is not None:
        return work.paper.ref
    counted = [a.ref for a in work.attempts if a.counts]
    reported = [said.ref for said in work.reported]
    return next(iter([*reported[-1:], *counted[-1:]]), None)


def _decides(lane: Lane, entry: Entry, names: Mapping[str, str]) -> Deciding:
    at = lane.when(entry)
    return Deciding(
        number=entry.number,
        log=entry.book,
        at="" if at is None else show_time(at, _TENTH),
        says=entry_words(lane, entry, names),
    )


_QUESTIONS = {
    "ruling": "without the ruling: {}",
    "dispute": "if granted: {}",
    "horn": "if the rep at the horn was in time: {}",
    "no-rep": "if it counted: {}",
    "correction": "without it: {}",
}


def _instead(other: Otherwise, names: Mapping[str, str]) -> Instead:
    words = _QUESTIONS[other.question].format(_about(other, names))
    plan = other.lane.plan
    moves = [
        f"{move.bib} from {move.before or 'no place'} to {move.after or 'no place'}"
        for move in sorted(other.moves, key=lambda move: move.bib != plan.bib)
    ]
    return Instead(
        question=f"{plan.bib} {words}",
        score=_instead_words(other),
        moves=", ".join(moves) or "nobody moves",
    )


def _instead_words(other: Otherwise) -> str:
    before, after = other.before.detail, other.after.detail
    return f"{after} as it is" if before == after else f"{after} instead of {before}"


def _about(other: Otherwise, names: Mapping[str, str]) -> str:
    body = other.entry.body
    if isinstance(body, Rule):
        words = effect_words(other.lane, body.effect)
        return f"{words} ({body.why})"
    told = entry_words(other.lane, other.entry, names)
    at = other.lane.when(other.entry)
    if isinstance(body, Dispute) or at is None:
        return told
    return f"{told} at {show_time(at, _TENTH)}"


# --- laid out ------------------------------------------------------------------------


def explain_page(one: Explained) -> Page:
    """The explanation as a page for people."""
    facts = (
        ("place", one.place),
        ("score", one.score),
        ("status", one.status),
        *((("two judges", one.judges),) if one.judges else ()),
        ("may be questioned", one.questions),
    )
    return Page(
        title=beside_bib(one.bib, one.name, "  "),
        under=f"{one.workout}, {one.division}",
        sections=(
            Section(title="Place", rows=_rows(facts)),
            Section(title="Arithmetic", rows=_rows(one.steps)),
            Section(title="Next to it", rows=_neighbour_rows(one)),
            _entry_section(one),
            Section(title="If it were otherwise", rows=_instead_rows(one)),
        ),
    )


def _rows(pairs: Sequence[tuple[str, str]]) -> tuple[Row, ...]:
    return tuple(Row(label=label, says=says) for label, says in pairs)


def _neighbour_rows(one: Explained) -> tuple[Row, ...]:
    return tuple(
        Row(label=f"{n.place}  {n.who}", says=n.score, more=(n.parted,))
        for n in one.neighbours
    )


def _entry_section(one: Explained) -> Section:
    """The entries; where all stand in one log it is named once."""
    logs = dict.fromkeys(entry.log for entry in one.entries)
    alone = len(logs) == 1
    table = Table(
        title="",
        columns=(
            Column(name="At", key="at", align="right", is_time=True),
            Column(name="What", key="says"),
            Column(name="Entry", key="number", align="right"),
            *(() if alone else (Column(name="Log", key="log"),)),
        ),
        rows=tuple(
            (e.at or None, e.says, e.number, *(() if alone else (e.log,)))
            for e in one.entries
        ),
    )
    named = tuple(f"of the log {log}" for log in logs) if alone else ()
    return Section(title="Entries that decide", lines=named, tables=(table,))


def _instead_rows(one: Explained) -> tuple[Row, ...]:
    """What is asked, the score that would be, and who would move: a row each."""
    return tuple(
        row
        for other in one.otherwise
        for row in (
            Row(label="what", says=other.question),
            Row(label="score", says=other.score),
            Row(label="moves", says=other.moves),
        )
    )


def as_json(found: Sequence[Explained]) -> str:
    """The explanations as the module's docstring says."""
    data = {"format": FORMAT, "explained": [asdict(one) for one in found]}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"
