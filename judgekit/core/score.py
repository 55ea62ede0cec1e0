"""From a lane to its score, with every step of the arithmetic shown.

Order of the steps: raw, judge's corrections, reps taken off, seconds added, cap
rule, percent (common practice, no source). Times are cut, never rounded, to the
workout's precision, for show and for ranking alike.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.quantity import show_time
from judgekit.core.rounds import in_rounds, last_full_round_ms
from judgekit.core.ruling import Credit, Percent, StatusIs, TimeBy
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane, Rest, Work

Status = Literal[
    "waiting",
    "in progress",
    "finished",
    "capped",
    "stopped",
    "recalled",
    "did not start",
    "did not finish",
    "withdrawn",
    "disqualified",
    "cut",
    "guest",
    "no result",
]
_HUNDRED = 100
_UNRANKED: frozenset[Status] = frozenset(
    {
        "waiting",
        "in progress",
        "recalled",
        "did not start",
        "did not finish",
        "disqualified",
        "cut",
        "guest",
        "no result",
    }
)


NOT_ACCEPTED = "not accepted yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the arithmetic: what it is, and its value as shown."""

    label: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """A lane's score.

    `tiebreak_ms` is the first tie-break, `tiebreak` shows all of them.
    `value` is whole ms or reps (`unit`), None where there is none. `shown` stands
    alone ("4:10", "11 of 12", "193"); `detail` puts it in full. `rank_key` sorts
    best first; equal keys tie, None has no rank. `provisional` says why the score
    may still change; `before` is the score that was signed, once it was amended.
    """

    status: Status
    value: int | None
    unit: Literal["ms", "reps"]
    shown: str
    detail: str
    rank_key: tuple[int, ...] | None
    tiebreak_ms: int | None
    tiebreak: str
    reps: int
    prescribed: int
    steps: tuple[Step, ...]
    provisional: tuple[str, ...]
    amended: bool
    before: Score | None = None


def score(lane: Lane) -> Score:
    """The score of a lane as it stands; any prefix of a log has one."""
    status = status_of(lane)
    counted = _timed(lane, status) if lane.plan.score == "time" else _reps(lane, status)
    precision = lane.plan.precision_ms
    tiebreaks = [
        None if ms is None else ms // precision * precision
        for ms in _tiebreaks_ms(lane)
    ]
    shown = [show_time(ms, precision) for ms in tiebreaks if ms is not None]
    key = None if status in _UNRANKED else counted.key
    return Score(
        status=status,
        value=counted.value,
        unit=counted.unit,
        shown=counted.shown,
        detail=counted.detail,
        rank_key=None if key is None else (*key, *_tiebreak_key(tiebreaks)),
        tiebreak_ms=tiebreaks[0] if tiebreaks else None,
        tiebreak=", ".join(shown),
        reps=lane.work.good,
        prescribed=lane.plan.prescribed(),
        steps=counted.steps,
        provisional=_provisional(lane, status),
        amended=lane.amended,
        before=score(lane.accepted) if lane.amended and lane.accepted else None,
    )


def status_of(lane: Lane) -> Status:
    """The status in plain words; a head judge's ruling comes first."""
    ruled = [
        r.rule.effect.status
        for r in lane.rulings
        if isinstance(r.rule.effect, StatusIs)
    ]
    if ruled and ruled[-1] != "as counted":
        return ruled[-1]
    if lane.recalled:
        return "recalled"
    if lane.absent:
        return "did not start"
    if not lane.started:
        return "waiting"
    return _status_at_work(lane)


def _status_at_work(lane: Lane) -> Status:
    complete = _missing(lane) == 0
    if lane.work.done_ms is not None and complete:
        return "finished"
    left = _left_before_the_end(lane)
    if left is not None:
        return left
    if lane.over_ms is None and lane.work.done_ms is None:
        return "in progress"
    if lane.plan.score == "reps" or complete:
        return "finished"
    return "capped" if _reached_cap(lane) else "did not finish"


def _left_before_the_end(lane: Lane) -> Status | None:
    """Stopped or withdrawn with work to do; after the end it changes nothing."""
    end = looking.end_ms(lane)
    stops = [hold.at for hold in lane.holds if hold.kind == "stop"]
    if stops and (end is None or stops[0] < end):
        return "stopped"
    gone = lane.withdrawn_ms
    if gone is not None and (end is None or gone < end):
        return "withdrawn"
    return None


