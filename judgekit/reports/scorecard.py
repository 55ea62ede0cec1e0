"""One lane's scorecard as texts: what counted, what did not, and the arithmetic.

It says nothing of its own: every figure is the lane's or the score's, and every time
is cut to the workout's precision, so that a value looks the same wherever it stands.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from judgekit.core.entry import Correct, Dispute, Rep, Stop
from judgekit.core.lane import own_ms
from judgekit.core.quantity import show_time
from judgekit.core.score import Step
from judgekit.core.timeline import timeline
from judgekit.reports.inforce import cautions_of, settings_of
from judgekit.reports.names import (
    MARK_WORDS,
    NO_REASON,
    call_of,
    movement_name,
    shown_name,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.ruling import Ref
    from judgekit.core.score import Score
    from judgekit.core.state import Attempt, Lane, Mark, SetDone, Signature

PROVES = (
    "The log code shows that this card was read from the log's entries as they stood: "
    "a later change to any of them no longer fits it. It shows nothing more."
)
_TENTH = 100
_WORDS = (
    *("no", "one", "two", "three", "four", "five", "six", "seven"),
    *("eight", "nine", "ten", "eleven", "twelve"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitRow:
    """One set touched; `took` counts from the end of the set or rest before.

    `took` is the difference of the times shown, so that the column adds up to them.
    """

    part: str
    round: int
    movement: str
    good: int
    target: int
    unit: str
    no_reps: int
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
    """A lane's scorecard, ready to be laid out or read aloud; empty means none."""

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
    score: str
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
        who = f"{self.bib}  {self.name}, {self.division}"
        lines = (
            f"{self.event}, {self.date}",
            f"Heat {self.heat}, lane {self.lane}: {who}",
            f"{self.workout}, revision {self.revision}{judged}",
            self.run,
        )
        return tuple(line for line in lines if line)


def scorecard(
    lane: Lane, score: Score, *, log_code: str = "", runs: str = "", judge: str = ""
) -> Scorecard:
    """The scorecard of a lane and its score.

    `runs` says which run of how many this is and why; `judge` is the judge's name,
    without it the id in the log stands.
    """
    plan = lane.plan
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
        judge=judge or lane.judge,
        run=runs,
        splits=_splits(lane),
        no_reps=tuple(_no_rep_row(plan, a) for a in no_reps(lane)),
        remarked=_remarked(lane),
        cues=_cues(lane),
        corrections=_corrections(lane),
        late=_late(lane),
        steps=score.steps,
        status=score.status,
        score=score.detail,
        tiebreak=score.tiebreak,
        provisional=score.provisional,
        amended=_amended(score),
        remarks=_remarks(lane),
        signed=tuple(_signature(s) for s in lane.signatures),
        settings=settings_of(plan),
        cautions=cautions_of(plan),
        log_code=log_code,
        proves=PROVES if log_code else "",
        aloud=aloud(lane, score),
    )


def no_reps(lane: Lane) -> list[Attempt]:
    """The no-reps that stand: one restored by a ruling is none any more."""
    return [a for a in lane.work.attempts if not a.good and not a.counts]


def aloud(lane: Lane, score: Score) -> str:
    """The score in one line to be read to the athlete."""
    parts = [_score_aloud(score)]
    if score.tiebreak:
        parts.append(f"tie-break {score.tiebreak}")
    standing = no_reps(lane)
    reasons = Counter(
        reason.lower() for a in standing for reason in _calls(lane.plan, a)
    )
    count = len(standing)
    words = _WORDS[count] if count < len(_WORDS) else str(count)
    said = f"{words} no-rep{'' if count == 1 else 's'}"
    if reasons:
        ordered = sorted(reasons.items(), key=lambda pair: (-pair[1], pair[0]))
        said += ": " + ", ".join(f"{reason} {n}" for reason, n in ordered)
    return ", ".join([*parts, said])


# --- splits --------------------------------------------------------------------------


def _splits(lane: Lane) -> tuple[SplitRow, ...]:
    opens = timeline(lane.plan, dict(lane.work.part_ends), lane.over_ms).opens
    misses = Counter(a.set for a in no_reps(lane))
    rows: list[SplitRow] = []
    ends: dict[int, int | None] = {}
    for done in lane.work.sets:
        part = done.key.part
        since = ends.get(part, opens.get(part))
        rows.append(_split(lane.plan, done, misses[done.key], since))
        ends[part] = done.done_ms if done.done_ms is not None else done.last_ms
    return tuple(rows)


def _split(plan: Plan, done: SetDone, misses: int, since: int | None) -> SplitRow:
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
        target=done.target,
        unit=movement.unit,
        no_reps=misses,
        done="" if done.done_ms is None else show_time(done.done_ms, precision),
        took=took,
        note=_note(done, movement.instead_of),
    )


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
        at=_at(plan, attempt.at),
        movement=card.name,
        what=" + ".join(_calls(plan, attempt)),
        says="; ".join(broken),
        marks=_marks(attempt.marks),
    )


