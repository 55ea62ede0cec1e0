"""Scores of parts that are placed apart: each a score of its own."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from judgekit.core import forload
from judgekit.core.counted import (
    Counted,
    RankKey,
    ScoreUnit,
    Step,
    by_round,
    said,
    scored_by,
    scored_parts,
    whole,
)
from judgekit.core.deductions import corrections, without_a_part
from judgekit.core.forreps import amount
from judgekit.core.fortime import part_ms
from judgekit.core.quantity import show_time
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from judgekit.core.state import Lane


@dataclass(frozen=True, slots=True, kw_only=True)
class PartScore:
    """One part's score: `key` sorts best first, None where nothing was done in it."""

    part: str
    number: int
    value: int | Fraction
    unit: ScoreUnit
    shown: str
    key: RankKey | None


def part_scores(lane: Lane) -> tuple[PartScore, ...]:
    """The score of each part that counts, in order."""
    return tuple(_part_score(lane, number) for number, _ in scored_parts(lane.plan))


def placed_apart(lane: Lane, scores: tuple[PartScore, ...]) -> Counted:
    """All of the parts told together; only places can add them up."""
    steps: list[Step] = []
    told = []
    for one in scores:
        told.append(f"{one.part} {one.shown}")
        steps.append(Step(label=f"part {one.part}", value=one.shown))
    steps += corrections(lane, ())
    without_a_part(lane, steps)
    shown = ", ".join(told)
    return Counted(
        value=None,
        unit="places",
        shown=shown,
        detail=shown,
        key=None,
        steps=tuple(steps),
    )


def _part_score(lane: Lane, number: int) -> PartScore:
    plan, part = lane.plan, lane.plan.parts[number - 1]
    match scored_by(plan, part):
        case "time":
            value, unit, shown, key = _timed(lane, number)
        case "load":
            value, unit, shown, key = _lifted(lane, number)
        case _:
            value, unit, shown, key = _added_up(lane, number)
    tried = any(s.key.part == number for s in lane.work.sets)
    return PartScore(
        part=part.id,
        number=number,
        value=value,
        unit=unit,
        shown=shown,
        key=key if tried else None,
    )


_Own = tuple[int | Fraction, ScoreUnit, str, RankKey]


def _added_up(lane: Lane, number: int) -> _Own:
    found = amount(lane.plan, lane.work.sets, number)
    return found.value, found.unit, said(found.value, found.unit), (0, -found.value)


def _lifted(lane: Lane, number: int) -> _Own:
    best = forload.of_parts(lane, "finished", [number])
    return best.value or 0, best.unit, best.shown, best.key or ()


def _timed(lane: Lane, number: int) -> _Own:
    """A part for time: done by a time, or so many reps of it, below every time."""
    precision = lane.plan.precision_ms
    took = part_ms(lane, number)
    if took is not None:
        kept = took // precision * precision
        return kept, "ms", show_time(took, precision), (0, kept)
    keys = lane.plan.sets_of(number)
    full = sum(whole(lane.plan, key) for key in keys)
    done = sum(by_round(lane.plan, lane.work.sets, number).values())
    return done, "reps", f"{done} of {full}", (1, -done)
