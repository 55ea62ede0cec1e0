"""When each part of a plan opens, and when the clock ends it (a horn).

All times are whole ms on the lane's own running clock.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from judgekit.core.plan import Plan
from judgekit.core.state import Rest
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from judgekit.core.plan import PlanPart, SetKey

# How long a lift that has left the floor may take (from memory of the trade).
LIFT_MS = 10_000
# A round, as its part's number and its own.
RoundKey = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """When the work of parts and of rounds was done, and when time was called."""

    parts: Mapping[int, int]
    rounds: Mapping[RoundKey, int]
    over_ms: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """When parts and rounds open, and when the clock ends them.

    `opens` and `horns` map a part's number to ms; `rests` are those reached.
    A part that is not reached yet has no opening. A horn is a window's own end, or
    the cap, or the moment when time was called, whichever comes first.
    """

    plan: Plan
    opens: Mapping[int, int]
    horns: Mapping[int, int]
    rests: tuple[Rest, ...]
    round_ends: Mapping[RoundKey, int]

    def horn(self, key: SetKey) -> int | None:
        """When the clock ends the work of that set, or None if it never does."""
        last = self.horns.get(key.part)
        part = self.plan.parts[key.part - 1]
        opens = self.opens.get(key.part)
        if part.kind != "every" or opens is None:
            return last
        end = opens + (key.round - 1) * part.every_ms + part.work_ms
        return end if last is None else min(end, last)

    def opening(self, key: SetKey) -> int | None:
        """When the round of that set opens; None while that is not known."""
        opens = self.opens.get(key.part)
        part = self.plan.parts[key.part - 1]
        if opens is None or key.round == 1:
            return opens
        if part.kind == "every":
            return opens + (key.round - 1) * part.every_ms
        if not part.rest_ms:
            return opens
        before = self.round_ends.get((key.part, key.round - 1))
        return None if before is None else before + part.rest_ms

    def shut_until(self, key: SetKey) -> int | None:
        """When a set opens that a rest or the clock keeps shut; None if nothing does.

        After a part done for rounds, work goes on at once.
        """
        part = self.plan.parts[key.part - 1]
        if key.round > 1:
            return self.opening(key) if part.kind == "every" or part.rest_ms else None
        before = key.part - 1
        if before < 1 or self.plan.parts[before - 1].ends_by_work:
            return None
        return self.opens.get(key.part)


def timeline(plan: Plan, ends: Ends) -> Timeline:
    """The timeline, given when each part's work was done and when time was called."""
    limits = [ms for ms in (last_bell(plan), ends.over_ms) if ms is not None]
    last = min(limits) if limits else None
    opens: dict[int, int] = {}
    horns: dict[int, int] = {}
    rests: list[Rest] = []
    now: int | None = 0
    for number, part in enumerate(plan.parts, 1):
        if last is not None:
            horns[number] = last
        if now is None:
            continue
        opens[number] = now
        if not part.is_work:
            until = rest_over(part, now)
            rests.append(Rest(part=number, from_ms=now, until_ms=until))
            now = until
        elif part.ends_by_work:
            rests += _rests_between(part, number, ends)
            now = ends.parts.get(number)
        else:
            now = clock_end(part, now)
            horns[number] = now if last is None else min(now, last)
    return Timeline(
        plan=plan,
        opens=opens,
        horns=horns,
        rests=tuple(rests),
        round_ends=ends.rounds,
    )


def last_bell(plan: Plan) -> int | None:
    """When the clock ends all work, wherever the athlete is by then; None if never.

    What is left of the clock may be the last part: nothing before it lasts longer.
    """
    until = [part.until_ms for part in plan.parts if part.is_work][-1]
    return min((ms for ms in (plan.cap_ms, until) if ms), default=None)


def clock_end(part: PlanPart, from_ms: int) -> int:
    """When a part is over that the clock ends."""
    if part.kind == "every":
        return from_ms + (part.rounds - 1) * part.every_ms + part.work_ms
    return max(from_ms, part.until_ms or from_ms + part.length_ms)


def _rests_between(part: PlanPart, number: int, ends: Ends) -> list[Rest]:
    if not part.rest_ms:
        return []
    done = [(r, ends.rounds.get((number, r))) for r in range(1, part.rounds)]
    return [
        Rest(part=number, round=r, from_ms=ms, until_ms=ms + part.rest_ms)
        for r, ms in done
        if ms is not None
    ]


def rest_over(part: PlanPart, from_ms: int) -> int:
    """When a rest is over that begins then."""
    if part.kind == "rest":
        return from_ms + part.length_ms
    return max(from_ms, part.until_ms)


def thumb_lag_ms(plan: Plan, key: SetKey) -> int:
    """How long after the horn of a set a press still belongs to it.

    Where other work starts at once, only a press sooner than the floor time of its
    first movement can be meant for the work before. A lift that may be finished once
    it was started is asked about for as long as a lift lasts.
    """
    part = plan.part(key)
    if part.kind == "attempts" and plan.last_lift == "started":
        return LIFT_MS
    following = _at_once_after(plan, key)
    if following is None:
        return plan.horn_lag_ms
    return min(plan.horn_lag_ms, max(plan.card_of(following).floor_ms - 1, 0))


def _at_once_after(plan: Plan, key: SetKey) -> SetKey | None:
    """The first set that opens at the very horn of a set's own work, or None."""
    part = plan.part(key)
    if part.kind == "every" and key.round < part.rounds:
        return plan.after_round(key) if part.work_ms == part.every_ms else None
    following = key.part + 1
    if part.ends_by_work or following > len(plan.parts):
        return None
    return plan.first_from(following) if plan.parts[following - 1].is_work else None


def lane_end(plan: Plan, line: Timeline, failed: RoundKey | None = None) -> int | None:
    """When the clock ends the lane's last work, or None if it is open-ended.

    `failed` is the first interval left short, where that puts the athlete out.
    """
    last = max(n for n, part in enumerate(plan.parts, 1) if part.is_work)
    part = plan.parts[last - 1]
    if not part.ends_by_work and last not in line.opens:
        return last_bell(plan)
    if failed is not None and failed[0] == last:
        return line.horn(plan.round_sets(*failed)[0])
    return line.horns.get(last)


def failed_round(plan: Plan, is_open: Callable[[SetKey], bool]) -> RoundKey | None:
    """The first interval with work left, of the last part, if that puts one out."""
    last = max(n for n, part in enumerate(plan.parts, 1) if part.is_work)
    part = plan.parts[last - 1]
    if not part.until_failed:
        return None
    for round_ in range(1, part.rounds + 1):
        if any(is_open(key) for key in plan.round_sets(last, round_)):
            return last, round_
    return None
