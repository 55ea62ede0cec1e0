"""The head judge's view with pads for a finger, for a tablet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.actions import LANE_PAD
from judgekit.ui.screens.head import HeadScreen
from judgekit.ui.screens.padded import Padded
from judgekit.ui.views.headpads import OFFER, head_board

if TYPE_CHECKING:
    from textual.geometry import Size

    from judgekit.ui.compat import Tap
    from judgekit.ui.views.pads import Board


class PadHead(Padded, HeadScreen, inherit_bindings=False):
    """The lanes above the pads of orders and rulings."""

    HINTS = False

    def board(self) -> Board:
        return head_board(self._keys, self._lanes) if self._heats else ()

    def _tap(self, tap: Tap) -> None:
        for begins, does in ((LANE_PAD, self._keys.turn_to), (OFFER, self._keys.offer)):
            if tap.key.startswith(begins):
                does(tap.key.removeprefix(begins))
                self.show()
                return
        super()._tap(tap)

    @property
    def _room(self) -> Size:
        """What the pads leave of the screen, once that is laid out."""
        return self._paper.size

    def on_resize(self) -> None:
        self.call_after_refresh(self.show)

    def show(self) -> None:
        super().show()
        self.show_board()
