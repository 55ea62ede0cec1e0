"""The score of a result as the athlete reported it, scored as any other is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.counted import Counted, Step, names_round, said, scored_parts
from judgekit.core.deductions import (
    corrected_by,
    corrections,
    percent,
    seconds_without_use,
)
from judgekit.core.forload import told_load
from judgekit.core.fortime import timed, told_time
from judgekit.core.resulting import amount_of, unit_wanted
from judgekit.core.rounds import in_rounds

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.core.status import Status
    from judgekit.core.watchentry import Result


def as_reported(lane: Lane, result: Result, status: Status) -> Counted:
    """The score that a whole result makes, with every ruling on it."""
    if result.unit == "ms":
        return told_time(lane, result.amount)
    if result.unit == "load":
        return told_load(lane, result.load)
    if unit_wanted(lane.plan) == "ms":
        return timed(lane, status)
    return _amount(lane, result)


def _amount(lane: Lane, result: Result) -> Counted:
    plan, unit = lane.plan, unit_wanted(lane.plan) or "reps"
    parts = scored_parts(plan)
    told = amount_of(plan, result)
    steps = [Step(label="reported", value=said(told, unit))]
    steps += corrections(lane, [number for number, _ in parts])
    seconds_without_use(lane, steps)
    counted = told + corrected_by(lane, [number for number, _ in parts])
    total = percent(lane, counted, steps, worse=-1)
    words = said(total, unit)
    if unit == "rounds":
        words = f"{total} {names_round(parts[0][1], total)}"
    steps.append(Step(label="score", value=words))
    rounds = in_rounds(plan, lane.work) if lane.work.sets and total == told else ""
    return Counted(
        value=total,
        unit=unit,
        shown=str(total),
        detail=f"{rounds} ({words})" if rounds else words,
        key=(0, -total),
        steps=tuple(steps),
    )
