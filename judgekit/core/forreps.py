"""Scores in reps or in what monitors show: parts added up, or rounds kept whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.counted import (
    Counted,
    ScoreUnit,
    Step,
    by_round,
    full_of,
    names_round,
    plainly_counted,
    said,
    scored_parts,
    unit_of,
)
from judgekit.core.deductions import (
    corrected_by,
    corrections,
    percent,
    seconds_without_use,
)
from judgekit.core.rounds import in_rounds
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from judgekit.core.plan import Plan, PlanPart
    from judgekit.core.state import Lane, SetDone
    from judgekit.core.status import Status

_READ = ("calories", "metres", "seconds")
_TAKEN = {"worst": "least", "best": "most"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """What a part is worth, in its unit, and the line that says so."""

    value: int
    unit: ScoreUnit
    step: Step


def in_reps(lane: Lane, status: Status) -> Counted:
    """The score in reps of a whole workout, or in the one unit that it counts."""
    return _added_up(lane, status, lane.work.sets, scored_parts(lane.plan))


def in_readings(lane: Lane, status: Status) -> Counted:
    """The score in what monitors show, or in seconds held; reps beside do not count."""
    plan = lane.plan
    read = [s for s in lane.work.sets if plan.movement(s.key).unit in _READ]
    parts = [(n, p) for n, p in scored_parts(plan) if _reads(p)]
    return _added_up(lane, status, read, parts or scored_parts(plan))


def _reads(part: PlanPart) -> bool:
    return any(m.unit in _READ for m in part.movements)


def _added_up(
    lane: Lane,
    status: Status,
    sets: list[SetDone] | tuple[SetDone, ...],
    parts: list[tuple[int, PlanPart]],
) -> Counted:
    plan = lane.plan
    beside = set(plainly_counted(plan)) & {number for number, _ in parts}
    amounts = [amount(plan, sets, number) for number, _ in parts]
    units = {a.unit for a in amounts}
    unit = units.pop() if len(units) == 1 else "reps"
    steps = []
    for (number, _), found in zip(parts, amounts, strict=True):
        raw = found.value - (corrected_by(lane, [number]) if number in beside else 0)
        own = Step(label=found.step.label, value=said(raw, found.unit))
        steps.append(own if number in beside else found.step)
    steps += corrections(lane, beside)
    seconds_without_use(lane, steps)
    counted = sum(a.value for a in amounts)
    total = percent(lane, counted, steps, worse=-1)
    told = said(total, unit)
    if unit == "rounds" and len(parts) == 1:
        told = f"{total} {names_round(parts[0][1], total)}"
    steps.append(Step(label="score", value=told))
    words = in_rounds(plan, lane.work) if total == counted else ""
    if words and unit == "rounds":
        detail = words
    else:
        detail = f"{words} ({told})" if words else told
    return Counted(
        value=None if status == "waiting" else total,
        unit=unit,
        shown=str(total),
        detail=detail,
        key=(0, -total),
        steps=tuple(steps),
    )


def amount(
    plan: Plan, sets: list[SetDone] | tuple[SetDone, ...], number: int
) -> Amount:
    """What one part is worth: all of its rounds, one of them, or how many are whole."""
    part = plan.parts[number - 1]
    if part.take == "kept":
        kept = len(full_of(plan, sets, number))
        label = f"part {part.id}, {names_round(part)} kept"
        step = Step(label=label, value=f"{kept} of {part.rounds}")
        return Amount(value=kept, unit="rounds", step=step)
    rounds = by_round(plan, sets, number)
    unit = unit_of([part])
    if part.take == "sum":
        label, value = f"part {part.id}", sum(rounds.values())
    else:
        chosen = min if part.take == "worst" else max
        value = chosen(rounds.values(), default=0)
        label = f"part {part.id}, {_TAKEN[part.take]} of {len(rounds)} "
        label += names_round(part)
    step = Step(label=label, value=said(value, unit))
    return Amount(value=value, unit=unit, step=step)
