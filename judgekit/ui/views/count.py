"""The large figures of the Floor, what stands beside them, and where one is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.plan import OPEN
from judgekit.core.quantity import parse, show_time
from judgekit.core.state import NOT_A_NO_REP
from judgekit.core.values import dataclass
from judgekit.ui.views.phase import good_in, rest_left, rests

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.plan import Plan, PlanPart, SetKey
    from judgekit.core.state import Attempt, Lane
    from judgekit.core.workout import Unit
    from judgekit.ui.views.phase import Phase

UNITS: Mapping[Unit, str] = {
    "reps": "",
    "calories": " cal",
    "metres": " m",
    "seconds": " s",
    "segments": " segments",
}
_MINUTE_MS = 60_000
NO_LOAD = "--"


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """The figures in block digits, what is beside, and how full the bar is."""

    big: str
    beside: str
    done: int = 0
    target: int = 0


def no_reps_of(lane: Lane) -> list[Attempt]:
    """Every no-rep that stands, those seen in a look or noticed outside of one, too.

    One made beyond a hold is none yet.
    """
    work = lane.work
    seen = (press for look in work.looks for press in look.presses)
    tried = sorted((*work.attempts, *seen, *work.noticed), key=lambda one: one.at)
    return [
        attempt
        for attempt in tried
        if not attempt.good and not NOT_A_NO_REP & set(attempt.marks)
    ]


def count(lane: Lane, key: SetKey, phase: Phase, at: int | None) -> Count:
    """The count of a set, or what stands in its place in that phase."""
    plan = lane.plan
    target, good = plan.target(key), good_in(lane, key)
    bounded = 0 if target == OPEN else target
    if phase == "countdown" and at is not None:
        words = "seconds to go"
        return Count(big=str(-(at // 1000)), beside=words, target=bounded)
    if at is not None and rests(lane, phase, at):
        left = -(-rest_left(lane, at) // 1000) * 1000
        return Count(big=show_time(left), beside="")
    wide = max(2, len(str(bounded)))
    if phase in ("over", "accepted"):
        total, words = f"{lane.work.good:0{wide}d}", _in_all(plan)
        # A try that was not begun leaves no empty box.
        tries = plan.part(key).kind == "attempts"
        bounded = 0 if tries else bounded
        return Count(big=total, beside=words, done=good, target=bounded)
    if plan.part(key).kind == "attempts":
        return _attempt(lane, key, good, bounded)
    good += _held_so_far(lane, key, at)
    beside = f"of {target}{UNITS[plan.movement(key).unit]}"
    if not bounded:
        beside = _unit_words(plan, key)
    return Count(big=f"{good:0{wide}d}", beside=beside, done=good, target=bounded)


def _in_all(plan: Plan) -> str:
    """What the figures at the end count, where all of it is of one kind."""
    parts = [part for part in plan.parts if part.is_work]
    if all(p.kind == "attempts" and len(p.movements) == 1 for p in parts):
        return "good lifts"
    units = {movement.unit for part in parts for movement in part.movements}
    unit = UNITS[units.pop()].strip() if len(units) == 1 else ""
    return f"{unit} in all".strip()


def _unit_words(plan: Plan, key: SetKey) -> str:
    unit = plan.movement(key).unit
    if unit == "seconds":
        return "s held"
    return f"{UNITS[unit].strip() or 'reps'} so far"


def _held_so_far(lane: Lane, key: SetKey, at: int | None) -> int:
    """The whole seconds of a hold under way, as far as its set has room."""
    hold = looking.work_now(lane).hold
    if hold is None or at is None or hold.set != key:
        return 0
    horn = looking.line_of(lane).horn(key)
    end = at if horn is None else min(at, horn)
    return min(max(0, end - hold.from_ms) // 1000, looking.left(lane, key))


def _attempt(lane: Lane, key: SetKey, good: int, target: int) -> Count:
    """What is on the bar, in figures to be read from afar."""
    bar = looking.bar_of(lane, key)
    reps = f", {good} of {target}" if target > 1 else ""
    if bar is None:
        written = lane.plan.load(key)
        return Count(big=NO_LOAD, beside=f"{written or 'enter the load'}{reps}")
    mass = parse(bar.load)
    amount = bar.load.removesuffix(mass.unit).strip()
    # Few words: what stands beside makes the figures smaller.
    beside = f"{mass.unit} {'checked' if bar.confirmed else 'said'}{reps}"
    return Count(big=amount, beside=beside, done=good, target=target)


def attempt_words(part: PlanPart, key: SetKey) -> str:
    """Which attempt it is: "attempt 2 of 3"."""
    of = f" of {part.rounds}" if part.rounds else ""
    return f"attempt {key.round}{of}"


def round_words(part: PlanPart, key: SetKey) -> str:
    """Which round, interval or attempt it is; empty where there is only one."""
    if part.kind == "attempts":
        return attempt_words(part, key)
    if part.kind == "every":
        name = "minute" if part.every_ms == _MINUTE_MS else "interval"
        return f"{name} {key.round} of {part.rounds}"
    if part.kind == "window":
        # Where one movement is as many as can be done, no second round comes.
        endless = all(all(movement.targets) for movement in part.movements)
        return f"round {key.round}" if endless else ""
    return f"round {key.round} of {part.rounds}" if part.rounds > 1 else ""


def horn_words(plan: Plan, part: PlanPart) -> str:
    """What the clock ends next, in a part of that kind."""
    if part.kind == "every":
        return "minute ends" if part.every_ms == _MINUTE_MS else "interval ends"
    if part.ends_by_work:
        return "cap"
    return "part ends" if sum(p.is_work for p in plan.parts) > 1 else "ends"


def amount_words(plan: Plan, key: SetKey) -> str:
    """What a set asks for: "16", "15 cal", "as many as can be done"."""
    target = plan.target(key)
    unit = UNITS[plan.movement(key).unit]
    return f"max{unit}" if target == OPEN else f"{target}{unit}"