def _reached_cap(lane: Lane) -> bool:
    cap = lane.plan.cap_ms
    if not cap:
        return False
    return lane.over_ms is None or lane.over_ms >= cap


def _missing(lane: Lane) -> int:
    """Units of prescribed work not done; what the judge moved on from is let go."""
    let_go = sum(s.short for s in lane.work.sets if s.moved_on)
    return max(0, lane.plan.prescribed() - lane.work.good - let_go)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Counted:
    value: int | None
    unit: Literal["ms", "reps"]
    shown: str
    detail: str
    key: tuple[int, ...] | None
    steps: tuple[Step, ...]


# --- for time ---


def _timed(lane: Lane, status: Status) -> _Counted:
    if status == "finished":
        return _finished(lane)
    if status == "capped" and lane.plan.capped == "second-per-rep":
        return _capped_in_seconds(lane)
    return _short_of_time(lane, status)


def _finished(lane: Lane) -> _Counted:
    plan, work = lane.plan, lane.work
    cap = plan.cap_ms or lane.over_ms or 0
    raw = work.done_ms if work.done_ms is not None else cap
    steps = [Step(label="last rep at", value=show_time(raw, 1))]
    value = raw - _rest_off(lane, raw, steps)
    _corrections(lane, steps)
    value += _seconds_added(lane, steps)
    value = _percent(lane, value, steps, worse=1)
    shown = show_time(value, plan.precision_ms)
    steps.append(Step(label="score", value=shown))
    kept = value // plan.precision_ms * plan.precision_ms
    return _Counted(
        value=kept,
        unit="ms",
        shown=shown,
        detail=shown,
        key=(0, kept),
        steps=tuple(steps),
    )


def _capped_in_seconds(lane: Lane) -> _Counted:
    """Cap, less planned rests where rest is left out, and 1 s for each rep short."""
    plan = lane.plan
    missing = _missing(lane)
    steps = [Step(label="cap", value=show_time(plan.cap_ms))]
    value = plan.cap_ms
    value -= _rest_off_the_cap(lane, steps)
    _corrections(lane, steps)
    value += _seconds_added(lane, steps)
    value += missing * 1000
    steps.append(Step(label=f"{missing} short, 1 s each", value=f"+{missing} s"))
    value = _percent(lane, value, steps, worse=1)
    shown = show_time(value, plan.precision_ms)
    steps.append(Step(label="score", value=shown))
    kept = value // plan.precision_ms * plan.precision_ms
    return _Counted(
        value=kept,
        unit="ms",
        shown=shown,
        detail=f"{shown} (capped, {missing} short)",
        key=(0, kept),
        steps=tuple(steps),
    )


def _rest_off_the_cap(lane: Lane, steps: list[Step]) -> int:
    """All of the athlete's own rests, reached or not; the clock's as far as reached."""
    plan = lane.plan
    reached = {rest.part: rest for rest in lane.work.rests}
    off = 0
    for number, part in enumerate(plan.parts, 1):
        rest = reached.get(number)
        planned = part.length_ms if part.kind == "rest" else 0
        if part.kind == "rest-until" and rest is not None:
            planned = max(0, min(rest.until_ms, plan.cap_ms) - rest.from_ms)
        if planned and plan.rest == "excluded":
            off += planned
            steps.append(Step(label="planned rest", value=f"-{show_time(planned)}"))
        due = _rest_due(lane, rest) if rest is not None else 0
        if due and plan.early_start == "seconds":
            off -= due
            steps.append(Step(label="rest still due", value=f"+{show_time(due, 1)}"))
    return off


def _short_of_time(lane: Lane, status: Status) -> _Counted:
    """Capped, or not finished at all: what was done, listed below the finishers."""
    plan = lane.plan
    whole = plan.prescribed()
    steps: list[Step] = []
    _corrections(lane, steps)
    done = _percent(lane, lane.work.good, steps, worse=-1)
    shown = f"{done} of {whole}"
    steps.append(Step(label="reps done", value=shown))
    ranked = status == "capped"
    return _Counted(
        value=done,
        unit="reps",
        shown=shown,
        detail=f"{shown}, {whole - done} short",
        key=(1, -done) if ranked else None,
        steps=tuple(steps),
    )


