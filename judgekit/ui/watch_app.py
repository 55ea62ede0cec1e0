"""The application around what is looked on at: the board, the head judge's view."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import App

from judgekit.ui.compat import SureTimers, driver_for
from judgekit.ui.theme import JUDGEKIT

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.driver import Driver
    from textual.screen import Screen


class WatchApp(SureTimers, App[None], inherit_bindings=False):
    """One screen until it is left."""

    CSS_PATH = "judgekit.tcss"
    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(self, made: Callable[[], Screen[None]]) -> None:
        super().__init__()
        self._made = made
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name

    def get_driver_class(self) -> type[Driver]:
        return driver_for(super().get_driver_class())

    def get_default_screen(self) -> Screen[None]:
        """The only screen."""
        return self._made()

    def on_board_screen_left(self) -> None:
        self.exit()

    def on_head_screen_left(self) -> None:
        self.exit()
