"""The Textual application around the Floor and the scorecard of one lane.

Import it through `judgekit.ui.start`, which sets the frame limit first.
"""

from __future__ import annotations

import asyncio
import threading
from contextlib import suppress
from importlib import import_module
from typing import TYPE_CHECKING, TypeVar

from textual.app import App

from judgekit.desk import Coming, Told
from judgekit.ui.actions import PAD_KEYS
from judgekit.ui.compat import SureTimers, driver_for
from judgekit.ui.ending import HANG_UP, ended_by
from judgekit.ui.heart import Heart
from judgekit.ui.panels import Known
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.heard import DeskNews, Standing
from judgekit.ui.theme import JUDGEKIT
from judgekit.ui.views.naming import beside_number

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.driver import Driver
    from textual.screen import Screen

    from judgekit.core.entry import Entry
    from judgekit.desk import Desk
    from judgekit.files.eventfolder import EventFolder
    from judgekit.ui.screens.lanecheck import LaneCheckScreen
    from judgekit.ui.screens.scorecard import ScorecardScreen
    from judgekit.ui.webdriver import Tapped

S = TypeVar("S", bound="Screen[None]")
_CARD, _CHECK = "scorecard", "lanecheck"
_CARD_MODULE = "judgekit.ui.screens.scorecard"
_AFTER_KEYS_S = 0.3
# The lane could not be opened: whoever opens it says why.
NOT_OPENED = 2
PAGE_GONE = "the page has gone"