def _rest_off(lane: Lane, raw: int, steps: list[Step]) -> int:
    """The planned rest that comes off a time, or 0 where rest stays in."""
    plan = lane.plan
    off = 0
    for rest in lane.work.rests:
        if rest.from_ms >= raw:
            continue
        due = _rest_due(lane, rest)
        planned = rest.until_ms - rest.from_ms
        if plan.rest == "excluded":
            taken = planned - due if plan.early_start == "counts" else planned
            off += taken
            steps.append(Step(label="planned rest", value=f"-{show_time(taken, 1)}"))
        if due and plan.early_start == "seconds":
            off -= due
            steps.append(Step(label="rest still due", value=f"+{show_time(due, 1)}"))
    return off


def _rest_due(lane: Lane, rest: Rest) -> int:
    for early in lane.work.early:
        if early.part == rest.part + 1:
            return early.due_ms
    return 0


# --- for rounds and reps ---


def _reps(lane: Lane, status: Status) -> _Counted:
    work = lane.work
    steps = _rounds_steps(lane.plan, work)
    _corrections(lane, steps)
    total = _percent(lane, work.good, steps, worse=-1)
    steps.append(Step(label="score", value=f"{total} reps"))
    detail = f"{total} reps"
    rounds = in_rounds(lane.plan, work)
    if rounds and total == work.good:
        detail = f"{rounds} ({total} reps)"
    return _Counted(
        value=None if status == "waiting" else total,
        unit="reps",
        shown=str(total),
        detail=detail,
        key=(0, -total),
        steps=tuple(steps),
    )


def _rounds_steps(plan: Plan, work: Work) -> list[Step]:
    steps: list[Step] = []
    for number, part in enumerate(plan.parts, 1):
        if part.movements:
            good = sum(s.good for s in work.sets if s.key.part == number)
            steps.append(Step(label=f"part {part.id}", value=f"{good} reps"))
    return steps


# --- corrections, penalties, percent ---


def _corrections(lane: Lane, steps: list[Step]) -> None:
    ruled = {r.ref for r in lane.rulings}
    for c in lane.work.corrections:
        by_ruling = c.ref in ruled
        label = "ruling" if by_ruling else "judge's correction"
        steps.append(Step(label=f"{label}: {c.why}", value=f"{c.by:+d} reps"))


def _seconds_added(lane: Lane, steps: list[Step]) -> int:
    total = 0
    for ruling in lane.rulings:
        effect = ruling.rule.effect
        if isinstance(effect, TimeBy):
            by = effect.by_ms
        elif isinstance(effect, Credit):
            by = -effect.ms
        else:
            continue
        total += by
        sign = "+" if by >= 0 else ""
        label = f"ruling: {ruling.rule.why}"
        steps.append(Step(label=label, value=f"{sign}{show_time(by, 1)}"))
    return total


def _percent(lane: Lane, value: int, steps: list[Step], *, worse: int) -> int:
    for ruling in lane.rulings:
        effect = ruling.rule.effect
        if isinstance(effect, Percent):
            value = value * (_HUNDRED + worse * effect.percent) // _HUNDRED
            label = f"ruling: {ruling.rule.why}"
            step = Step(label=label, value=f"{worse * effect.percent:+d} %")
            steps.append(step)
    return value


# --- tie-break, provisional ---


def _tiebreaks_ms(lane: Lane) -> list[int | None]:
    ends = dict(lane.work.part_ends)
    return [
        ends.get(t.part) if t.kind == "after-part" else last_full_round_ms(lane)
        for t in lane.plan.tiebreaks
    ]


def _tiebreak_key(tiebreaks: list[int | None]) -> tuple[int, ...]:
    # One that is missing sorts after every one that is there.
    pairs = [(1, 0) if ms is None else (0, ms) for ms in tiebreaks]
    return tuple(number for pair in pairs for number in pair)


def _provisional(lane: Lane, status: Status) -> tuple[str, ...]:
    if status in ("waiting", "in progress"):
        return (status,)
    why: list[str] = []
    if lane.horn_asks:
        why.append("a rep waits at the horn")
    if any(s.moved_on for s in lane.work.sets):
        why.append("moved on with a set short")
    if lane.stopped:
        why.append("stopped")
    if lane.disputes and not _ruled_since(lane):
        why.append("disputed")
    if not lane.closed:
        why.append(NOT_ACCEPTED)
    return tuple(why)


def _ruled_since(lane: Lane) -> bool:
    last = lane.disputes[-1].wall
    return any(ruling.wall >= last for ruling in lane.rulings)
