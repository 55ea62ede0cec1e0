"""Which presses came too soon for any athlete, read a second time."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from judgekit.core.plan import SetKey
from judgekit.core.rower import metres_ms

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
        return not self._caught_up(before, hours, self._brisk(before[-1], new))

    def too_much(
        self, before: list[Tried], new: Tried, shows: int, hours: Hours
    ) -> bool:
        """Whether a monitor cannot show that yet, however late the last press was."""
        least = self._least(new.set, shows)
        opened = hours.shut(new.set) or 0
        others = [n for n, tried in enumerate(before) if tried.set != new.set]
        pressed = before[others[-1]].at if others else 0
        begun = max(0, max(opened, pressed) - (5000 if others else 0))
        if not least or new.at - begun >= least:
            return False
        if pressed <= opened or new.at - opened < least:
            return True
        return not self._caught_up(before[: others[-1] + 1], hours, least)

    def _least(self, key: SetKey, shows: int) -> int:
        card, unit = self.plan.card_of(key), self.plan.movement(key).unit
        each = Fraction(shows, max(1, len(self.plan.team.members)))
        if not card.floor_ms or not each:
            return 0
        if unit == "calories":
            return round(each * card.floor_ms)
        # The formula has checks of its own, against published values.
        is_rower = unit == "metres" and card.id == "row"
        return metres_ms(each, card.floor_ms) if is_rower else 0

    def _is_timed(self, tried: Tried) -> bool:
        """Whether the card's seconds are those of one unit: a metre takes far less."""
        return self.plan.movement(tried.set).unit != "metres"

    def _caught_up(self, presses: list[Tried], hours: Hours, needs: int) -> bool:
        """Whether the pause before the burst had room for it, and what comes next."""
        burst = []
        for before, after in list(pairwise(presses))[-1:-41:-1]:
            burst.append((before, after))
            gap = self._gap(before, after, hours)
            if gap > self._pause(before, after):
                return gap >= sum(self._brisk(*pair) for pair in burst) + needs
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
