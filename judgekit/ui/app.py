"""The Textual application around the Floor and the scorecards of its lanes.

Import it through `judgekit.ui.start`, which sets the frame limit first.
"""

from __future__ import annotations

import asyncio
import threading
from contextlib import suppress
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, TypeVar

from textual.app import App
from textual.events import Resize

from judgekit.desk import Coming, Told
from judgekit.ui.actions import PAD_KEYS, keymap
from judgekit.ui.behind import Behind
from judgekit.ui.compat import SureTimers, driver_for, size_of
from judgekit.ui.ending import HANG_UP, ended_by
from judgekit.ui.heart import Heart
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.heard import DeskNews, Standing
from judgekit.ui.screens.judging import JudgeScreen
from judgekit.ui.theme import JUDGEKIT

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.driver import Driver
    from textual.message import Message
    from textual.screen import Screen

    from judgekit.core.entry import Entry
    from judgekit.desk import Desk
    from judgekit.files.eventfolder import EventFolder
    from judgekit.review.performing import Athlete
    from judgekit.ui.screens.beside import Other
    from judgekit.ui.screens.lanecheck import LaneCheckScreen
    from judgekit.ui.screens.messages import Arrived, Checks, Left, Ready, Scaled
    from judgekit.ui.screens.scorecard import ScorecardScreen
    from judgekit.ui.webdriver import Tapped

S = TypeVar("S", bound="Screen[None]")
_CARD, _CHECK = "scorecard", "lanecheck"
_CARD_MODULE = "judgekit.ui.screens.scorecard"
_MANY = "judgekit.ui.screens.many", "ManyScreen"
_MANY_PADDED = "judgekit.ui.screens.padmany", "PadMany"
_AFTER_KEYS_S = 0.3
_SEVERAL = 2
# Longer than Textual waits for the last of several sizes.
_RESIZED_S = 0.02
# The lane could not be opened: whoever opens it says why.
NOT_OPENED = 2
PAGE_GONE = "the page has gone"


