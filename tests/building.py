"""Plans of every format in few words, and lanes played through them."""

from __future__ import annotations

from dataclasses import replace

from judgekit.core.entry import Rep, Time
from judgekit.core.plan import Plan, PlanMovement, PlanPart
from judgekit.core.score import Score, score
from tests.support import ROW, SQUAT, TOES, Played, card, for_time, movement

PLANK = card("plank", floor=0)
SKIP = card("double-under", floor=150)
LIFT = movement("front-squat", 1)


def plan_of(*parts: PlanPart, **changes: object) -> Plan:
    cards = (SQUAT, TOES, ROW, PLANK, SKIP)
    plain = for_time(score="reps", cap_ms=0, parts=parts, cards=cards)
    return replace(plain, **changes)  # type: ignore[arg-type]


def rounds(n: int, *movements: PlanMovement, **changes: object) -> PlanPart:
    part = PlanPart(id="A", kind="rounds", rounds=n, movements=movements)
    return replace(part, **changes)  # type: ignore[arg-type]


def window(seconds: int, *movements: PlanMovement, **changes: object) -> PlanPart:
    part = PlanPart(
        id="A", kind="window", length_ms=seconds * 1000, movements=movements
    )
    return replace(part, **changes)  # type: ignore[arg-type]


def every(n: int, *movements: PlanMovement, **changes: object) -> PlanPart:
    part = PlanPart(
        id="A",
        kind="every",
        rounds=n,
        every_ms=60_000,
        work_ms=60_000,
        movements=movements,
    )
    return replace(part, **changes)  # type: ignore[arg-type]


def tries(n: int, seconds: int = 0, *movements: PlanMovement) -> PlanPart:
    return PlanPart(
        id="A",
        kind="attempts",
        rounds=n,
        length_ms=seconds * 1000,
        movements=movements or (LIFT,),
    )


def rising(target: int, rise: int, card_id: str = "front-squat") -> PlanMovement:
    return replace(movement(card_id, target), rise=rise)


def played(plan: Plan, *reps: float) -> Played:
    lane = Played(plan).go()
    lane.each(Rep(), *reps)
    return lane


def over(lane: Played, seconds: float) -> Score:
    lane.press(seconds, Time())
    return score(lane.lane)
