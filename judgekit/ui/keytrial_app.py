"""The application in which keys are tried: nothing is counted and nothing written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import App
from textual.screen import Screen

from judgekit.ui.compat import SureTimers, driver_for
from judgekit.ui.keys import name_of
from judgekit.ui.theme import JUDGEKIT
from judgekit.ui.views.keytrial import LEAVE, KeyTrial, lines
from judgekit.ui.widgets.line import Line

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult
    from textual.driver import Driver


class KeyTrialScreen(SureTimers, Screen[None], inherit_bindings=False):
    """Says which key to press, and what the last ones sent."""

    def __init__(self, trial: KeyTrial) -> None:
        super().__init__()
        self.trial = trial

    def compose(self) -> ComposeResult:
        yield Line(id="keytrial")

    def on_mount(self) -> None:
        self._show()

    def on_resize(self) -> None:
        self._show()

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        key = name_of(event.key, event.character)
        if key is None:
            return
        if key == LEAVE:
            self.app.exit(self.trial)
            return
        self.trial = self.trial.pressed(key)
        self._show()

    def _show(self) -> None:
        shown = lines(self.trial)[-max(1, self.size.height) :]
        self.query_one("#keytrial", Line).show(*shown, layout=True)


class KeyTrialApp(SureTimers, App[KeyTrial], inherit_bindings=False):
    """Ends with what came of the trial, whenever it is left."""

    CSS_PATH = "judgekit.tcss"
    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(self, trial: KeyTrial) -> None:
        super().__init__()
        self._trial = trial
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name

    def get_driver_class(self) -> type[Driver]:
        return driver_for(super().get_driver_class())

    def get_default_screen(self) -> KeyTrialScreen:
        """The only screen."""
        return KeyTrialScreen(self._trial)
