"""What goes or comes in a lane's row by itself, between two seconds of the clock."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import doubt
from judgekit.core.lane import own_ms
from judgekit.ui.screens.floor import FLASH_S, WHY_S
from judgekit.ui.views.many import SOON_MS
from judgekit.ui.views.phase import rest_left

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.state import Lane
    from judgekit.ui.screens.shown import ShownScreen

_SECOND_MS = 1000
_JUST_AFTER_MS = 5


class LaneTimers:
    """Has the screen drawn anew then; `forget` lets a lane's row be made anew."""

    def __init__(self, screen: ShownScreen, forget: Callable[[int], None]) -> None:
        self._screen = screen
        self._forget = forget
        self._flashing: dict[int, int] = {}
        self._flashes = 0

    @property
    def flashing(self) -> frozenset[int]:
        """The lanes that had a no-rep just now."""
        return frozenset(self._flashing)

    def await_go(self, number: int, lane: Lane, heat_ms: int | None) -> None:
        """An own rest ends between two seconds of the clock: GO stands at once."""
        at = None if heat_ms is None else own_ms(lane, heat_ms)
        left = 0 if at is None else rest_left(lane, at)
        for before in range(0, min(left, SOON_MS + 1), _SECOND_MS):
            self._look_in((left - before + _JUST_AFTER_MS) / _SECOND_MS, number)

    def asked(self, number: int) -> None:
        """A question that nobody answers goes by itself."""
        self._look_in((doubt.ASKED_MS + 50) / 1000, number)

    def flash(self, number: int) -> None:
        """A no-rep: its row is turned over, and asks why."""
        self._flashes += 1
        this = self._flashing[number] = self._flashes
        self._screen.set_timer(FLASH_S, lambda: self._end(number, this))
        self._look_in(WHY_S, number)

    def _end(self, number: int, which: int) -> None:
        if self._flashing.get(number) == which:
            del self._flashing[number]
            self._screen.show_soon()

    def _look_in(self, seconds: float, number: int) -> None:
        self._screen.set_timer(seconds, lambda: self._look(number))

    def _look(self, number: int) -> None:
        self._forget(number)
        self._screen.show_soon()
