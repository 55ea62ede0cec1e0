"""What is so in the lanes of one desk at a key: their moments, questions and calls."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.keyed import FAULT_DIGITS, fault_of
from judgekit.core.lane import own_ms
from judgekit.ui.controls import LAG_MS
from judgekit.ui.guard import repeat_limit_ms
from judgekit.ui.moment import Moment
from judgekit.ui.screens.manyrows import open_items
from judgekit.ui.trypanels import bar_to_check
from judgekit.ui.views.doubt import answered, asked_at
from judgekit.ui.views.phase import shown_set

if TYPE_CHECKING:
    from judgekit.desk import Desk
    from judgekit.ui.screens.heard import Standing


class LanesNow:
    """Asks a desk of several lanes; it keeps nothing."""

    def __init__(self, desk: Desk, standing: Standing) -> None:
        self._desk = desk
        self._standing = standing

    def front(self) -> int:
        """The first lane judged here whose athlete is still in the work."""
        lost = self._standing.lost
        here = tuple(number for number in self._desk.lanes if number not in lost)
        numbers = here or self._desk.lanes
        free = (number for number in numbers if not self.is_shut(number))
        return next(free, numbers[0])

    def is_shut(self, number: int) -> bool:
        """Whether the lane takes nothing here: it is closed, absent or another's."""
        lane = self._desk.lane(number)
        return lane.closed or lane.absent or number in self._standing.lost

    def open_or_front(self, chosen: int | None) -> int:
        """The chosen lane, or the front one where the chosen takes nothing."""
        if chosen is None or self.is_shut(chosen):
            return self.front()
        return chosen

    def moment(self, number: int, boot_ms: int, *, of_all: bool = False) -> Moment:
        """The moment of a key for a lane, or for all of which it stands in front."""
        # Asked before the lane: what is decided meanwhile may only be counted in hand.
        in_hand = self._desk.at_stake
        lane = self._desk.lane(number)
        started = self._desk.zero_boot_ms is not None
        items = 0
        if not started:
            asked = self._desk.lanes if of_all else (number,)
            items = sum(open_items(self._desk, each) for each in asked)
        return Moment(
            lane=lane,
            boot_ms=boot_ms,
            heat_ms=self._desk.heat_ms(boot_ms),
            waiting=self._standing.waiting,
            in_hand=in_hand,
            checks=not started and self._desk.checks_lanes,
            open_items=items,
            all_lanes=of_all,
        )

    def asking(self, first: int | None, boot_ms: int) -> int | None:
        """The lane whose question is answered: the first, else with the newest."""
        asked: dict[int, int | None] = {}
        for number in self._desk.lanes:
            now = self.moment(number, boot_ms)
            asked[number] = asked_at(now.lane, now.phase, now.at, LAG_MS)
            if number == first and bar_to_check(now.lane, now.at):
                return number
        return answered(asked, first)

    def calls(self, key: str) -> bool:
        """Whether the key names a fault in any lane; a digit never does here."""
        if key in FAULT_DIGITS:
            return False
        plans = (self._desk.lane(number).plan for number in self._desk.lanes)
        cards = {id(card): card for plan in plans for card in plan.cards}
        return any(fault_of(card, key) is not None for card in cards.values())

    def limit_ms(self, number: int, boot_ms: int) -> int:
        """How soon the same key is a held one, for a lane or for none (0)."""
        lane = self._desk.lane(number or self._desk.lanes[0])
        if not number:
            return lane.plan.repeat_ms
        heat_ms = self._desk.heat_ms(boot_ms)
        at = None if heat_ms is None else own_ms(lane, heat_ms)
        card = lane.plan.card_of(shown_set(lane, at))
        return repeat_limit_ms(lane.plan.repeat_ms, card.floor_ms)
