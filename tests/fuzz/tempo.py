"""Which presses came too soon for any athlete, read a second time."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from judgekit.core.plan import SetKey

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from tests.fuzz.hours import Hours


@dataclass
class Tried:
    """An attempt: which line's, when, how many, and whether it came too soon."""

    number: int
    set: SetKey
    at: int
    many: int
    good: bool
    counts: bool = True
    soon: bool = False
    at_horn: bool = False


class Tempo:
    """The pace that a plan's cards believe."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan

    def too_soon(self, before: list[Tried], new: Tried, hours: Hours) -> bool:
        if not before or not before[-1].good or not new.many:
            return False
        card = self.plan.card_of(new.set)
        floor = card.floor_ms if self._is_timed(new) else 0
        if self.plan.card_of(before[-1].set).id != card.id:
            slowest = floor * new.many if new.many > 1 else 0
            soonest = max(slowest, card.changeover_ms)
        else:
            soonest = floor * new.many
        if new.at - before[-1].at >= soonest:
            return False
        return not self._catching_up([*before, new], hours)

    def _is_timed(self, tried: Tried) -> bool:
        """Whether the card's seconds are those of one unit: a metre takes far less."""
        return self.plan.movement(tried.set).unit != "metres"

    def _catching_up(self, presses: list[Tried], hours: Hours) -> bool:
        """Whether the pause before the burst had room for every press of it."""
        burst = [(presses[-2], presses[-1])]
        for before, after in list(pairwise(presses))[-2:-42:-1]:
            burst.append((before, after))
            gap = self._gap(before, after, hours)
            if gap > self._pause(before, after):
                return gap >= sum(self._brisk(*pair) for pair in burst)
            if gap >= self._brisk(before, after):
                # A press that came as late as a rep done briskly begins anew.
                return False
        return False

    def _pause(self, before: Tried, after: Tried) -> float:
        card = self.plan.card_of(after.set)
        pause = 1.5 * card.ordinary_ms
        same = self.plan.card_of(before.set).id == card.id
        if not same or before.set.part != after.set.part:
            pause += 2 * card.changeover_ms
        return pause

    def _gap(self, before: Tried, after: Tried, hours: Hours) -> int:
        """The time between two presses; of a long one only what no rest has taken."""
        gap = after.at - before.at
        over = [rest.until for rest in hours.rests if rest.until <= after.at]
        if gap > self._pause(before, after) and over:
            return min(gap, after.at - max(over))
        return gap

    def _brisk(self, before: Tried, tried: Tried) -> int:
        card = self.plan.card_of(tried.set)
        change = self.plan.card_of(before.set).id != card.id
        reps = card.brisk_ms * tried.many if self._is_timed(tried) else 0
        return max(reps, card.changeover_ms) if change else reps
