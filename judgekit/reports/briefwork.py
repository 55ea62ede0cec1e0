"""The workout in words: what is done, what it is worth, and how much it is in all."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from judgekit.core.quantity import show_time
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.plan import Plan, PlanMovement, PlanPart

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
    scored = {"time": "your time; less is better", "reps": "your reps; more is better"}
    ties = [
        f"the time at the end of part {plan.parts[tie.part - 1].id}"
        if tie.kind == "after-part"
        else "the time of the last full round"
        for tie in plan.tiebreaks
    ]
    facts = [("score", scored[plan.score])]
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
        lines.append(_part_words(part, plans[0].parts[:number]))
        alike = [plan.parts[number] for plan in plans]
        for at in range(len(part.movements)):
            one = [
                (p, part.movements[at]) for p, part in zip(plans, alike, strict=True)
            ]
            lines.append(f"  {_movement_words(one)}")
    return tuple(lines)


def _part_words(part: PlanPart, before: Sequence[PlanPart]) -> str:
    match part.kind:
        case "rounds" if part.rounds == 1:
            return f"{part.id}: once through"
        case "rounds":
            return f"{part.id}: {part.rounds} rounds of"
        case "window":
            length = show_time(part.length_ms)
            return f"{part.id}: as many rounds and reps as fit into {length} of"
        case "rest-until":
            return f"Rest until the clock shows {show_time(part.until_ms)}"
        case _:
            own = next((p.id for p in reversed(before) if p.movements), "")
            return f"Rest {show_time(part.length_ms)}, from your own end of part {own}"


def _movement_words(rows: Sequence[tuple[Plan, PlanMovement]]) -> str:
    """As in "11 wall-ball shot: Women 6 kg, 9 ft; Men 9 kg, 10 ft"."""
    names = _by_division((p, p.card(m.card).name.casefold()) for p, m in rows)
    amounts = {_amount(m) for _plan, m in rows}
    head = f"{amounts.pop()} {names}" if len(amounts) == 1 else names
    own = [(p.division_name, _details(m, with_amount=bool(amounts))) for p, m in rows]
    if len({details for _name, details in own}) == 1:
        return ", ".join(filter(None, (head, own[0][1])))
    told = "; ".join(f"{name} {details}" for name, details in own if details)
    return f"{head}: {told}"


def _details(movement: PlanMovement, *, with_amount: bool) -> str:
    amount = _amount(movement, of="reps") if with_amount else ""
    loads = _in_turn([as_written(load) for load in movement.loads if load])
    above = "above reach" in movement.height
    height = "" if above else as_written(movement.height)
    return ", ".join(filter(None, (amount, loads, height)))


def as_written(text: str) -> str:
    """A load or height without its converted value."""
    return _CONVERTED.sub("", text)


def _amount(movement: PlanMovement, *, of: str = "") -> str:
    """How many; `of` is what reps are called, which mostly need no word."""
    unit = of if movement.unit == "reps" else movement.unit
    return f"{_in_turn([str(target) for target in movement.targets])} {unit}".rstrip()


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
        sums: dict[tuple[str, str, bool], int] = {}
        for part in plan.parts:
            for movement in part.movements:
                open_ended = part.kind == "window"
                key = (plan.card(movement.card).name, movement.unit, open_ended)
                many = movement.targets[:1] if open_ended else movement.targets
                sums[key] = sums.get(key, 0) + sum(many)
        for (name, unit, open_ended), amount in sums.items():
            each = " a round" if open_ended else ""
            yield Total(
                division=plan.division_name,
                movement=name,
                amount=f"{amount} {unit}{each}",
            )
