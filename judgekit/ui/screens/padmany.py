"""The Floor of several lanes with pads for a finger, for a coach with a tablet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.ui.screens.many import ManyScreen
from judgekit.ui.screens.padded import Padded, asks_yes, for_fingers
from judgekit.ui.views import pads
from judgekit.ui.views.floor import all_calls, floor_view
from judgekit.ui.views.manypads import many_board
from judgekit.ui.widgets.pads import Pads

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from judgekit.ui.views.floor import FloorView
    from judgekit.ui.views.many import ManyView
    from judgekit.ui.views.pads import Board
    from judgekit.ui.widgets.laying import Over


class PadMany(Padded, ManyScreen, inherit_bindings=False):
    """The lanes above their pads, and STOP above the lanes."""

    _seen: ManyView

    def compose(self) -> ComposeResult:
        yield Pads(id="stoppad", board=pads.STOP_BOARD)
        yield from super().compose()

    def board(self) -> Board:
        if self._early is not None:
            return many_board(self._seen, self._seen.front, (), super()._over(), "")
        number = self._front()
        lane = self._desk.lane(number)
        front = floor_view(lane, self._now(number))
        return many_board(
            self._seen,
            front,
            all_calls(lane, self._desk.heat_ms()),
            super()._over(),
            self._turned,
            asks=self._yes_asked(front),
        )

    def _yes_asked(self, front: FloorView) -> bool:
        """Whether YES answers: the desk's own question, or the chosen lane's."""
        now = self._clock.boot_ms()
        if self._controls.asks(now):
            return True
        chosen = self._keys.chosen
        return chosen is not None and asks_yes(front, self._desk.lane(chosen))

    def _draw(self) -> None:
        super()._draw()
        self.show_board()

    def _view(self) -> ManyView:
        # The pads say what keys do, in the same words.
        self._seen = super()._view()
        asks, waiting = self._seen.asks, len(self._keys.waiting)
        front = replace(self._seen.front, hint=())
        if waiting:
            asks = _whose(waiting, stop=self._keys.asks_stop)
            front = replace(front, banner=asks)
        return replace(
            self._seen,
            rows=tuple(replace(row, key=str(row.lane)) for row in self._seen.rows),
            front=front,
            asks=asks,
            tells=tuple(map(_without_digits, self._seen.tells)),
            keys=False,
        )

    def _over(self) -> Over:
        return for_fingers(super()._over(), self.size.height)


def _whose(waiting: int, *, stop: bool) -> str:
    """What asks for the lane of so many acts."""
    if stop:
        return "STOP, all frozen. Whose? Tap the lane"
    waits = f"{waiting} presses wait. " if waiting > 1 else ""
    return f"{waits}Which lane? Tap it"


def _without_digits(ways: tuple[str, ...]) -> tuple[str, ...]:
    """The ways of saying something that tell of no digit to press."""
    return tuple(words for words in ways if "digit" not in words) or ways
