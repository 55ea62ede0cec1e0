"""A small plan of each format, for examples and for rules that hold in all of them."""

from __future__ import annotations

from dataclasses import replace

from judgekit.core.plan import Plan, PlanMovement, PlanPart
from tests.support import ROW, SQUAT, TOES, card, for_time, movement

PLANK = card("plank", floor=0)


def workout(*parts: PlanPart, **changes: object) -> Plan:
    cards = (SQUAT, TOES, ROW, PLANK)
    plain = for_time(score="reps", cap_ms=0, parts=parts, cards=cards)
    return replace(plain, **changes)  # type: ignore[arg-type]


def every(*movements: PlanMovement, **changes: object) -> PlanPart:
    """Four minutes, with the movements in each."""
    part = PlanPart(
        id="A",
        kind="every",
        rounds=4,
        every_ms=60_000,
        work_ms=60_000,
        movements=movements,
    )
    return replace(part, **changes)  # type: ignore[arg-type]


def attempts(rounds: int, length_ms: int, *movements: PlanMovement) -> PlanPart:
    return PlanPart(
        id="A",
        kind="attempts",
        rounds=rounds,
        length_ms=length_ms,
        movements=movements or (movement("front-squat", 1),),
    )


def hold(most_ms: int = 0) -> PlanPart:
    return PlanPart(
        id="A",
        kind="hold",
        rounds=1,
        length_ms=most_ms,
        movements=(movement("plank", most_ms // 1000, unit="seconds"),),
    )


def rounds(*movements: PlanMovement, **changes: object) -> PlanPart:
    part = PlanPart(id="A", kind="rounds", rounds=1, movements=movements)
    return replace(part, **changes)  # type: ignore[arg-type]


SQUATS, TOES_TO_BAR = movement("front-squat", 3), movement("toes-to-bar", 2)
FORMATS: dict[str, Plan] = {
    "minutes": workout(every(SQUATS, every_ms=12_000, work_ms=12_000)),
    "intervals with rest": workout(
        every(SQUATS, every_ms=12_000, work_ms=8_000), early_start="counts"
    ),
    "in turn": workout(
        every(SQUATS, TOES_TO_BAR, in_turn=True, every_ms=12_000, work_ms=12_000)
    ),
    "until failed": workout(
        every(
            replace(movement("front-squat", 1), rise=1),
            until_failed=True,
            every_ms=12_000,
            work_ms=12_000,
        )
    ),
    "own rest": workout(
        rounds(SQUATS, rounds=3, rest_ms=9_000),
        score="time",
        cap_ms=90_000,
        early_start="seconds",
    ),
    "rising": workout(
        PlanPart(
            id="A",
            kind="window",
            length_ms=60_000,
            movements=(replace(SQUATS, rise=1), replace(TOES_TO_BAR, rise=1)),
        )
    ),
    "what is left": workout(
        rounds(SQUATS),
        PlanPart(
            id="B",
            kind="window",
            until_ms=50_000,
            movements=(movement("toes-to-bar", 0),),
        ),
    ),
    "in turns": workout(attempts(3, 0), score="load"),
    "free": workout(attempts(0, 50_000), score="load", last_lift="started"),
    "complex": workout(
        attempts(2, 40_000, movement("front-squat", 1), TOES_TO_BAR), score="load"
    ),
    "one hold": workout(hold(20_000)),
    "long hold, then work": workout(hold(), rounds(SQUATS, id="B")),
    "seconds held": workout(
        rounds(movement("plank", 8, unit="seconds"), SQUATS, rounds=2),
        score="time",
        cap_ms=90_000,
    ),
    "minutes, then a window": workout(
        every(TOES_TO_BAR, every_ms=10_000, work_ms=6_000, rounds=2),
        PlanPart(id="B", kind="window", length_ms=30_000, movements=(SQUATS,)),
    ),
    "a monitor for all it takes": workout(
        PlanPart(
            id="A",
            kind="window",
            length_ms=40_000,
            movements=(movement("row", 0, unit="calories"),),
        ),
        score="reading",
    ),
}
