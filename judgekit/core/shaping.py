"""From a workout's parts and tie-breaks to a plan's: the same, in plain numbers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from judgekit.core.plan import PlanPart, PlanTieBreak
from judgekit.core.workout import (
    AfterPart,
    AtRep,
    Attempts,
    ClockRest,
    EarlierAttempt,
    Every,
    FewerNoReps,
    IntervalSeconds,
    LastFullRound,
    LastRep,
    LighterBody,
    LighterIn,
    OneHold,
    OwnRest,
    Part,
    Rounds,
    TieBreak,
    Window,
    Workout,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

_KINDS: Mapping[type[TieBreak], str] = {
    LastFullRound: "last-full-round",
    LastRep: "last-rep",
    FewerNoReps: "fewer-no-reps",
    LighterBody: "lighter-body",
    AfterPart: "after-part",
    LighterIn: "lighter-in",
    EarlierAttempt: "earlier-attempt",
    IntervalSeconds: "interval-seconds",
}


def shaped(part: Part) -> PlanPart:
    """The part without its movements."""
    plan = PlanPart(
        id=part.id, kind="", score=part.score, take=part.take, scored=part.scored
    )
    return _shaped(part, plan)


def _shaped(part: Part, plan: PlanPart) -> PlanPart:
    shape = part.shape
    match shape:
        case Rounds(rounds=rounds, rest_ms=rest):
            return replace(plan, kind="rounds", rounds=rounds, rest_ms=rest)
        case Window(length_ms=length, until_ms=until):
            return replace(plan, kind="window", length_ms=length, until_ms=until)
        case Every():
            return replace(
                plan,
                kind="every",
                rounds=shape.times,
                every_ms=shape.every_ms,
                work_ms=shape.work_ms,
                in_turn=shape.in_turn,
                until_failed=shape.until_failed,
            )
        case Attempts(attempts=attempts, within_ms=within):
            return replace(plan, kind="attempts", rounds=attempts, length_ms=within)
        case OneHold(most_ms=most):
            return replace(plan, kind="hold", rounds=1, length_ms=most)
        case OwnRest(length_ms=length):
            return replace(plan, kind="rest", length_ms=length)
        case ClockRest(until_ms=until):
            return replace(plan, kind="rest-until", until_ms=until)
        case _:
            assert_never(shape)


def plan_tiebreaks(workout: Workout, wrong: list[str]) -> tuple[PlanTieBreak, ...]:
    """The tie-breaks in order; one that names no part there is said in `wrong`."""
    numbers = {part.id: number for number, part in enumerate(workout.parts, 1)}
    plan = []
    for tie in workout.tiebreaks:
        match tie:
            case AfterPart() | LighterIn() if tie.part in numbers:
                part = numbers[tie.part]
                plan.append(PlanTieBreak(kind=_KINDS[type(tie)], part=part))
            case AfterPart() | LighterIn():
                wrong.append(
                    f'the tie-break names part "{tie.part}", which is not there'
                )
            case AtRep(rep=rep):
                plan.append(PlanTieBreak(kind="at-rep", number=rep))
            case _:
                plan.append(PlanTieBreak(kind=_KINDS[type(tie)]))
    return tuple(plan)
