"""The application around the briefing on the wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import App

from judgekit.ui.compat import SureTimers, driver_for
from judgekit.ui.screens.brief import BriefScreen
from judgekit.ui.theme import JUDGEKIT

if TYPE_CHECKING:
    from textual.driver import Driver

    from judgekit.ui.views.brief import Sheet


class BriefApp(SureTimers, App[None], inherit_bindings=False):
    """Shows sheets until somebody has read enough."""

    CSS_PATH = "judgekit.tcss"
    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(self, sheets: tuple[Sheet, ...]) -> None:
        super().__init__()
        self._sheets = sheets
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name

    def get_driver_class(self) -> type[Driver]:
        return driver_for(super().get_driver_class())

    def get_default_screen(self) -> BriefScreen:
        """The briefing is the only screen."""
        return BriefScreen(self._sheets)

    def on_brief_screen_left(self) -> None:
        self.exit()