class FloorApp(SureTimers, App[None], inherit_bindings=False):
    """One lane: its Floor, and its scorecard once the work is over.

    `times` is asked each time the scorecard opens which time this is and why;
    `standing` is what a screen before this one had heard. With `pads` every screen can
    be worked with a finger. `failed` names what ended the app, empty while nothing did;
    then it prints nothing: whoever runs it has the words, and no local variable of any
    frame ever reaches the terminal.
    """

    CSS_PATH = "judgekit.tcss"
    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(
        self,
        desk: Desk | Coming,
        number: int,
        *,
        folder: EventFolder | None = None,
        times: Callable[[], str] = str,
        standing: Standing | None = None,
        pads: bool = False,
    ) -> None:
        super().__init__()
        self._pads = pads
        self.failed = ""
        # A desk that is still coming has nothing to show a scorecard from.
        self._given = desk
        if not isinstance(desk, Coming):
            self._desk = desk
        self._number = number
        self._folder = folder
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name
        self._standing = standing or Standing()
        self._signal = 0
        self._own_loop: asyncio.AbstractEventLoop | None = None
        self._ending: asyncio.Task[None] | None = None
        self._times = times
        self._card: ScorecardScreen | None = None
        self._check: LaneCheckScreen | None = None

    def get_default_screen(self) -> FloorScreen:
        """The Floor is the first screen, with nothing under it."""
        keys = self._folder.event.keys if self._folder is not None else ()
        return self._kind_of(FloorScreen)(
            self._given,
            self._number,
            known=self._known(),
            extra_keys=(*keys, *PAD_KEYS) if self._pads else keys,
            standing=self._standing,
        )

    def _kind_of(self, screen: type[S]) -> type[S]:
        """The screen, with pads where there are to be some."""
        if not self._pads:
            return screen
        from judgekit.ui.screens.padded import padded

        return padded(screen)

    def get_driver_class(self) -> type[Driver]:
        return driver_for(super().get_driver_class())

    def on_mount(self) -> None:
        self._own_loop = asyncio.get_running_loop()
        Heart(self._own_loop, self._stalled).start()
        self.call_after_refresh(self._import_card)
        if self._signal:
            self._signalled(self._signal)

    def on_floor_screen_ready(self, message: FloorScreen.Ready) -> None:
        if message.desk is None:
            self.exit(return_code=NOT_OPENED)
        else:
            self._given = self._desk = message.desk

    def on_floor_screen_left(self, message: FloorScreen.Left) -> None:
        if message.to_card:
            self._open_card()
        else:
            self.leave("closed by the judge")

    def on_floor_screen_checks(self) -> None:
        from judgekit.ui.screens.lanecheck import LaneCheckScreen

        if self._check is None:
            self._check = self._kind_of(LaneCheckScreen)(
                self._desk,
                self._number,
                people=tuple(self._known().judges.values()),
                earlier=self._earlier_checks,
                standing=self._standing,
            )
            self.install_screen(self._check, _CHECK)
        self._check.asked_for()
        self.push_screen(_CHECK)

    def _earlier_checks(self) -> tuple[Entry, ...]:
        from judgekit.desk.lastchecks import last_checks

        if self._folder is None:
            return ()
        return last_checks(self._folder, self._desk.heat, self._number)

    def on_lane_check_screen_left(self) -> None:
        self.pop_screen()

    def on_scorecard_screen_left(self, message: ScorecardScreen.Left) -> None:
        if message.to_floor:
            self.pop_screen()
        else:
            self.leave("closed by the judge")

    def _import_card(self) -> None:
        """What the scorecard is made of, now that the Floor is there."""
        thread = threading.Thread(
            target=import_module, args=(_CARD_MODULE,), name="scorecard", daemon=True
        )
        thread.start()

    def _open_card(self) -> None:
        from judgekit.ui.screens.scorecard import ScorecardScreen

        if self._card is None:
            self._card = self._kind_of(ScorecardScreen)(
                self._desk,
                self._number,
                judges=self._known().judges,
                times=self._times,
                standing=self._standing,
            )
            self.install_screen(self._card, _CARD)
        self._card.asked_for()
        self.push_screen(_CARD)

    def leave(self, why: str, return_code: int = 0) -> None:
        """Everything pressed is written, the session's end too; then the app ends.

        A disk that fails keeps the desk for seconds, so the screen goes on meanwhile
        and says what it waits for.
        """
        if self._ending is not None:
            return
        self._standing.closing = True
        for screen in (self._card, self._check, self.screen):
            show_soon = getattr(screen, "show_soon", None)
            if show_soon is not None:
                show_soon()
        self._ending = asyncio.create_task(self._end(why, return_code))

    async def _end(self, why: str, return_code: int) -> None:
        loop = asyncio.get_running_loop()
        await loop.run_in_executor(None, self._given.close, why)
        self.exit(return_code=return_code)

    async def action_quit(self) -> None:
        """No key and no click ends a heat in one step."""

    def _stalled(self, ms: int) -> None:
        """The screen did nothing for so long; keys keep the times of their presses."""
        screen = self.screen
        if isinstance(screen, FloorScreen) and self._given.zero_boot_ms is not None:
            says = f"The screen stood still for {ms / 1000:.1f} s; every press keeps "
            news = DeskNews(Told(says=f"{says}its own time."))
            # Keys that waited come first: each of them clears the line.
            self.set_timer(_AFTER_KEYS_S, lambda: screen.post_message(news))

    @property
    def standing(self) -> Standing:
        """What the desk told that stays so, for a screen that takes over."""
        return self._standing

    @property
    def left(self) -> bool:
        """Whether the end was asked for, by the judge or by a signal."""
        return self._ending is not None

    def end_by(self, number: int) -> None:
        """A signal ends the process; safe in its handler and in any thread."""
        self._signal = number
        if self._own_loop is not None:
            with suppress(RuntimeError):  # the loop is closed: the app has ended
                self._own_loop.call_soon_threadsafe(self._signalled, number)

    def on_tapped(self, message: Tapped) -> None:
        """A finger on a browser's screen."""
        tapped = None if self.left else getattr(self.screen, "tapped", None)
        if tapped is not None:
            tapped(message.x, message.y, message.at)

    def on_cut(self) -> None:
        """The page, or the server behind it, has gone."""
        self.leave(PAGE_GONE, return_code=128 + HANG_UP)

    def _signalled(self, number: int) -> None:
        self.leave(ended_by(number), return_code=128 + number)

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

    def _handle_exception(self, error: Exception) -> None:
        # Textual would print the local variables of every frame on the big screen.
        # A worker's failure comes wrapped in another.
        cause = getattr(error, "error", error)
        self.failed = self.failed or type(cause).__name__
        super()._handle_exception(error)

    def panic(self, *renderables: object) -> None:
        """The thread that reads the keys has died, or an error draws itself."""
        self.failed = self.failed or "unreadable keys"
        self._close_messages_no_wait()

    def _fatal_error(self) -> None:
        self._close_messages_no_wait()
