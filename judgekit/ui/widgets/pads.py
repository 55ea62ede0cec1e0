"""Pads on the screen: drawn from a board, met by a finger coming down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

from judgekit.ui.widgets.padlaying import pad_at, pad_rows
from judgekit.ui.widgets.painted import Painted

if TYPE_CHECKING:
    from textual import events

    from judgekit.ui.views.pads import Board, Pad


class Pads(Painted, can_focus=False):
    """Says which pad was touched at once, and when: never only once it is let go."""

    class Touched(Message):
        """A finger, or a pointer, came down on a pad."""

        def __init__(self, pad: Pad, at: float) -> None:
            super().__init__()
            self.pad = pad
            self.at = at

    def __init__(self, *, id: str, board: Board = ()) -> None:
        super().__init__(id=id)
        self.board = board

    def show(self, board: Board) -> None:
        """Other pads."""
        self.board = board
        if self.size.area and board:
            self.put(pad_rows(board, *self.size))

    def on_resize(self) -> None:
        self.show(self.board)
        self.refresh()

    def on_mouse_down(self, event: events.MouseDown) -> None:
        event.stop()
        self.touch(event.x, event.y, event.time)

    def touch(self, x: int, y: int, at: float) -> None:
        """Something came down on a cell of ours."""
        if self.board and (pad := pad_at(self.board, self.size, x, y)) is not None:
            self.post_message(self.Touched(pad, at))
