"""Scores for time: the last rep's time less planned rests, or what a cap leaves.

Times are cut, never rounded, to the workout's precision, for show and for ranking.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.counted import (
    Counted,
    Step,
    full_of,
    names_round,
    plainly_counted,
    prescribed,
    said,
    scored_parts,
    worth,
)
from judgekit.core.deductions import (
    corrected_by,
    corrections,
    percent,
    seconds_added,
)
from judgekit.core.quantity import show_time
from judgekit.core.status import cap_of, class_over_ms, missing
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from judgekit.core.plan import SetKey
    from judgekit.core.state import Lane, Rest
    from judgekit.core.status import Status

# The steps of a time that are no work.
PAUSES = ("planned rest", "wait for the next interval")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pause:
    """Time between work that the plan has, and how much of it was not taken."""

    label: str
    planned_ms: int
    due_ms: int


def timed(lane: Lane, status: Status) -> Counted:
    """The score for time of a whole workout."""
    if status == "finished":
        return _finished(lane)
    if status == "capped" and lane.plan.capped == "second-per-rep":
        return _capped_in_seconds(lane)
    return _short_of_time(lane, status)


def _finished(lane: Lane) -> Counted:
    steps: list[Step] = []
    scored = scored_parts(lane.plan)
    if any(part.take in ("worst", "best") for _, part in scored):
        value = sum(_taken(lane, number, steps) for number, _ in scored)
    else:
        value = _on_the_clock(lane, steps)
    return _as_time(lane, value, steps, "")


def told_time(lane: Lane, ms: int) -> Counted:
    """A time as the athlete told it: whatever comes off it is off already."""
    return _as_time(lane, ms, [Step(label="reported", value=show_time(ms, 1))], "")


def _on_the_clock(lane: Lane, steps: list[Step]) -> int:
    done = lane.work.done_ms
    raw = done if done is not None else cap_of(lane) or lane.over_ms or 0
    steps.append(Step(label=_last(lane), value=show_time(raw, _exactly(lane, raw))))
    pauses = [_pause(lane, rest) for rest in lane.work.rests if rest.from_ms < raw]
    if lane.work.paper is not None:
        # Whoever has done it all has come by every rest, written down or not.
        pauses = _pauses_to_cap(lane, raw)
    return raw - _rest_off(lane, [*pauses, *_waits(lane)], steps)


def _exactly(lane: Lane, ms: int) -> int:
    """To what a time is shown in full: on paper stand mostly whole seconds."""
    return 1000 if lane.work.paper is not None and ms % 1000 == 0 else 1


def _last(lane: Lane) -> str:
    if lane.work.paper is not None:
        return "time on paper"
    return f"last {'set reported' if lane.plan.watching == 'reported' else 'rep'} at"


def _as_time(lane: Lane, value: int, steps: list[Step], short: str) -> Counted:
    """The rulings on a time, and the time as shown."""
    precision = lane.plan.precision_ms
    steps += corrections(lane, ())
    value += seconds_added(lane, steps)
    if short:
        many = missing(lane)
        value += many * 1000
        steps.append(Step(label=f"{many} short, 1 s each", value=f"+{many} s"))
    # No ruling makes a time shorter than none.
    value = max(0, percent(lane, value, steps, worse=1))
    shown = show_time(value, precision)
    steps.append(Step(label="score", value=shown))
    kept = value // precision * precision
    return Counted(
        value=kept,
        unit="ms",
        shown=shown,
        detail=f"{shown}{short}",
        key=(0, kept),
        steps=tuple(steps),
    )


def _capped_in_seconds(lane: Lane) -> Counted:
    """Cap, less planned rests where rest is left out, and 1 s for each rep short."""
    cap = cap_of(lane) or 0
    steps = [Step(label="cap", value=show_time(cap))]
    value = cap - _rest_off(lane, [*_pauses_to_cap(lane, cap), *_waits(lane)], steps)
    return _as_time(lane, value, steps, f" (capped, {missing(lane)} short)")


def _short_of_time(lane: Lane, status: Status) -> Counted:
    """Capped, or not finished at all: what was done, listed below the finishers."""
    plan = lane.plan
    full = prescribed(plan)
    steps: list[Step] = []
    raw = sum(
        worth(plan, s)
        for s in lane.work.sets
        if (part := plan.part(s.key)).scored and part.is_prescribed
    )
    beside = plainly_counted(plan)
    corrected = corrections(lane, beside)
    if corrected:
        counted = raw - corrected_by(lane, beside)
        steps.append(Step(label="reps counted", value=said(counted, "reps")))
    steps += corrected
    done = percent(lane, raw, steps, worse=-1)
    shown = f"{done} of {full}"
    detail = f"{shown}, {full - done} short" if done < full else shown
    over = class_over_ms(lane) if status == "class over" else None
    if over is not None:
        when = show_time(over, 1000)
        steps.append(Step(label="class over at", value=when))
        detail += f", class over at {when}"
    steps.append(Step(label="reps done", value=shown))
    return Counted(
        value=done,
        unit="reps",
        shown=shown,
        detail=detail,
        key=(1, -done) if status in ("capped", "class over") else None,
        steps=tuple(steps),
    )


# --- rests -----------------------------------------------------------------------


def _rest_off(lane: Lane, pauses: list[_Pause], steps: list[Step]) -> int:
    """The planned rest that comes off a time, or 0 where rest stays in."""
    plan = lane.plan
    off = 0
    for pause in pauses:
        if plan.rest == "excluded":
            left = pause.due_ms if plan.early_start == "counts" else 0
            off += pause.planned_ms - left
            value = f"-{show_time(pause.planned_ms - left, 1)}"
            steps.append(Step(label=pause.label, value=value))
        if pause.due_ms and plan.early_start == "seconds":
            off -= pause.due_ms
            value = f"+{show_time(pause.due_ms, 1)}"
            steps.append(Step(label="rest still due", value=value))
    return off


def _pause(lane: Lane, rest: Rest) -> _Pause:
    planned = rest.until_ms - rest.from_ms
    due = _rest_due(lane, rest)
    return _Pause(label=PAUSES[0], planned_ms=planned, due_ms=due)


def _rest_due(lane: Lane, rest: Rest) -> int:
    before = (rest.part, rest.round + 1) if rest.round else (rest.part + 1, 1)
    return due_at(lane, *before)


def due_at(lane: Lane, part: int, round_: int) -> int:
    """How much of the wait before a round was still due when work began in it."""
    for early in lane.work.early:
        if (early.part, early.round) == (part, round_):
            return early.due_ms
    return 0


def _waits(lane: Lane) -> list[_Pause]:
    """What is left of each interval once its work is done, as far as it came.

    Only where intervals are done for time: their clock is no part of the work.
    """
    times = [
        t
        for n, p in scored_parts(lane.plan)
        if p.kind == "every"
        for t in round_times(lane, n)
    ]
    return [
        _Pause(label=PAUSES[1], planned_ms=t.wait_ms, due_ms=0)
        for t in times
        if t.wait_ms
    ]


def _pauses_to_cap(lane: Lane, cap: int) -> list[_Pause]:
    """All of the athlete's own rests, reached or not; the clock's as far as reached."""
    reached = {(rest.part, rest.round): rest for rest in lane.work.rests}
    found = []
    for number, part in enumerate(lane.plan.parts, 1):
        if part.kind == "rest":
            rests = [0]
        elif part.rest_ms:
            rests = list(range(1, part.rounds))
        else:
            rests = [0] if part.kind == "rest-until" and (number, 0) in reached else []
        for round_ in rests:
            rest = reached.get((number, round_))
            planned = part.length_ms if part.kind == "rest" else part.rest_ms
            if part.kind == "rest-until" and rest is not None:
                planned = max(0, min(rest.until_ms, cap) - rest.from_ms)
            due = _rest_due(lane, rest) if rest is not None else 0
            found.append(_Pause(label=PAUSES[0], planned_ms=planned, due_ms=due))
    return [pause for pause in found if pause.planned_ms]


# --- rounds and parts of their own -------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundTime:
    """A round done whole, and how long it took; None where it is not whole.

    `wait_ms` is what the clock keeps the athlete waiting after it.
    """

    round: int
    took_ms: int | None
    wait_ms: int = 0


def round_times(lane: Lane, number: int) -> list[RoundTime]:
    """How long each round of a part took, from when it was open to its last rep.

    A rest cut short is given back, unless reps before its end count for nothing.
    """
    part = lane.plan.parts[number - 1]
    line = looking.line_of_work(lane, lane.work)
    full = set(full_of(lane.plan, lane.work.sets, number))
    before = line.opens.get(number)
    found = []
    for round_ in range(1, part.rounds + 1):
        keys = lane.plan.round_sets(number, round_)
        own = part.kind == "every" or (part.rest_ms and round_ > 1)
        opens = line.opening(keys[0]) if own else before
        end = _end_of(lane, number, round_) if round_ in full else None
        took = None
        if end is not None and opens is not None:
            due = due_at(lane, number, round_)
            took = end - opens + (due if lane.plan.early_start != "no-rep" else 0)
        before = end
        wait = _wait(lane, keys[0], opens, end)
        found.append(RoundTime(round=round_, took_ms=took, wait_ms=wait))
    return found


def _end_of(lane: Lane, part: int, round_: int) -> int | None:
    here = (s for s in lane.work.sets if s.key.part == part and s.key.round == round_)
    return max((s.done_ms for s in here if s.done_ms is not None), default=None)


def _wait(lane: Lane, key: SetKey, opens: int | None, end: int | None) -> int:
    part = lane.plan.part(key)
    if part.kind != "every" or opens is None or key.round == part.rounds:
        return 0
    return opens + part.every_ms - (end if end is not None else opens + part.work_ms)


def _taken(lane: Lane, number: int, steps: list[Step]) -> int:
    """The part's own time: of its slowest or quickest round, or of all."""
    part = lane.plan.parts[number - 1]
    if part.take in ("worst", "best"):
        times = [(t.took_ms, t.round) for t in round_times(lane, number)]
        whole = [(ms, round_) for ms, round_ in times if ms is not None] or [(0, 0)]
        slowest = part.take == "worst"
        ms, round_ = max(whole) if slowest else min(whole)
        kind = "slowest" if slowest else "quickest"
        label = f"part {part.id}, {kind} {names_round(part, 1)}, number {round_}"
        steps.append(Step(label=label, value=show_time(ms, 1)))
        return ms
    ms = part_ms(lane, number) or 0
    steps.append(Step(label=f"part {part.id}", value=show_time(ms, 1)))
    return ms


def part_ms(lane: Lane, number: int) -> int | None:
    """How long a part took, from when it was open, less its own rests, or None."""
    plan, part = lane.plan, lane.plan.parts[number - 1]
    times = [t.took_ms for t in round_times(lane, number)]
    whole = [ms for ms in times if ms is not None]
    if len(whole) < len(times):
        return _on_paper(lane, number) if lane.work.paper is not None else None
    if plan.rest == "excluded" or part.kind == "every":
        return sum(whole)
    rests = [r for r in lane.work.rests if r.part == number and r.round]
    return sum(whole) + sum(r.until_ms - r.from_ms for r in rests)


def _on_paper(lane: Lane, number: int) -> int | None:
    """How long a part took whose end stands on paper, and not that of its rounds."""
    part = lane.plan.parts[number - 1]
    opens = looking.line_of_work(lane, lane.work).opens.get(number)
    end = dict(lane.work.part_ends).get(number)
    done = len(full_of(lane.plan, lane.work.sets, number)) == part.rounds
    if opens is None or end is None or not done:
        return None
    rests = part.rest_ms * (part.rounds - 1) if lane.plan.rest == "excluded" else 0
    return end - opens - rests