class FloorApp(SureTimers, App[None], inherit_bindings=False):
    """A desk: the Floor of its lanes, and each one's scorecard once its work is over.

    `times` is asked each time a scorecard opens which time its lane works, and why;
    `standing` is what a screen before this one had heard. With an `athlete` it is a
    rehearsal; with `pads` every screen can be worked with a finger.
    Where it `grew`, the same desk has more lanes than this Floor can show, and the
    folder `behind` it knows them. `failed` names what ended the app, empty while
    nothing did; then it prints nothing: whoever runs it has the words, and no local
    variable of any frame ever reaches the terminal.
    """

    CSS_PATH = "judgekit.tcss"
    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(
        self,
        desk: Desk | Coming,
        *,
        folder: EventFolder | None = None,
        times: Callable[[int], str] = lambda _lane: "",
        standing: Standing | None = None,
        athlete: Athlete | None = None,
        pads: bool = False,
    ) -> None:
        super().__init__()
        self._pads = pads
        self.failed = ""
        self.grew = False
        # A desk that is still coming has nothing to show a scorecard from.
        self._given = desk
        if not isinstance(desk, Coming):
            self._desk = desk
        self.behind = Behind(folder, self._tell_floor, whole=_is_whole(folder, desk))
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name
        self._standing = standing or Standing()
        self._signal = 0
        self._sized = False
        self._own_loop: asyncio.AbstractEventLoop | None = None
        self._ending: asyncio.Task[None] | None = None
        self._times = times
        self._athlete = athlete
        self._cards: dict[int, ScorecardScreen] = {}
        self._checks: dict[int, LaneCheckScreen] = {}

    def get_default_screen(self) -> JudgeScreen:
        """The Floor is the first screen, with nothing under it."""
        kind: Callable[..., JudgeScreen] = self._kind_of(FloorScreen)
        if len(self._given.lanes) > 1:
            # One lane's Floor need not wait for it.
            module, name = _MANY_PADDED if self._pads else _MANY
            kind = getattr(import_module(module), name)
        elif self._athlete is not None:
            from judgekit.ui.screens.rehearsal import RehearsalScreen

            kind = partial(RehearsalScreen, self._athlete)
        return kind(
            self._given,
            known=self.behind.known,
            extra_keys=self._extra_keys(),
            standing=self._standing,
        )

    def _extra_keys(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The event's own keys, and those of pads."""
        folder = self.behind.folder
        keys = folder.event.keys if folder is not None else ()
        return (*keys, *PAD_KEYS) if self._pads else tuple(keys)

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

    def on_resize(self) -> None:
        # The first size is that of the window as it was found.
        if self._sized:
            self.set_timer(_RESIZED_S, self._look_at_size)
        self._sized = True

    def _look_at_size(self) -> None:
        """Take the size that the window has, and draw all of it.

        A window that was small for a moment has lost some rows, though to Textual a
        size that came back in time is no other size. And of two signals that came
        together the first may be heard last.
        """
        if not self.screen_stack:
            return  # the app has ended meanwhile
        size = size_of(self._driver)
        if size is not None and size != self.size:
            self.post_message(Resize(size, size))
        else:
            self.screen.refresh()

    def on_judge_screen_ready(self, message: Ready) -> None:
        if message.desk is None:
            self.exit(return_code=NOT_OPENED)
        else:
            self._given = self._desk = message.desk

    def on_judge_screen_left(self, message: Left) -> None:
        if message.to_card:
            self._open_card(message.lane)
        else:
            self.leave("closed by the judge")

    def on_judge_screen_arrived(self, message: Arrived) -> None:
        self.behind.meanwhile(self.behind.arrives(self._desk, message))

    def on_judge_screen_scaled(self, message: Scaled) -> None:
        self.behind.meanwhile(self.behind.scales(self._desk, message))

    def _tell_floor(self, message: Message) -> None:
        self.screen_stack[0].post_message(message)

    def on_judge_screen_grew(self) -> None:
        """A Floor of one lane ends here; whoever runs it begins one of several."""
        newest = self._desk.lane(self._desk.lanes[-1]).plan
        lane = self._standing.chosen = self._desk.lanes[0]
        stays = f"Lane {lane} stays chosen until another is"
        self._standing.back = f"{newest.name} has lane {newest.lane}. {stays}."
        self.grew = True
        self.exit(return_code=0)

    def on_judge_screen_checks(self, message: Checks) -> None:
        from judgekit.ui.screens.lanecheck import LaneCheckScreen

        lane = message.lane
        check = self._checks.get(lane)
        if check is None:
            check = self._checks[lane] = self._kind_of(LaneCheckScreen)(
                self._desk,
                lane,
                people=tuple(self.behind.known.judges.values()),
                earlier=partial(self._earlier_checks, lane),
                standing=self._standing,
            )
        check.asked_for()
        self.push_screen(_kept(self, check, f"{_CHECK}-{lane}"))

    def _earlier_checks(self, lane: int) -> tuple[Entry, ...]:
        from judgekit.desk.lastchecks import last_checks

        if self.behind.folder is None:
            return ()
        return last_checks(self.behind.folder, self._desk.heat, lane)

    def on_lane_check_screen_left(self) -> None:
        self.pop_screen()

    def on_scorecard_screen_left(self, message: ScorecardScreen.Left) -> None:
        if message.to_floor:
            self.pop_screen()
            if message.pressed is not None:
                self._tell_floor(message.pressed)
        else:
            self.leave("closed by the judge")

    def _import_card(self) -> None:
        """What the scorecard is made of, now that the Floor is there."""
        thread = threading.Thread(target=self._beside, name="scorecard", daemon=True)
        thread.start()

    def _beside(self) -> None:
        """What can wait until the Floor stands: in a thread of its own."""
        import_module(_CARD_MODULE)
        self._share()
        self.behind.look_back()

    def _share(self) -> None:
        folder, lanes = self.behind.folder, self._given.lanes
        if folder is None or len(lanes) < _SEVERAL or not folder.event.shared:
            return
        from judgekit.reports.brieffloor import shared_words
        from judgekit.ui.screens.messages import Shared

        plans = [self._given.lane(number).plan for number in lanes]
        with suppress(Exception):
            words = shared_words(folder.event, plans, folder.cards)
            self.screen_stack[0].post_message(Shared(words))

    def _open_card(self, lane: int) -> None:
        from judgekit.ui.screens.scorecard import ScorecardScreen

        card = self._cards.get(lane)
        if card is None:
            card = self._cards[lane] = self._kind_of(ScorecardScreen)(
                self._desk,
                lane,
                judges=self.behind.known.judges,
                times=partial(self._times, lane),
                standing=self._standing,
                other=self._other_judge(lane),
            )
            card.floor_keys = keymap(self._extra_keys())
        card.asked_for()
        self.push_screen(_kept(self, card, f"{_CARD}-{lane}"))

    def _other_judge(self, lane: int) -> Other | None:
        """What the other judge counted, asked in a thread; None where one counts."""
        from judgekit.desk.beside import other_judges

        plan = self._desk.lane(lane).plan
        if self.behind.folder is None or plan.team.judges == 1:
            return None
        second = self._desk.second
        return partial(other_judges, self.behind.folder, plan.heat, lane, second=second)

    def leave(self, why: str, return_code: int = 0) -> None:
        """Everything pressed is written, the session's end too; then the app ends.

        A disk that fails keeps the desk for seconds, so the screen goes on meanwhile
        and says what it waits for.
        """
        if self._ending is not None:
            return
        self._standing.closing = True
        for screen in (*self._cards.values(), *self._checks.values(), self.screen):
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
        screen = self.screen_stack[-1] if self.screen_stack else None
        if isinstance(screen, JudgeScreen) and self._given.zero_boot_ms is not None:
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


def _is_whole(folder: EventFolder | None, desk: Desk | Coming) -> bool:
    """Whether the lanes of the desk are all lanes of their heat."""
    if folder is None:
        return False
    heat = desk.lane(desk.lanes[0]).plan.heat
    return {row.lane for row in folder.lanes(heat)} <= set(desk.lanes)


def _kept(app: App[None], screen: Screen[None], name: str) -> str:
    """The name under which a screen is kept while others are shown."""
    if not app.is_screen_installed(name):
        app.install_screen(screen, name)
    return name
