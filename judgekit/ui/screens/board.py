"""The board: what the hall sees of the heats, drawn anew as they go on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen

from judgekit.ui.compat import SureTimers
from judgekit.ui.keys import latin_of, name_of
from judgekit.ui.views.board import board_view
from judgekit.ui.views.heats import Moment
from judgekit.ui.widgets.boardlaying import board_rows
from judgekit.ui.widgets.painted import Painted
from judgekit.ui.widgets.row import fit

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult

    from judgekit.desk import Clock
    from judgekit.desk.lookout import Lookout
    from judgekit.desk.onlooker import HeatSeen

# Twice a second: a clock of seconds never skips one.
TICK_S = 0.5
# So many ticks a page stands, where there is more than one.
_TICKS_A_PAGE = 16
CANNOT_READ = "CANNOT BE READ:"
_LEAVE = frozenset({"q", "escape"})


class Seen(Message, bubble=False):
    """The heats as they are by now, and what of the log cannot be read, if anything."""

    def __init__(self, heats: tuple[HeatSeen, ...], wrong: str) -> None:
        super().__init__()
        self.heats = heats
        self.wrong = wrong


class BoardScreen(SureTimers, Screen[None], inherit_bindings=False):
    """Shows and asks nothing; only the keys that leave do anything."""

    AUTO_FOCUS = None

    class Left(Message):
        """Somebody has taken the board down."""

    def __init__(
        self, lookout: Lookout, clock: Clock, zone: str, only: str | None = None
    ) -> None:
        super().__init__()
        self._lookout = lookout
        self._clock = clock
        self._zone = zone
        self._only = only
        self._heats: tuple[HeatSeen, ...] | None = None
        self._wrong = ""
        self._paper = Painted(id="board")
        self._ticks = 0

    def compose(self) -> ComposeResult:
        yield self._paper

    def on_mount(self) -> None:
        self._lookout.start(lambda *seen: self.post_message(Seen(*seen)))
        self.set_interval(TICK_S, self.tick)

    def on_seen(self, message: Seen) -> None:
        self._heats, self._wrong = message.heats, message.wrong
        self.show()

    def on_resize(self) -> None:
        self.show()

    def on_key(self, event: events.Key) -> None:
        event.stop()
        key = name_of(event.key, event.character)
        if key is not None and (latin_of(key) or key) in _LEAVE:
            self.post_message(self.Left())

    def tick(self) -> None:
        """Half a second more: the clock goes on, and pages take turns."""
        self._ticks += 1
        self.show()

    def show(self) -> None:
        """The board as it is now."""
        if self._heats is None or not self.size.area:
            return
        moment = Moment(
            boot=self._clock.boot,
            boot_now=self._clock.boot_ms(),
            wall_now=self._clock.wall_ms(),
        )
        view = board_view(self._heats, moment, self._zone, self._only)
        turn = self._ticks // _TICKS_A_PAGE
        rows = board_rows(view, turn, *self.size)
        if self._wrong:
            # What stands still must not look as if it went on.
            says = fit(f" {CANNOT_READ} {self._wrong}", self.size.width)
            rows = (*rows[:-1], ((says, "alarm"),))
        self._paper.put(rows)
