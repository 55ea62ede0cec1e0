"""The application around the list of heats: it ends with the lane that was chosen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import App

from judgekit.ui.compat import SureTimers, driver_for
from judgekit.ui.screens.home import HomeScreen
from judgekit.ui.theme import JUDGEKIT
from judgekit.ui.views.home import HeatRow, Wanted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.driver import Driver


class HomeApp(SureTimers, App[Wanted], inherit_bindings=False):
    """Lists the heats of one event."""

    CSS_PATH = "judgekit.tcss"
    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(self, title: str, rows: Sequence[HeatRow]) -> None:
        super().__init__()
        self._title = title
        self._rows = tuple(rows)
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name

    def get_driver_class(self) -> type[Driver]:
        return driver_for(super().get_driver_class())

    def get_default_screen(self) -> HomeScreen:
        """The list is the only screen."""
        return HomeScreen(self._title, self._rows)

    def on_home_screen_chosen(self, message: HomeScreen.Chosen) -> None:
        self.exit(message.row)