def _calls(plan: Plan, attempt: Attempt) -> list[str]:
    card = plan.card_of(attempt.set)
    return [call_of(card, fault) for fault in attempt.faults] or [NO_REASON]


def _remarked(lane: Lane) -> tuple[AttemptRow, ...]:
    standing = {a.ref for a in no_reps(lane)}
    return tuple(
        AttemptRow(
            at=_at(lane.plan, a.at),
            movement=lane.plan.card_of(a.set).name,
            what=_reps(a),
            says="counts" if a.counts else "does not count",
            marks=_marks(a.marks),
        )
        for a in lane.work.attempts
        if a.marks and a.ref not in standing
    )


def _reps(attempt: Attempt) -> str:
    if attempt.shows is not None:
        return f"monitor {attempt.shows}"
    if not attempt.good:
        return "no-rep"
    return "rep" if attempt.n == 1 else f"{attempt.n} reps"


def _marks(marks: Iterable[Mark]) -> str:
    return "; ".join(MARK_WORDS[mark] for mark in marks)


def _at(plan: Plan, ms: int) -> str:
    """When a single press was made: to a tenth, or finer where the score is finer."""
    return show_time(ms, min(_TENTH, plan.precision_ms))


# --- the judge's own changes --------------------------------------------------------


def _cues(lane: Lane) -> tuple[tuple[str, int], ...]:
    seen = Counter(
        call_of(lane.plan.card_of(cue.set), cue.fault) for cue in lane.work.cues
    )
    return tuple(sorted(seen.items(), key=lambda pair: (-pair[1], pair[0])))


def _corrections(lane: Lane) -> tuple[str, ...]:
    by_ruling = {ruling.ref for ruling in lane.rulings}
    lines: list[str] = []
    for c in lane.work.corrections:
        who = "ruling" if c.ref in by_ruling else f"judge, {_at(lane.plan, c.at)}"
        where = f"{lane.plan.card_of(c.set).name}, {_round(lane.plan, c.set)}"
        lines.append(f"{who}: {where}: {c.by:+d} ({c.why})")
    return tuple(lines)


def _round(plan: Plan, key: SetKey) -> str:
    part = plan.part(key).id
    return f"part {part} round {key.round}" if part else f"round {key.round}"


def _late(lane: Lane) -> tuple[str, ...]:
    entries = {entry.ref: entry for entry in lane.entries}
    return tuple(
        f"{_taken(lane, entries, t.target)}, late, at {_at(lane.plan, t.at)}"
        for t in lane.taken_back
        if t.late
    )


def _taken(lane: Lane, entries: Mapping[Ref, Entry], target: Ref) -> str:
    entry = entries.get(target)
    if entry is None:
        return "an entry that is not here"
    body = entry.body
    tail = ""
    if isinstance(body, Rep) and body.n > 1:
        tail = f" x{body.n}"
    elif isinstance(body, Correct):
        tail = f" {body.by:+d}"
    return f"{body.kind}{tail} at {_stamp(lane, entry)}"


# --- the rest ------------------------------------------------------------------------


def _score_aloud(score: Score) -> str:
    said = score.detail
    if score.status not in ("finished", "in progress"):
        said = f"{score.status}: {said}" if _has_score(score) else score.status
    if score.before is not None:
        said = f"{said}, amended from {score.before.detail}"
    return said


def _has_score(score: Score) -> bool:
    return score.value is not None and score.status not in (
        "waiting",
        "did not start",
        "recalled",
    )


def _amended(score: Score) -> str:
    if score.before is None:
        return ""
    return f"signed {score.before.detail}, now {score.detail}"


def _remarks(lane: Lane) -> tuple[str, ...]:
    stops = [_stop(lane, stop) for stop in lane.stops]
    withdrawn = lane.withdrawn_ms
    gone = [] if withdrawn is None else [f"withdrew at {_at(lane.plan, withdrawn)}"]
    disputes = [f"disputed: {_about(entry)}" for entry in lane.disputes]
    shift = lane.start_shift_ms
    moved = [f"start moved by {shift / 1000:+g} s by a ruling"] if shift else []
    scaled = ["done with changes for this athlete"] if lane.plan.substituted else []
    return (*scaled, *stops, *gone, *moved, *disputes, *lane.flags)


def _stop(lane: Lane, stop: Entry) -> str:
    sign = stop.body.sign if isinstance(stop.body, Stop) else ""
    return f"STOP at {_stamp(lane, stop)}" + (f" ({sign})" if sign else "")


def _stamp(lane: Lane, entry: Entry) -> str:
    """When an entry was made, on the lane's own clock."""
    return _at(lane.plan, own_ms(lane, entry.at or 0))


def _about(dispute: Entry) -> str:
    return dispute.body.about if isinstance(dispute.body, Dispute) else ""


def _signature(signature: Signature) -> str:
    how = "accepted" if signature.signed else "not signed"
    return f"{signature.who}: {how}"
