"""The parts of a workout in words, as they are read out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.quantity import show_time
from judgekit.reports.names import counted_words

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from judgekit.core.plan import PlanMovement, PlanPart
    from judgekit.core.workout import Take

_TAKEN: Mapping[Take, str] = {
    "sum": "",
    "worst": "the worst of them counts",
    "best": "the best of them counts",
    "kept": "those done whole count",
}


def part_words(part: PlanPart, before: Sequence[PlanPart]) -> str:
    """What a part is, and the rule that only it has, before what is done in it."""
    if not part.is_work:
        return _rest(part, before)
    shape, joined = _SHAPES[part.kind](part)
    rules = [_TAKEN[part.take]] if _TAKEN[part.take] else []
    if not part.scored:
        rules.append("must be done, and counts nothing")
    if rules:
        shape, joined = "; ".join((shape, *rules)), ":"
    return f"{part.id}: {shape}{joined}"


def _rest(part: PlanPart, before: Sequence[PlanPart]) -> str:
    if part.kind == "rest-until":
        return f"Rest until the clock shows {show_time(part.until_ms)}"
    own = next((p.id for p in reversed(before) if p.is_work), "")
    return f"Rest {show_time(part.length_ms)}, from your own end of part {own}"


def _rounds(part: PlanPart) -> tuple[str, str]:
    if part.rounds == 1:
        return "once through", ""
    if part.rest_ms:
        rest = f"{show_time(part.rest_ms)} of your own rest between"
        return f"{part.rounds} rounds, {rest}", ":"
    return f"{part.rounds} rounds", " of"


def _window(part: PlanPart) -> tuple[str, str]:
    many = "as many rounds and reps as fit"
    if part.until_ms:
        return f"{many} until the clock shows {show_time(part.until_ms)}", ":"
    return f"{many} into {show_time(part.length_ms)}", " of"


def _every(part: PlanPart) -> tuple[str, str]:
    words = [f"every {show_time(part.every_ms)}, {counted_words(part.rounds, 'times')}"]
    if part.work_ms < part.every_ms:
        words.append(f"{show_time(part.work_ms)} of work")
    if part.in_turn:
        words.append("one movement each time, in turn")
    if part.until_failed:
        words.append("until an interval is left short")
    return ", ".join(words), ":"


def _attempts(part: PlanPart) -> tuple[str, str]:
    many = (
        counted_words(part.rounds, "attempts")
        if part.rounds
        else "as many attempts as you like"
    )
    within = f" within {show_time(part.length_ms)}" if part.length_ms else ", in turns"
    unbroken = ", each without letting go" if len(part.movements) > 1 else ""
    return f"{many}{within}{unbroken}", ":"


def _hold(part: PlanPart) -> tuple[str, str]:
    most = f", {show_time(part.length_ms)} at most" if part.length_ms else ""
    return f"one hold, for as long as it lasts{most}", ":"


_SHAPES: Mapping[str, Callable[[PlanPart], tuple[str, str]]] = {
    "rounds": _rounds,
    "window": _window,
    "every": _every,
    "attempts": _attempts,
    "hold": _hold,
}


def amount_words(movement: PlanMovement, *, of: str = "") -> str:
    """How many of a movement; `of` is what reps are called, which mostly need no word.

    "max" is as many as can be done; a target that rises says by how much.
    """
    unit = of if movement.unit == "reps" else movement.unit
    counts = ["max" if target == 0 else str(target) for target in movement.targets]
    shown = ", ".join(counts if len(set(counts)) > 1 else counts[:1])
    rise = f" (+{movement.rise} each round)" if movement.rise else ""
    return f"{shown}{rise} {unit}".rstrip()
