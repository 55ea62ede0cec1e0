"""Whole results as an athlete tells them: what fits a plan, and the sets they fill.

Nothing is made up: a set is filled only where the result says so by itself, and it has
no times.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import quantity
from judgekit.core.counted import (
    is_open_ended,
    prescribed,
    said,
    scored_parts,
    unit_of,
    whole,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.core.counted import ScoreUnit
    from judgekit.core.plan import Plan, PlanPart, SetKey
    from judgekit.core.watchentry import Result

# More rounds than anybody does.
_MOST_ROUNDS = 1000


def result_text(result: Result) -> str:
    """The text that reads back as that result."""
    if result.unit == "load":
        return result.load
    if result.unit == "ms":
        precision = next(p for p in (100, 10, 1) if result.amount % p == 0)
        return quantity.show_time(result.amount, precision)
    if result.unit == "rounds":
        return f"{result.rounds} {'round' if result.rounds == 1 else 'rounds'}"
    if result.rounds:
        return f"{result.rounds}+{result.amount}"
    one = result.amount == 1
    return f"{result.amount} {result.unit.removesuffix('s') if one else result.unit}"


def unit_wanted(plan: Plan) -> ScoreUnit | None:
    """What a result of a plan is counted in; None where parts are placed apart."""
    parts = [part for _, part in scored_parts(plan)]
    match plan.score:
        case "time":
            return "ms"
        case "load" | "total":
            return "kg"
        case "reading":
            return unit_of([p for p in parts if _reads(p)] or parts)
        case "reps":
            kept = all(part.take == "kept" for part in parts)
            return "rounds" if kept else unit_of(parts)
        case "placing":
            return None


def _reads(part: PlanPart) -> bool:
    return any(m.unit in ("calories", "metres", "seconds") for m in part.movements)


def misfit(plan: Plan, result: Result) -> str:
    """Why a result cannot be that of the plan; empty if it can."""
    unit = unit_wanted(plan)
    if min(result.amount, result.rounds) < 0:
        return "A result is not below nothing."
    if unit is None:
        return "The parts are placed apart here: one result cannot tell them."
    if result.unit == "ms":
        return _time_misfit(plan, result.amount, unit)
    if result.unit == "load":
        return _load_misfit(result.load, unit)
    if unit == "ms":
        return _capped_misfit(plan, result)
    if result.unit != unit:
        return f"This workout is scored in {_named(unit)}: {_example(unit)}."
    return _rounds_misfit(plan, result)


def _time_misfit(plan: Plan, ms: int, unit: ScoreUnit) -> str:
    if unit != "ms":
        return f"This workout is scored in {_named(unit)}: {_example(unit)}."
    if ms <= 0:
        return "A time is longer than none."
    if plan.cap_ms and ms > plan.cap_ms:
        cap = quantity.show_time(plan.cap_ms)
        return f"The cap is {cap}: say how many reps were done by then."
    return ""


def _load_misfit(load: str, unit: ScoreUnit) -> str:
    if unit != "kg":
        return f"This workout is scored in {_named(unit)}: {_example(unit)}."
    try:
        mass = quantity.parse(load)
    except ValueError:
        mass = None
    if mass is None or mass.dimension != "mass" or not mass.amount:
        return f'"{load}" is no load; write it with its unit, such as 62.5 kg.'
    return ""


def _capped_misfit(plan: Plan, result: Result) -> str:
    """In a workout for time, reps tell what was done by the cap."""
    if result.unit != "reps":
        return f"This workout is scored in time: {_example('ms')}."
    if not plan.cap_ms:
        return "There is no cap: say the time."
    if not _is_in_order(plan):
        return "So many reps do not tell which: report set by set."
    refused = _rounds_misfit(plan, result)
    if not refused and amount_of(plan, result) >= prescribed(plan):
        return f"{prescribed(plan)} reps are the whole workout: say the time."
    return refused


def _rounds_misfit(plan: Plan, result: Result) -> str:
    """Rounds are told of one part only, and what comes beside them is less than one."""
    if not result.rounds or result.unit == "rounds":
        most = max(part.rounds for _, part in scored_parts(plan))
        if result.unit == "rounds" and result.rounds > most:
            return f"There are {most} of them, not {result.rounds}."
        return ""
    rounds = _counted_rounds(plan)
    if rounds is None:
        return "Rounds do not tell this score: say how many reps in all."
    number, part = rounds
    if not part.is_endless and result.rounds >= part.rounds:
        return f"There are {part.rounds} rounds: {result.rounds} are the whole of it."
    next_ = _round_worth(plan, number, result.rounds + 1)
    if result.rounds > _MOST_ROUNDS or result.amount >= next_:
        return f"The next round is {said(next_, 'reps')}: {result.amount} is more."
    return ""


def _counted_rounds(plan: Plan) -> tuple[int, PlanPart] | None:
    """The one part whose whole rounds a result may tell, with its number."""
    parts = scored_parts(plan)
    if len(parts) != 1 or parts[0][1].kind not in ("window", "rounds"):
        return None
    number, part = parts[0]
    first = plan.round_sets(number, 1)
    return None if any(is_open_ended(plan, key) for key in first) else (number, part)


def _round_worth(plan: Plan, part: int, round_: int) -> int:
    return sum(whole(plan, key) for key in plan.round_sets(part, round_))


def amount_of(plan: Plan, result: Result) -> int:
    """The whole number that a result comes to, in its unit."""
    if not result.rounds or result.unit == "rounds":
        return result.rounds or result.amount
    rounds = _counted_rounds(plan)
    number = rounds[0] if rounds else 1
    full = (_round_worth(plan, number, r) for r in range(1, result.rounds + 1))
    return sum(full) + result.amount


def sets_told(plan: Plan, result: Result) -> Iterator[tuple[SetKey, int]]:
    """The sets that a result fills, each with how many units."""
    if result.unit == "ms":
        for key in plan.all_sets():
            yield key, plan.target(key)
    elif result.unit == "reps" and _is_in_order(plan):
        yield from _filled(plan, _in_order(plan), amount_of(plan, result))
    elif result.unit not in ("rounds", "load"):
        yield from _one_set(plan, result.amount)


def _is_in_order(plan: Plan) -> bool:
    """Whether so many reps can only be the first ones of the workout."""
    parts = [part for _, part in scored_parts(plan)]
    in_rounds = all(p.kind == "rounds" and p.take == "sum" for p in parts)
    return in_rounds or _counted_rounds(plan) is not None


def _in_order(plan: Plan) -> Iterator[SetKey]:
    for number, part in scored_parts(plan):
        rounds = _MOST_ROUNDS if part.is_endless else part.rounds
        for round_ in range(1, rounds + 1):
            yield from plan.round_sets(number, round_)


def _filled(
    plan: Plan, keys: Iterable[SetKey], reps: int
) -> Iterator[tuple[SetKey, int]]:
    for key in keys:
        if reps <= 0:
            return
        full = whole(plan, key)
        part = min(plan.target(key), reps * plan.movement(key).per)
        yield key, plan.target(key) if reps >= full else part
        reps -= full


def _one_set(plan: Plan, amount: int) -> Iterator[tuple[SetKey, int]]:
    """The one set of the workout, if it has no other."""
    keys = [k for n, _ in scored_parts(plan) for k in plan.sets_of(n)]
    if len(keys) == 1:
        yield keys[0], min(amount, plan.target(keys[0]))


def _named(unit: ScoreUnit) -> str:
    return {"ms": "time", "kg": "loads"}.get(unit, unit)


def _example(unit: ScoreUnit) -> str:
    shown = {
        "ms": "7:41",
        "kg": "62.5 kg",
        "reps": "5+8, or 132 reps",
        "rounds": "4 rounds",
    }
    return f"write {shown.get(unit, f'54 {unit}')}"
