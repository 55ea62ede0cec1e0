"""When each part of a plan opens, and when the clock ends it (a horn).

All times are whole ms on the lane's own running clock.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from judgekit.core.state import Rest
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from judgekit.core.plan import Plan, PlanPart, SetKey


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """`opens` and `horns` map a part's number to ms; `rests` are those reached.

    A part that is not reached yet has no opening. A horn is a window's own end, or
    the cap, or the moment when time was called, whichever comes first.
    """

    opens: Mapping[int, int]
    horns: Mapping[int, int]
    rests: tuple[Rest, ...]

    def horn(self, part: int) -> int | None:
        """When the clock ends that part, or None if it never does."""
        return self.horns.get(part)


def timeline(plan: Plan, ends: Mapping[int, int], over_ms: int | None) -> Timeline:
    """The timeline, given when each part's work was done and when time was called."""
    limits = [ms for ms in (plan.cap_ms or None, over_ms) if ms is not None]
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
        if part.kind in ("rest", "rest-until"):
            until = _rest_over(part, now)
            rests.append(Rest(part=number, from_ms=now, until_ms=until))
            now = until
        elif part.kind == "window":
            end = now + part.length_ms
            horns[number] = end if last is None else min(end, last)
            now = end
        else:
            now = ends.get(number)
    return Timeline(opens=opens, horns=horns, rests=tuple(rests))


def _rest_over(part: PlanPart, from_ms: int) -> int:
    if part.kind == "rest":
        return from_ms + part.length_ms
    return max(from_ms, part.until_ms)


def thumb_lag_ms(plan: Plan, key: SetKey) -> int:
    """How long after the horn of a set's part a press still belongs to it.

    Where the next part starts at once, only a press sooner than the floor time of
    its first movement can be meant for the part before.
    """
    following = key.part + 1
    if plan.part(key).kind == "window" and following <= len(plan.parts):
        first = plan.parts[following - 1]
        if first.movements:
            card = plan.card(first.movements[0].card)
            return min(plan.horn_lag_ms, max(card.floor_ms - 1, 0))
    return plan.horn_lag_ms


def lane_end(plan: Plan, line: Timeline) -> int | None:
    """When the clock ends the lane's last work, or None if it is open-ended."""
    last = max(n for n, part in enumerate(plan.parts, 1) if part.movements)
    if plan.parts[last - 1].kind == "window" and last not in line.opens:
        return plan.cap_ms or None
    return line.horn(last)
