"""The Textual application around the Floor and the scorecard of one lane.

Import it through `judgekit.ui.start`, which sets the frame limit first.
"""

from __future__ import annotations

import asyncio
import signal
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

from textual.app import App

from judgekit.ui.panels import Known
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.heard import Standing
from judgekit.ui.screens.scorecard import ScorecardScreen
from judgekit.ui.theme import JUDGEKIT
from judgekit.ui.views.naming import beside_number

if TYPE_CHECKING:
    from judgekit.desk import Desk
    from judgekit.files.folder import EventFolder

_CARD = "scorecard"
_SIGNALS = (signal.SIGTERM, getattr(signal, "SIGHUP", signal.SIGTERM))


class FloorApp(App[None], inherit_bindings=False):
    """One lane: its Floor, and its scorecard once the work is over.

    `times` says which time this is for the lane and why, where it is not the first.
    """

    CSS_PATH = "judgekit.tcss"
    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(
        self,
        desk: Desk,
        number: int,
        *,
        folder: EventFolder | None = None,
        times: str = "",
    ) -> None:
        super().__init__()
        self._desk = desk
        self._number = number
        self._folder = folder
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name
        self._standing = Standing()
        self._ending: asyncio.Task[None] | None = None
        self._card = ScorecardScreen(
            desk,
            number,
            judges=self._known().judges,
            times=times,
            standing=self._standing,
        )

    def get_default_screen(self) -> FloorScreen:
        """The Floor is the first screen, with nothing under it."""
        keys = self._folder.event.keys if self._folder is not None else ()
        return FloorScreen(
            self._desk,
            self._number,
            known=self._known(),
            extra_keys=keys,
            standing=self._standing,
        )

    def on_mount(self) -> None:
        loop = asyncio.get_running_loop()
        with suppress(NotImplementedError):  # not on every system
            for number in _SIGNALS:
                loop.add_signal_handler(number, partial(self._signalled, number))
        self.install_screen(self._card, _CARD)

    def on_floor_screen_left(self, message: FloorScreen.Left) -> None:
        if message.to_card:
            self.push_screen(_CARD)
        else:
            self.leave("closed by the judge")

    def on_scorecard_screen_left(self, message: ScorecardScreen.Left) -> None:
        if message.to_floor:
            self.pop_screen()
        else:
            self.leave("closed by the judge")

    def leave(self, why: str, return_code: int = 0) -> None:
        """Everything pressed is written, the session's end too; then the app ends.

        A disk that fails keeps the desk for seconds, so the screen goes on meanwhile
        and says what it waits for.
        """
        if self._ending is not None:
            return
        self._standing.closing = True
        if isinstance(self.screen, FloorScreen | ScorecardScreen):
            self.screen.show_soon()
        self._ending = asyncio.create_task(self._end(why, return_code))

    async def _end(self, why: str, return_code: int) -> None:
        loop = asyncio.get_running_loop()
        await loop.run_in_executor(None, self._desk.close, why)
        self.exit(return_code=return_code)

    async def action_quit(self) -> None:
        """No key and no click ends a heat in one step."""

    def _signalled(self, number: signal.Signals) -> None:
        self.leave(f"ended by {number.name}", return_code=128 + number)

    def _known(self) -> Known:
        if self._folder is None:
            return Known()
        return Known(
            athletes={
                a.bib: beside_number(a.name, a.show, a.bib) or a.bib
                for a in self._folder.athletes
            },
            judges={j.id: j.name for j in self._folder.event.judges},
        )

    def _fatal_error(self) -> None:
        # Textual would print the local variables of every frame on the big screen.
        error = self._exception
        kind = type(error).__name__ if error is not None else "an unknown error"
        self.panic(
            f"judgekit ended: {kind}. Every judgement that was shown is in the log; "
            "open the heat again to go on."
        )
