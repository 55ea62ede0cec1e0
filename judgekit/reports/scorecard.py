"""One lane's scorecard as texts: what counted, what did not, and the arithmetic.

It says nothing of its own: every figure is the lane's or the score's, and every time
is cut to the workout's precision, so that a value looks the same wherever it stands.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.counted import is_open_ended
from judgekit.core.doubt import unanswered
from judgekit.core.fortime import PAUSES
from judgekit.core.quantity import parse_duration, show_time
from judgekit.core.score import NOT_ACCEPTED, Step
from judgekit.core.values import dataclass
from judgekit.reports.inforce import cautions_of, settings_of
from judgekit.reports.names import (
    MARK_WORDS,
    NO_REASON,
    beside_bib,
    call_of,
    has_score,
    movement_name,
    scaled_words,
    score_words,
    shown_name,
)
from judgekit.reports.remarks import (
    corrections,
    late_take_backs,
    press_time,
    remarks,
)
from judgekit.reports.standingwords import (
    amended_words,
    signed_and_now,
    standing_word,
)
from judgekit.reports.watchwords import watched_words
from judgekit.review.judged import Watched, is_told, missed, on_paper, watched_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from judgekit.core.plan import Plan
    from judgekit.core.score import Score
    from judgekit.core.state import (
        Attempt,
        Lane,
        Mark,
        NoRepsWritten,
        SetDone,
        Signature,
    )

PROVES = (
    "The log code shows that this card was read from the log's entries as they stood: "
    "a later change to any of them no longer fits it. It shows nothing more."
)
_WORDS = (
    *("no", "one", "two", "three", "four", "five", "six", "seven"),
    *("eight", "nine", "ten", "eleven", "twelve"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitRow:
    """One set touched; `took` counts from the end of the set or rest before.

    `took` is the difference of the times shown, so that the column adds up to them.
    No-reps are None where nobody judged every rep.
    """

    part: str
    round: int
    movement: str
    good: int
    target: int | Literal["max"]
    unit: str
    no_reps: int | None
    done: str
    took: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AttemptRow:
    """An attempt worth a line: a no-rep, or a rep that carries a mark."""

    at: str
    movement: str
    what: str
    says: str
    marks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Scorecard:
    """A lane's scorecard, ready to be laid out or read aloud; empty means none.

    `judges` is what two of them counted; whoever knows both puts it in.
    """

    event: str
    date: str
    heat: str
    lane: int
    bib: str
    name: str
    division: str
    workout: str
    revision: int
    judge: str
    run: str
    splits: tuple[SplitRow, ...]
    no_reps: tuple[AttemptRow, ...]
    remarked: tuple[AttemptRow, ...]
    cues: tuple[tuple[str, int], ...]
    corrections: tuple[str, ...]
    late: tuple[str, ...]
    steps: tuple[Step, ...]
    status: str
    standing: str
    judges: str
    score: str
    watched: Watched
    watched_words: str
    scaled: str
    tiebreak: str
    provisional: tuple[str, ...]
    amended: str
    remarks: tuple[str, ...]
    signed: tuple[str, ...]
    settings: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    log_code: str
    proves: str
    aloud: str

    @property
    def title(self) -> tuple[str, ...]:
        """The lines at the head of the card."""
        judged = f", judged by {self.judge}" if self.judge else ""
        who = f"{beside_bib(self.bib, self.name, '  ')}, {self.division}"
        lines = (
            f"{self.event}, {self.date}",
            f"Heat {self.heat}, lane {self.lane}: {who}",
            f"{self.workout}, revision {self.revision}{judged}",
            self.run,
        )
        return tuple(line for line in lines if line)


def scorecard(
    lane: Lane,
    score: Score,
    *,
    log_code: str = "",
    runs: str = "",
    judge: str = "",
    names: Mapping[str, str] | None = None,
) -> Scorecard:
    """The scorecard of a lane and its score.

    `runs` says which run of how many this is and why. `judge` is the name of the
    lane's judge, `names` has those of all judges by their ids, for who ruled; without
    them the ids in the log stand.
    """
    plan = lane.plan
    known = {lane.judge: judge, **(names or {})} if judge else names or {}
    return Scorecard(
        event=plan.event,
        date=plan.date,
        heat=plan.heat,
        lane=plan.lane,
        bib=plan.bib,
        name=shown_name(plan.name, plan.show, plan.bib),
        division=plan.division_name,
        workout=plan.workout_name,
        revision=plan.revision,
        judge=known.get(lane.judge, lane.judge),
        run=runs,
        splits=_splits(lane),
        no_reps=(
            *(_no_rep_row(plan, a) for a in missed(lane)),
            *(_written_row(plan, one) for one in on_paper(lane)),
        ),
        remarked=_remarked(lane),
        cues=_cues(lane),
        corrections=corrections(lane, known),
        late=late_take_backs(lane),
        steps=score.steps,
        status=score.status,
        judges="",
        standing=standing_word(score, plan.zone),
        score=score.detail if has_score(score) else "",
        watched=watched_of(lane),
        watched_words=watched_words(lane),
        scaled=scaled_words(plan),
        tiebreak=", ".join(tie.told for tie in score.tiebreaks if tie.shown),
        provisional=_still_open(lane, score),
        amended=amended_words(score),
        remarks=remarks(lane, known),
        signed=tuple(_signature(s) for s in lane.signatures),
        settings=_settings(lane),
        cautions=cautions_of(plan),
        log_code=log_code,
        proves=PROVES if log_code else "",
        aloud=aloud(lane, score),
    )


def aloud(lane: Lane, score: Score) -> str:
    """The score in one line to be read to the athlete."""
    parts = [_score_aloud(lane, score)]
    if score.tiebreak:
        parts.append(f"tie-break {score.tiebreak}")
    if is_told(lane):
        # Nobody counted no-reps, so that none is no praise.
        return ", ".join([*parts, watched_words(lane)])
    standing = missed(lane)
    reasons = Counter(
        reason.lower() for a in standing for reason in _calls(lane.plan, a)
    )
    for one in on_paper(lane):
        reasons[_call_written(lane.plan, one).lower()] += one.n
    count = len(standing) + sum(one.n for one in on_paper(lane))
    words = _WORDS[count] if count < len(_WORDS) else str(count)
    said = f"{words} no-rep{'' if count == 1 else 's'}"
    if reasons:
        ordered = sorted(reasons.items(), key=lambda pair: (-pair[1], pair[0]))
        # A no-rep may have two reasons; then the numbers are more than the no-reps.
        said += ", reasons: " if reasons.total() > count else ": "
        said += ", ".join(f"{reason} {n}" for reason, n in ordered)
    if lane.work.paper is not None:
        said += ", from paper"
    return ", ".join([*parts, said])


# --- splits --------------------------------------------------------------------------


def _splits(lane: Lane) -> tuple[SplitRow, ...]:
    line = looking.line_of_work(lane, lane.work)
    misses = Counter(a.set for a in missed(lane))
    told = dict.fromkeys((said.set for said in lane.work.reported), "reported")
    whole = "reported" if lane.work.given is not None else ""
    if whole or lane.work.paper is not None:
        every = (done.key for done in lane.work.sets)
        told = dict.fromkeys(every, whole or "from paper")
    rows: list[SplitRow] = []
    ends: dict[int, int | None] = {}
    for done in lane.work.sets:
        part = done.key.part
        # What was waited for before a round is no work of it.
        begins = (ends.get(part), line.opening(done.key))
        since = max((ms for ms in begins if ms is not None), default=None)
        missing = None if is_told(lane) else misses[done.key]
        if lane.work.paper is not None:
            # In which round, and since when, is not on paper.
            missing, since = None, None
        row = _split(lane.plan, done, missing, since)
        rows.append(replace(row, note=_and(row.note, told.get(done.key, ""))))
        ends[part] = done.done_ms if done.done_ms is not None else done.last_ms
    return tuple(rows)


def _split(
    plan: Plan, done: SetDone, misses: int | None, since: int | None
) -> SplitRow:
    precision = plan.precision_ms
    took = ""
    if done.done_ms is not None and since is not None and since <= done.done_ms:
        cut = done.done_ms // precision - since // precision
        took = show_time(cut * precision, precision)
    movement = plan.movement(done.key)
    return SplitRow(
        part=plan.part(done.key).id,
        round=done.key.round,
        movement=movement_name(plan, done.key),
        good=done.good,
        target="max" if is_open_ended(plan, done.key) else done.target,
        unit=movement.unit,
        no_reps=misses,
        done="" if done.done_ms is None else show_time(done.done_ms, precision),
        took=took,
        note=_note(done, movement.instead_of),
    )


def _and(note: str, more: str) -> str:
    return "; ".join(words for words in (note, more) if words)


def _note(done: SetDone, instead_of: str) -> str:
    notes = [
        f"instead of {instead_of}" if instead_of else "",
        f"moved on: {done.moved_on}" if done.moved_on else "",
    ]
    return "; ".join(note for note in notes if note)


# --- attempts ------------------------------------------------------------------------


def _no_rep_row(plan: Plan, attempt: Attempt) -> AttemptRow:
    card = plan.card_of(attempt.set)
    broken = [
        criterion.says
        for fault_id in attempt.faults
        if (fault := card.fault(fault_id)) is not None
        and (criterion := card.criterion_of(fault)) is not None
    ]
    return AttemptRow(
        at=press_time(plan, attempt.at),
        movement=card.name,
        what=" + ".join(_calls(plan, attempt)),
        says="; ".join(broken),
        marks=_marks(attempt.marks),
    )


def _written_row(plan: Plan, one: NoRepsWritten) -> AttemptRow:
    """No-reps from paper, which have no time."""
    card = plan.card_of(one.set)
    fault = card.fault(one.fault)
    criterion = card.criterion_of(fault) if fault is not None else None
    return AttemptRow(
        at="",
        movement=card.name,
        what=f"{_call_written(plan, one)} x{one.n}",
        says=criterion.says if criterion is not None else "",
        marks="from paper",
    )


def _call_written(plan: Plan, one: NoRepsWritten) -> str:
    return call_of(plan.card_of(one.set), one.fault) if one.fault else NO_REASON


def _calls(plan: Plan, attempt: Attempt) -> list[str]:
    card = plan.card_of(attempt.set)
    return [call_of(card, fault) for fault in attempt.faults] or [NO_REASON]


def _remarked(lane: Lane) -> tuple[AttemptRow, ...]:
    standing = {a.ref for a in missed(lane)}
    return tuple(
        AttemptRow(
            at=press_time(lane.plan, a.at),
            movement=lane.plan.card_of(a.set).name,
            what=_reps(lane.plan, a),
            says="counts" if a.counts else "does not count",
            marks=_marks(a.marks) + ("; unanswered" if unanswered(lane, a) else ""),
        )
        for a in lane.work.attempts
        if a.marks and a.ref not in standing
    )


def _reps(plan: Plan, attempt: Attempt) -> str:
    if attempt.shows is not None:
        return f"monitor {attempt.shows}"
    if not attempt.good:
        return f"no-rep: {' + '.join(_calls(plan, attempt))}"
    return "rep" if attempt.n == 1 else f"{attempt.n} reps"


def _marks(marks: Iterable[Mark]) -> str:
    return "; ".join(MARK_WORDS[mark] for mark in marks)


# --- the judge's own changes --------------------------------------------------------


def _cues(lane: Lane) -> tuple[tuple[str, int], ...]:
    seen = Counter(
        call_of(lane.plan.card_of(cue.set), cue.fault) for cue in lane.work.cues
    )
    return tuple(sorted(seen.items(), key=lambda pair: (-pair[1], pair[0])))


# --- the rest ------------------------------------------------------------------------


def _score_aloud(lane: Lane, score: Score) -> str:
    told = score_words(score, lane.plan)
    said = f"{told}{_clock_aloud(score, lane.plan.precision_ms)}"
    if score.status not in ("finished", "in progress") and score.status not in told:
        said = f"{score.status}: {said}" if has_score(score) else score.status
    signed = signed_and_now(score)
    return said if signed is None else f"{said}, amended from {signed[0]}"


def _clock_aloud(score: Score, precision: int) -> str:
    """Why a time differs from the clock that all saw: " (4:30 less 3:00 rest)".

    Without other steps the rest is the difference of the two times shown.
    """
    if score.status != "finished" or score.value is None or score.unit != "ms":
        return ""
    first, *between, _last = score.steps
    rests = [step for step in between if step.label in PAUSES]
    if not rests:
        return ""
    clock = parse_duration(first.value) // precision * precision
    rest = sum(parse_duration(step.value.lstrip("-")) for step in rests)
    others = [
        f"{step.label} {step.value}"
        for step in between
        if step not in rests and not step.value.endswith(" reps")
    ]
    if not others:
        rest = clock - int(score.value)
    said = f"{show_time(clock, precision)} less {show_time(rest, precision)} rest"
    return f" ({', '.join([said, *others])})"


def _still_open(lane: Lane, score: Score) -> tuple[str, ...]:
    """Why the score is not final yet; who has still to accept it is named."""
    missing = {"athlete", "judge"} - {s.who for s in lane.signatures}
    named = f"not accepted by the {missing.pop()} yet" if len(missing) == 1 else ""
    unsigned = () if score.until is None else (NOT_ACCEPTED,)
    return tuple(
        named if named and why == NOT_ACCEPTED else why
        for why in (*score.provisional, *unsigned)
    )


def _settings(lane: Lane) -> tuple[tuple[str, str], ...]:
    """The rules in force; a result told afterwards was watched by nobody."""
    rules = settings_of(lane.plan)
    if lane.work.given is None and lane.work.paper is None:
        return rules
    return (("watching", watched_words(lane)), *rules[1:])


def _signature(signature: Signature) -> str:
    how = "accepted" if signature.signed else "not signed"
    return f"{signature.who}: {how}"
