"""Scores in loads: the heaviest good attempt, or the heaviest whole step of a ladder.

Loads are compared exactly as kilograms and shown as they were said.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from judgekit.core.counted import (
    Counted,
    Step,
    by_round,
    full_of,
    said,
    scored_by,
    scored_parts,
)
from judgekit.core.deductions import corrections, percent_exact, seconds_without_use
from judgekit.core.quantity import Quantity, parse, rounded
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import SetKey
    from judgekit.core.state import Lane
    from judgekit.core.status import Status

_NOTHING = "no good lift"


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The heaviest load of a part: None where nothing good has one.

    `number` is the attempt or round; `over` are reps done of the ladder's next step.
    """

    load: Quantity | None
    number: int = 0
    over: int = 0


def in_loads(lane: Lane, status: Status) -> Counted:
    """The score in loads of a whole workout: the best of each part, added up."""
    return of_parts(lane, status, [number for number, _ in scored_parts(lane.plan)])


def of_parts(lane: Lane, status: Status, numbers: Sequence[int]) -> Counted:
    """The best loads of some parts, added up."""
    bests = [best_of(lane, number) for number in numbers]
    steps = [_step(lane, n, b) for n, b in zip(numbers, bests, strict=True)]
    loads = [best.load for best in bests if best.load is not None]
    over = sum(best.over for best in bests)
    return _added_up(lane, status, loads, over, steps)


def told_load(lane: Lane, load: str) -> Counted:
    """A load as the athlete told it."""
    step = Step(label="reported", value=load)
    return _added_up(lane, "finished", [parse(load)], 0, [step])


def _added_up(
    lane: Lane, status: Status, loads: list[Quantity], over: int, steps: list[Step]
) -> Counted:
    steps += corrections(lane, ())
    seconds_without_use(lane, steps)
    raw = sum((load.amount for load in loads), Fraction())
    total = percent_exact(lane, raw, steps, worse=-1)
    shown = _shown(total, loads, changed=total != raw)
    steps.append(Step(label="score", value=shown))
    told = shown if total else _NOTHING
    return Counted(
        value=None if status == "waiting" else total,
        unit="kg",
        shown=f"{shown} + {over}" if over else shown,
        detail=f"{told} and {said(over, 'reps')}" if over else told,
        key=(0, -total, -over),
        steps=tuple(steps),
    )


def best_of(lane: Lane, number: int) -> Best:
    """The heaviest load of a part; of equal ones the first."""
    part = lane.plan.parts[number - 1]
    found = Best(load=None)
    for round_ in full_of(lane.plan, lane.work.sets, number):
        load = load_of(lane, lane.plan.round_sets(number, round_)[0])
        if load is None:
            continue
        if found.load is None or load.amount > found.load.amount:
            found = Best(load=load, number=round_)
    if part.kind == "attempts":
        return found
    next_ = by_round(lane.plan, lane.work.sets, number).get(found.number + 1, 0)
    return Best(load=found.load, number=found.number, over=next_)


def load_of(lane: Lane, key: SetKey) -> Quantity | None:
    """The load of a round: as it was said, else as the plan has it; None if unknown."""
    said_ = (b.load for b in lane.work.bars if (b.part, b.round) == key[:2])
    text = next(said_, "") or lane.plan.load(key)
    # A plan's load carries its conversion or its other marking; the first one rules.
    written = text.split(" ≈ ")[0].split(" / ")[0]
    try:
        load = parse(written)
    except ValueError:
        return None
    return load if load.dimension == "mass" else None


def loads_unsaid(lane: Lane) -> bool:
    """Whether a good attempt has no load, so that it cannot count yet."""
    plan = lane.plan
    return any(
        load_of(lane, plan.round_sets(number, round_)[0]) is None
        for number, part in scored_parts(plan)
        if scored_by(plan, part) == "load"
        for round_ in full_of(plan, lane.work.sets, number)
    )


def _step(lane: Lane, number: int, best: Best) -> Step:
    part = lane.plan.parts[number - 1]
    if best.load is None:
        what = _NOTHING
    else:
        which = "attempt" if part.kind == "attempts" else "round"
        what = f"{best.load.written} ({which} {best.number})"
    if best.over:
        what += f" and {said(best.over, 'reps')} of the next"
    return Step(label=f"part {part.id}", value=what)


def _shown(total: Fraction, loads: Sequence[Quantity], *, changed: bool) -> str:
    """As said where it is one load; a sum in their one unit, else in kg."""
    if len(loads) == 1 and not changed:
        return loads[0].written
    units = {load.unit for load in loads}
    unit = units.pop() if len(units) == 1 else "kg"
    amount = total / parse(f"1 {unit}").amount
    text = rounded(amount, 6).rstrip("0").rstrip(".")
    if Fraction(text) == amount:
        return f"{text} {unit}"
    return f"≈ {rounded(amount, 2)} {unit}"
