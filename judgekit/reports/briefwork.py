"""The workout in words: what is done, what it is worth, and how much it is in all."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from judgekit.core.plan import OPEN, SetKey
from judgekit.core.quantity import show_time
from judgekit.core.tiebreaks import label_of
from judgekit.core.values import dataclass
from judgekit.reports.briefparts import amount_words, part_words
from judgekit.reports.names import counted_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from judgekit.core.plan import Plan, PlanMovement
    from judgekit.core.workout import ScoredBy

_SCORED: Mapping[ScoredBy, str] = {
    "time": "your time; less is better",
    "reps": "your reps; more is better",
    "load": "your load; more is better",
    "total": "your best of each part, added up; no good lift in one is no total",
    "reading": "what is counted or shown; more is better",
    "placing": "your places in the parts, added up; less is better",
}
_CONVERTED = re.compile(r" ≈ [0-9.]+ [a-z]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """How much of a movement one division does; in a window, in each round."""

    division: str
    movement: str
    amount: str


def facts_of(plans: Sequence[Plan]) -> tuple[tuple[str, str], ...]:
    if not plans:
        return ()
    plan = plans[0]
    caps = _by_division((p, show_time(p.cap_ms) if p.cap_ms else "none") for p in plans)
    ties = [label_of(plan, tie) for tie in plan.tiebreaks]
    facts = [("score", _SCORED[plan.score])]
    if any(p.cap_ms for p in plans):
        facts.append(("cap", caps))
    if ties:
        facts.append(("ties", f"parted by {', then '.join(ties)}"))
    return tuple(facts)


def work_of(plans: Sequence[Plan]) -> tuple[str, ...]:
    if not plans:
        return ()
    lines: list[str] = []
    for number, part in enumerate(plans[0].parts):
        lines.append(part_words(part, plans[0].parts[:number]))
        alike = [plan.parts[number] for plan in plans]
        for at in range(len(part.movements)):
            one = [
                (p, part.movements[at]) for p, part in zip(plans, alike, strict=True)
            ]
            lines.append(f"  {_movement_words(one)}")
    return tuple(lines)


def _movement_words(rows: Sequence[tuple[Plan, PlanMovement]]) -> str:
    """As in "11 wall-ball shot: Women 6 kg, 9 ft; Men 9 kg, 10 ft"."""
    names = _by_division((p, p.card(m.card).name.casefold()) for p, m in rows)
    amounts = {amount_words(m) for _plan, m in rows}
    head = f"{amounts.pop()} {names}" if len(amounts) == 1 else names
    own = [(p.division_name, _details(m, with_amount=bool(amounts))) for p, m in rows]
    if len({details for _name, details in own}) == 1:
        return ", ".join(filter(None, (head, own[0][1])))
    told = "; ".join(f"{name} {details}" for name, details in own if details)
    return f"{head}: {told}"


def _details(movement: PlanMovement, *, with_amount: bool) -> str:
    amount = amount_words(movement, of="reps") if with_amount else ""
    loads = _in_turn([as_written(load) for load in movement.loads if load])
    above = "above reach" in movement.height
    height = "" if above else as_written(movement.height)
    return ", ".join(filter(None, (amount, loads, height)))


def as_written(text: str) -> str:
    """A load or height without its converted value."""
    return _CONVERTED.sub("", text)


def _in_turn(values: Sequence[str]) -> str:
    """One value where all are the same, else each round's: "11, 8, 6"."""
    return ", ".join(values if len(set(values)) > 1 else values[:1])


def _by_division(values: Iterable[tuple[Plan, str]]) -> str:
    """One value where all divisions have the same, else each with its name."""
    rows = [(plan.division_name, value) for plan, value in values]
    if len({value for _name, value in rows}) == 1:
        return rows[0][1]
    return " / ".join(f"{name} {value}" for name, value in rows if value)


def totals_of(plans: Sequence[Plan]) -> Iterator[Total]:
    for plan in plans:
        sums: dict[tuple[str, str, str], int] = {}
        for number, part in enumerate(plan.parts, 1):
            for place, movement in enumerate(part.movements, 1):
                many, each = _in_all(plan, number, place)
                key = (plan.card(movement.card).name, movement.unit, each)
                sums[key] = sums.get(key, 0) + many
        for (name, unit, each), amount in sums.items():
            told = counted_words(amount, unit) if amount else f"max {unit}"
            yield Total(
                division=plan.division_name,
                movement=name,
                amount=f"{told}{each}",
            )


def _in_all(plan: Plan, number: int, place: int) -> tuple[int, str]:
    """How much of one movement a part holds (0: as much as can be), and per what."""
    part = plan.parts[number - 1]
    first = plan.target(SetKey(number, place if part.in_turn else 1, place))
    if part.kind == "window":
        return (0 if first == OPEN else first), " a round"
    if part.kind == "attempts":
        return (0 if first == OPEN else first), " an attempt"
    targets = [plan.target(k) for k in plan.sets_of(number) if k.movement == place]
    return (0 if OPEN in targets else sum(targets)), ""
