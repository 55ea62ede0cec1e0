"""An athlete's own sheet: score and place, what did not count and why, what mends it.

It holds nothing of other athletes but how many there were, no judge's name, nothing
that anybody wrote in their own words, and nothing of the column `private`. Every figure
is the lane's, the score's or the scorecard's.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.card import Card
from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.entry import GoOn, Note, WallSet
from judgekit.core.quantity import show_time
from judgekit.core.ranking import Placed
from judgekit.core.score import Step
from judgekit.core.score import score as arithmetic
from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.reports.explain import place_words, questions_words
from judgekit.reports.inforce import (
    NO_ADVICE,
    SIGNS,
    rules_of,
    settings_spoken,
)
from judgekit.reports.names import NOTHING_DONE, call_of, shown_name
from judgekit.reports.overallwords import OwnTotal
from judgekit.reports.pieces import span_words
from judgekit.reports.piecetext import held_words, piece_words
from judgekit.reports.remarks import remarks
from judgekit.reports.scorecard import PROVES, scorecard
from judgekit.reports.sheetlearn import to_learn
from judgekit.reports.sheetmissed import Missed, all_missed
from judgekit.reports.sheetpicture import Picture, held_times, picture
from judgekit.reports.sheetsince import Before, Since, since
from judgekit.reports.sheetsteps import steps_of
from judgekit.reports.sheetteam import Share, done_by, shares
from judgekit.reports.sheetwell import pace_line, well_lines, where_words
from judgekit.reports.standings import Result
from judgekit.reports.twojudges import judges_for_athlete, status_for_athlete
from judgekit.reports.untold import without_words
from judgekit.review.attempts import lane_rows
from judgekit.review.judged import is_told
from judgekit.review.lessons import (
    Clean,
    Lesson,
    Said,
    clean,
    lessons,
    own,
    said,
    seen,
)
from judgekit.review.lost import Lost, added, losses
from judgekit.review.pieces import LanePieces, lane_pieces

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.score import Score
    from judgekit.reports.scorecard import Scorecard
    from judgekit.review.attempts import AttemptRow, CueRow, LaneRows

# What no sheet tells: notes are the coach's, what was measured stands on the scorecard.
_UNTOLD = Note | Check | Unchecked | WallSet | GoOn
# Whoever judged: a sheet names nobody.
_NOBODY = "the head judge"
# How much is left undone is no score, and everybody can reckon it.
_SHORT_BY = re.compile(r",? \d+ short\b")
_KINDLY = {"capped": "time cap reached", "class over": "the class was over"}
_SENTENCES = re.compile(r"(?<=\.) ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """One set: where in the work, what, how much of it, how long, in which pieces.

    `part` is the part's id, `load` has the load and the height as shown, `held` what of
    the time it took was held, and by what.
    """

    part: str
    where: str
    movement: str
    load: str
    done: str
    no_reps: int | None
    at: str
    took: str
    held: str
    pieces: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkSheet:
    """One workout of one athlete; empty texts where there is nothing to say.

    `tries` tells in words what looks saw of reported work, `watched` how many tries
    somebody watched and counted, `judges` what each of two judges counted,
    `lost` what the no-reps took, as an estimate and once
    the result is official; `happened` what else became of it.
    `missed_rules` are those of `rules` that say what the no-reps lacked.
    """

    workout: str
    heat: str
    lane: int
    score: str
    place: str
    status: str
    standing: str
    tiebreak: str
    instead: tuple[str, ...]
    judges: str
    steps: tuple[Step, ...]
    tries: str
    watched: int
    lost: str
    picture: Picture | None
    splits: tuple[Split, ...]
    missed: tuple[Missed, ...]
    missed_rules: tuple[tuple[str, str], ...]
    cues: tuple[tuple[str, int], ...]
    happened: tuple[str, ...]
    rules: tuple[tuple[str, str], ...]
    questions: str
    log_code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """All of one athlete's event, the most important first.

    `well` are lines of what went well, `clean` the movements without any no-rep;
    `said` are the cues, `pace` tells where it fell most.
    """

    event: str
    date: str
    bib: str
    name: str
    division: str
    team: str
    works: tuple[WorkSheet, ...]
    overall: tuple[OwnTotal, ...]
    clean: tuple[Clean, ...]
    well: tuple[str, ...]
    lessons: tuple[Lesson, ...]
    said: tuple[Said, ...]
    pace: str
    since: Since | None
    care: tuple[str, ...]
    proves: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """One lane of an athlete with its place among so many, and its log code.

    The place is the one `so_far` where others have still to go, and `parted` where a
    tie-break parts it from an equal score. `cards` have the words of settings.
    """

    lane: Lane
    place: Placed[Result]
    of: int
    log_code: str = ""
    so_far: bool = False
    parted: bool = False
    cards: Mapping[str, Card] | None = None


def sheet(
    bib: str,
    worked: Sequence[Worked],
    *,
    before: Before | None = None,
    wall: int | None = None,
    totals: Sequence[OwnTotal] = (),
) -> Sheet:
    """The sheet of a bib, of its lanes in the order of their heats; there is one.

    Of a team each member has a sheet, with the team's score and the own no-reps as far
    as it is known whose they were. `wall` is the moment of looking, as in a score;
    `totals` are the places in the whole event.
    """
    plan = worked[-1].lane.plan
    member = next((one for one in plan.team.members if one.bib == bib), None)
    by = "" if member is None else bib
    rows = [lane_rows(one.lane, bib) for one in worked]
    pieces = [
        lane_pieces(one.lane, rows=of) for one, of in zip(worked, rows, strict=True)
    ]
    lanes = list(zip(rows, pieces, strict=True))
    found = seen(rows, by)
    works = tuple(
        _work(one, of, by, wall) for one, of in zip(worked, lanes, strict=True)
    )
    cleanly = clean(rows, by)
    tries = [row for of in rows for row in own(of.attempts, by)]
    faults, cues = lessons(found), said(rows, by)
    to_mend = {one.movement for one in to_learn(faults, cues)}
    who = plan if member is None else member
    return Sheet(
        event=plan.event,
        date=plan.date,
        bib=bib,
        name=shown_name(who.name, who.show, bib),
        division=plan.division_name,
        team="" if member is None else plan.name,
        works=works,
        overall=tuple(totals),
        clean=cleanly,
        well=tuple(well_lines(cleanly, lanes, tries, to_mend)),
        lessons=faults,
        said=cues,
        pace=_pace(worked, pieces),
        since=None if before is None else since(before, worked, found),
        care=_care(one.lane for one in worked),
        proves=PROVES if any(one.log_code for one in works) else "",
    )


def _pace(worked: Sequence[Worked], pieces: Sequence[LanePieces]) -> str:
    """Where the pace fell; nothing after a stop or a withdrawal, which may be why."""
    status = [one.place.row.score.status for one in worked]
    if any(_was_hurt(one.lane) for one in worked) or "did not finish" in status:
        return ""
    whole = (of not in _KINDLY for of in status)
    return pace_line(zip(pieces, whole, strict=True))


def _was_hurt(lane: Lane) -> bool:
    """Whether something may have been: work was stopped, or the athlete withdrew."""
    return bool(lane.stops) or lane.withdrawn_ms is not None


def _work(
    one: Worked, of: tuple[LaneRows, LanePieces], by: str, wall: int | None
) -> WorkSheet:
    rows, pieces = of
    result = one.place.row
    lane = without_words(one.lane)
    counted = without_words(result.counted)
    told = replace(result.score, steps=arithmetic(counted, wall).steps)
    card = scorecard(counted, told, log_code=one.log_code)
    attempts = list(own(rows.attempts, by))
    has_begun = result.score.status not in NOTHING_DONE
    score = "" if result.unscored else _SHORT_BY.sub("", card.score)
    team = shares(rows, by)
    missed_ = all_missed(lane, card, attempts)
    settings = settings_spoken(lane.plan, one.cards or {})
    lacked = _criteria_missed(lane.plan, attempts)
    return WorkSheet(
        workout=card.workout,
        heat=card.heat,
        lane=card.lane,
        score=score,
        place=place_words(one.place, one.of, so_far=one.so_far) if has_begun else "",
        status=_status(result, card),
        standing="" if result.unscored else card.standing,
        tiebreak=_tiebreak(card.tiebreak, parted=one.parted) if has_begun else "",
        instead=_instead(lane.plan),
        judges=judges_for_athlete(result) if has_begun else "",
        steps=_steps(counted, told) if score else (),
        tries=_tries(attempts) if has_begun and is_told(lane) else "",
        watched=sum(row.n for row in attempts if row.rated),
        lost="" if result.score.may_change else _lost(losses(pieces, rows)),
        picture=picture(rows, attempts, held_times(lane), done_by(rows, team)),
        splits=tuple(_splits(counted, card, rows, pieces, team)),
        missed=missed_,
        missed_rules=tuple(
            one.told for one in settings if (one.card, one.criterion) in lacked
        ),
        cues=_cues(lane, rows.cues, by),
        happened=_happened(lane) if has_begun else (),
        rules=(*rules_of(lane.plan), *(one.told for one in settings)),
        questions=questions_words(lane, wall) if has_begun else "",
        log_code=card.log_code,
    )


def _criteria_missed(
    plan: Plan, attempts: Iterable[AttemptRow]
) -> set[tuple[str, str]]:
    """The criteria that no-reps lacked, each with its card."""
    made = {(row.set.card, fault) for row in attempts for fault in row.faults}
    return {
        (card, fault.breaks)
        for card, name in made
        if (fault := plan.card(card).fault(name)) is not None and fault.breaks
    }


def _status(result: Result, card: Scorecard) -> str:
    """How it ended, in kind words."""
    told = result.unscored or status_for_athlete(result)
    return told or _KINDLY.get(card.status, card.status)


def _steps(lane: Lane, told: Score) -> tuple[Step, ...]:
    """The arithmetic; a single step is the score once more."""
    steps = steps_of(lane, told)
    return steps if len(steps) > 1 else ()


def _instead(plan: Plan) -> tuple[str, ...]:
    """What was done instead of what was written, each once."""
    found = (
        f"{plan.card(movement.card).name} instead of {movement.instead_of}"
        for part in plan.parts
        for movement in part.movements
        if movement.instead_of
    )
    return tuple(dict.fromkeys(found))


def _tiebreak(made: str, *, parted: bool) -> str:
    return f"{made} (it parts equal scores)" if made and parted else made


def parts_equal(place: Placed[Result], places: Iterable[Placed[Result]]) -> bool:
    """Whether somebody has the same score and another place."""
    own = place.row.score
    return place.rank is not None and any(
        other.rank not in (None, place.rank)
        and (other.row.score.shown, other.row.score.status) == (own.shown, own.status)
        for other in places
    )


# --- what counted --------------------------------------------------------------------


def _tries(attempts: Iterable[AttemptRow]) -> str:
    """What is known of what an athlete reported: how many tries looks saw good."""
    counted = [row for row in attempts if row.rated]
    many = sum(row.n for row in counted)
    good = sum(row.n for row in counted if row.good)
    told = "As you reported it; nobody watched every rep."
    return f"{told} In looks {_of_tries(good, many)}" if many else told


def _of_tries(good: int, many: int) -> str:
    if many == 1:
        return f"the one try was {'a good rep' if good else 'a no-rep'}."
    if good == many:
        return f"all {many} tries were good reps."
    return f"{good} of {many} tries were good reps."


def _lost(every: Iterable[Lost]) -> str:
    """What the no-reps took that have a time."""
    spans = [one.ms for one in every if one.ms is not None]
    if not spans:
        return ""
    many = "The no-rep" if len(spans) == 1 else f"{len(spans)} no-reps"
    return f"{many} took {span_words(added(spans))}."


def _cues(lane: Lane, rows: Iterable[CueRow], by: str) -> tuple[tuple[str, int], ...]:
    """The athlete's own cues by movement and call; those that may be anybody's too."""
    calls = (
        f"{row.set.movement}: {call_of(lane.plan.card(row.set.card), row.fault)}"
        for row in rows
        if by in ("", row.by) or not row.by
    )
    return tuple(sorted(Counter(calls).items(), key=lambda one: (-one[1], one[0])))


def _splits(
    lane: Lane,
    card: Scorecard,
    rows: LaneRows,
    found: LanePieces,
    team: Mapping[SetKey, Share],
) -> Iterator[Split]:
    """The sets; of those of a team a member is told the own no-reps alone."""
    pieces = {one.set.key: one for one in found.sets}
    counted = zip((done.key for done in lane.work.sets), card.splits, strict=True)
    sets = {row.set.key: row for row in rows.sets}
    for key, shown in counted:
        row = sets[key]
        unit = "" if shown.unit == "reps" else f" {shown.unit}"
        short = isinstance(shown.target, int) and shown.good < shown.target
        of = f" of {shown.target}" if short else ""
        how = pieces.get(row.set.key)
        height = lane.plan.movement(row.set.key).height
        share = team.get(key, Share(shown.no_reps, "", is_own=True))
        yield Split(
            part=shown.part,
            where=where_words(lane.plan, shown.part, shown.round),
            movement=row.set.movement,
            load=", ".join(filter(None, (row.set.load, height))),
            done=f"{shown.good}{of}{unit}",
            no_reps=None if shown.no_reps is None else share.no_reps,
            at=shown.done,
            took=shown.took,
            held=held_words(how.held) if how and shown.took else "",
            pieces=piece_words(how.pieces) if how else "",
            note="; ".join(filter(None, (share.note, shown.note))),
        )


def _happened(lane: Lane) -> tuple[str, ...]:
    """Stops, rulings, questions and what else the log holds; notes are nobody's."""
    told = tuple(entry for entry in lane.entries if not isinstance(entry.body, _UNTOLD))
    named: Mapping[str, str] = dict.fromkeys((e.who for e in lane.entries), _NOBODY)
    shown = replace(lane, entries=told, flags=())
    return (*remarks(shown, named), *_went_on(lane))


def _went_on(lane: Lane) -> Iterator[str]:
    for entry in lane.entries:
        if isinstance(entry.body, GoOn) and (at := lane.when(entry)) is not None:
            how = "stopped by mistake, said" if entry.body.by_mistake else "went on"
            yield f"{how} at {show_time(at, 100)}"


# --- care ----------------------------------------------------------------------------


def _care(lanes: Iterable[Lane]) -> tuple[str, ...]:
    """The cautions of what was done, the signs to mind, and whose word goes first."""
    said: dict[str, str] = {}
    stopped = False
    for lane in lanes:
        stopped = stopped or _was_hurt(lane)
        done = {lane.plan.movement(s.key).card for s in lane.work.sets if s.good}
        cards = (card for card in lane.plan.cards if card.id in done and card.caution)
        said.update({card.id: f"{card.name}: {card.caution}" for card in cards})
    return (*_once(said.values()), SIGNS, NO_ADVICE) if said or stopped else ()


def _once(texts: Iterable[str]) -> Iterator[str]:
    """Texts without the sentences that one before them has said."""
    known: set[str] = set()
    for text in texts:
        sentences = [one for one in _SENTENCES.split(text) if one not in known]
        known.update(sentences)
        yield " ".join(sentences)
