"""What a score is made of: units that count, the steps shown, a value and its order."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from judgekit.core.plan import OPEN
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.plan import Plan, PlanPart, SetKey
    from judgekit.core.state import SetDone
    from judgekit.core.workout import ScoredBy, Unit

ScoreUnit = Literal[
    "ms",
    "reps",
    "kg",
    "calories",
    "metres",
    "seconds",
    "segments",
    "rounds",
    "places",
]
# What scores a part that is placed apart and says nothing of it.
_BY_KIND: Mapping[str, ScoredBy] = {
    "rounds": "time",
    "window": "reps",
    "every": "reps",
    "attempts": "load",
    "hold": "reading",
}
RankKey = tuple[int | Fraction, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the arithmetic: what it is, and its value as shown."""

    label: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A value with its steps; `key` sorts best first and is None without a place."""

    value: int | Fraction | None
    unit: ScoreUnit
    shown: str
    detail: str
    key: RankKey | None
    steps: tuple[Step, ...]


def scored_parts(plan: Plan) -> list[tuple[int, PlanPart]]:
    """The parts whose work counts, with their numbers."""
    return [(n, p) for n, p in enumerate(plan.parts, 1) if p.is_work and p.scored]


def scored_by(plan: Plan, part: PlanPart) -> ScoredBy:
    """What scores a part: the workout's own way, or where parts are placed its own."""
    if plan.score == "total":
        return "load"
    if plan.score != "placing":
        return plan.score
    return part.score or _BY_KIND[part.kind]


def worth(plan: Plan, done: SetDone) -> int:
    """How many reps of the score a set is worth as it stands: whole ones only."""
    per = plan.movement(done.key).per
    if per == 1:
        return done.good
    return whole(plan, done.key) if not done.short else done.good // per


def whole(plan: Plan, key: SetKey) -> int:
    """How many reps of the score a set is worth when it is full."""
    return max(1, plan.target(key) // plan.movement(key).per)


def prescribed(plan: Plan) -> int:
    """How many reps of the score must be done, all parts that count together."""
    return sum(whole(plan, key) for key in plan.all_sets() if plan.part(key).scored)


def plainly_counted(plan: Plan) -> list[int]:
    """The parts in which a rep moved is a rep of the score moved."""
    return [
        number
        for number, part in scored_parts(plan)
        if part.take == "sum" and all(m.per == 1 for m in part.movements)
    ]


def by_round(plan: Plan, sets: Sequence[SetDone], part: int) -> dict[int, int]:
    """What each round of a part is worth; every planned round has its number."""
    found = dict.fromkeys(range(1, plan.parts[part - 1].rounds + 1), 0)
    for done in sets:
        if done.key.part == part:
            here = done.key.round
            found[here] = found.get(here, 0) + worth(plan, done)
    return found


def full_of(plan: Plan, sets: Sequence[SetDone], part: int) -> list[int]:
    """The rounds of a part that were done whole, in order."""
    done = {s.key for s in sets if s.key.part == part and not s.short}
    rounds = sorted({key.round for key in done})
    return [r for r in rounds if all(k in done for k in plan.round_sets(part, r))]


def is_open_ended(plan: Plan, key: SetKey) -> bool:
    """Whether a set is as many as can be done."""
    return plan.target(key) == OPEN


def unit_of(parts: Sequence[PlanPart]) -> ScoreUnit:
    """The one unit that all of the parts are counted in, else reps."""
    units: set[Unit] = {m.unit for part in parts for m in part.movements}
    scaled = any(m.per != 1 for part in parts for m in part.movements)
    return units.pop() if len(units) == 1 and not scaled else "reps"


def said(value: int, unit: ScoreUnit) -> str:
    """A number with its unit in words: "1 rep", "45 s", "17 calories"."""
    if unit == "seconds":
        return f"{value} s"
    return f"{value} {unit.removesuffix('s') if value == 1 else unit}"


def names_round(part: PlanPart, many: int = 2) -> str:
    """What a round of the part is called."""
    word = "interval" if part.kind == "every" else "round"
    return word if many == 1 else f"{word}s"
