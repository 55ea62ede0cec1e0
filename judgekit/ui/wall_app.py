"""The application around what stands on a wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import App

from judgekit.ui.compat import SureTimers, driver_for
from judgekit.ui.screens.wall import WallScreen
from judgekit.ui.theme import JUDGEKIT

if TYPE_CHECKING:
    from textual.driver import Driver

    from judgekit.ui.views.wall import Again, Sheet
    from judgekit.ui.webdriver import Tapped


class WallApp(SureTimers, App[None], inherit_bindings=False):
    """Shows sheets until somebody has read enough; `again` gives newer ones."""

    CSS_PATH = "judgekit.tcss"
    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(self, sheets: tuple[Sheet, ...], again: Again | None = None) -> None:
        super().__init__()
        self._sheets = sheets
        self._again = again
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name

    def get_driver_class(self) -> type[Driver]:
        return driver_for(super().get_driver_class())

    def get_default_screen(self) -> WallScreen:
        """The only screen."""
        return WallScreen(self._sheets, self._again)

    def on_tapped(self, message: Tapped) -> None:
        """A finger turns pages: on the left third back, elsewhere on."""
        if isinstance(self.screen, WallScreen):
            self.screen.turned(1 if message.x * 3 >= self.size.width else -1)

    def on_cut(self) -> None:
        """The page, or the server behind it, has gone."""
        self.exit()

    def on_wall_screen_left(self) -> None:
        self.exit()
