"""What changes a raw score: corrections, reps taken off, seconds, percent.

In this order, each with its own line (common practice, no source).
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from judgekit.core.counted import Step
from judgekit.core.quantity import show_time
from judgekit.core.ruling import Credit, Percent, TimeBy

if TYPE_CHECKING:
    from collections.abc import Collection

    from judgekit.core.state import Lane

_HUNDRED = 100


def corrections(lane: Lane, beside: Collection[int]) -> list[Step]:
    """The reps that were moved. `beside` are the parts whose raw line leaves them out.

    Those of other parts are in the count already, and are said to be.
    """
    ruled = {r.ref for r in lane.rulings}
    steps = []
    for c in lane.work.corrections:
        label = "ruling" if c.ref in ruled else "judge's correction"
        counted = "" if c.set.part in beside else " (counted already)"
        said = f"{_with_why(label, c.why)}{counted}"
        reps = "rep" if abs(c.by) == 1 else "reps"
        steps.append(Step(label=said, value=f"{c.by:+d} {reps}"))
    return steps


def corrected_by(lane: Lane, parts: Collection[int]) -> int:
    """By how much corrections moved the count of some parts."""
    return sum(c.by for c in lane.work.corrections if c.set.part in parts)


def seconds_added(lane: Lane, steps: list[Step]) -> int:
    """The time that rulings add to a time."""
    total = 0
    for why, by in _seconds(lane):
        total += by
        sign = "+" if by >= 0 else ""
        label = _with_why("ruling", why)
        steps.append(Step(label=label, value=f"{sign}{show_time(by, 1)}"))
    return total


def seconds_without_use(lane: Lane, steps: list[Step]) -> None:
    """Seconds ruled where the score is no time: said, as they change nothing."""
    first = len(steps)
    seconds_added(lane, steps)
    _mark(steps, first, "changes no score that is not a time")


def without_a_part(lane: Lane, steps: list[Step]) -> None:
    """Seconds and per cent ruled where parts are placed apart: they name no part."""
    first = len(steps)
    seconds_added(lane, steps)
    percent(lane, 0, steps, worse=1)
    _mark(steps, first, "names no part, so it changes no place")


def _with_why(label: str, why: str) -> str:
    return f"{label}: {why}" if why else label


def _mark(steps: list[Step], first: int, why: str) -> None:
    steps[first:] = [
        Step(label=f"{step.label} ({why})", value=step.value) for step in steps[first:]
    ]


def _seconds(lane: Lane) -> list[tuple[str, int]]:
    found = []
    for ruling in lane.rulings:
        effect = ruling.rule.effect
        if isinstance(effect, TimeBy):
            found.append((ruling.rule.why, effect.by_ms))
        elif isinstance(effect, Credit):
            found.append((ruling.rule.why, -effect.ms))
    return found


def percent(lane: Lane, value: int, steps: list[Step], *, worse: int) -> int:
    """The value made worse by what rulings say, cut to whole units."""
    return int(percent_exact(lane, Fraction(value), steps, worse=worse))


def percent_exact(
    lane: Lane, value: Fraction, steps: list[Step], *, worse: int
) -> Fraction:
    """The same, exactly; `worse` is 1 where more is worse and -1 where less is."""
    for ruling in lane.rulings:
        effect = ruling.rule.effect
        if isinstance(effect, Percent):
            value = value * (_HUNDRED + worse * effect.percent) / _HUNDRED
            label = _with_why("ruling", ruling.rule.why)
            step = Step(label=label, value=f"{worse * effect.percent:+d} %")
            steps.append(step)
    return value
