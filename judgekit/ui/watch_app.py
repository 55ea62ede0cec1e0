"""The application around what is looked on at: the board, the head judge's view."""

from __future__ import annotations

import asyncio
from contextlib import suppress
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
        self._own_loop: asyncio.AbstractEventLoop | None = None
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name

    def get_driver_class(self) -> type[Driver]:
        return driver_for(super().get_driver_class())

    def get_default_screen(self) -> Screen[None]:
        """The only screen."""
        return self._made()

    def on_mount(self) -> None:
        self._own_loop = asyncio.get_running_loop()

    def end_by(self, number: int) -> None:
        """A signal ends the process; safe in its handler and in any thread."""
        if self._own_loop is not None:
            with suppress(RuntimeError):  # the loop is closed: the app has ended
                self._own_loop.call_soon_threadsafe(self._signalled, number)

    def _signalled(self, number: int) -> None:
        self.exit(return_code=128 + number)

    def on_board_screen_left(self) -> None:
        self.exit()

    def on_head_screen_left(self) -> None:
        self.exit()

    def on_review_screen_left(self) -> None:
        self.exit()
