"""The head judge's view: every lane of a heat, and what is said about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen

from judgekit.ui.compat import SureTimers, keys_together
from judgekit.ui.effects import Say
from judgekit.ui.headkeys import HeadKeys, Leaves, Ordered, OtherHeat, Ruled
from judgekit.ui.keys import latin_of, name_of
from judgekit.ui.screens.board import CANNOT_READ, TICK_S, Seen
from judgekit.ui.views.head import FactsKept, emergency_lines, head_view
from judgekit.ui.views.heats import Moment, schedule
from judgekit.ui.widgets.headlaying import Below, head_rows
from judgekit.ui.widgets.painted import Painted

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult
    from textual.geometry import Size

    from judgekit.core.state import Lane
    from judgekit.desk import Clock
    from judgekit.desk.headdesk import HeadDesk
    from judgekit.desk.lookout import Lookout
    from judgekit.desk.onlooker import HeatSeen
    from judgekit.files.eventfolder import EventFolder
    from judgekit.ui.headkeys import HeadEffect

# More keys at once than a hand presses are a paste, and no order.
_PASTED = 2
_READING = "Reading the log."
_PASTE = "Those keys came all at once: nothing was done."


class Written(Message, bubble=False):
    """What was said is in the log, or why it is not."""

    def __init__(self, says: str) -> None:
        super().__init__()
        self.says = says


class HeadScreen(SureTimers, Screen[None], inherit_bindings=False):
    """Looks on at a heat, and gives orders and rulings through a desk of its own."""

    AUTO_FOCUS = None
    # Whether the keys stand in the lowest row.
    HINTS = True

    class Left(Message):
        """The head judge has closed the view."""

    def __init__(
        self,
        folder: EventFolder,
        lookout: Lookout,
        desk: HeadDesk,
        clock: Clock,
        heat: str | None = None,
    ) -> None:
        super().__init__()
        self._folder = folder
        self._lookout = lookout
        self._desk = desk
        self._clock = clock
        self._heat = heat
        self._heats: tuple[HeatSeen, ...] = ()
        self._keys = HeadKeys()
        judges = {judge.id: judge.name for judge in folder.event.judges}
        self._kept = FactsKept(folder.gear, judges)
        self._notice = _READING
        self._wrong = ""
        self._paper = Painted(id="head")

    def compose(self) -> ComposeResult:
        yield self._paper

    def on_mount(self) -> None:
        self._lookout.start(lambda *seen: self.post_message(Seen(*seen)))
        self.set_interval(TICK_S, self.show)

    def on_seen(self, message: Seen) -> None:
        if not self._heats:
            self._notice = ""
        self._heats, self._wrong = message.heats, message.wrong
        self.show()

    def on_written(self, message: Written) -> None:
        self._notice = message.says
        self.show()

    def on_resize(self) -> None:
        self.show()

    # --- keys -------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        event.stop()
        key = name_of(event.key, event.character)
        if key is None or not self._heats:
            return
        if keys_together(event) > _PASTED and not self._keys.types:
            self._notice = _PASTE
            self.show()
            return
        sign = event.character or ""
        if not self._keys.types:
            key = latin_of(key) or key
        pressed = self._keys.press(key, sign if sign.isprintable() else "", self._lanes)
        self._notice = ""
        self._do(pressed)
        self.show()

    def _do(self, effect: HeadEffect) -> None:
        match effect:
            case Say(text=text):
                self._notice = text
            case Leaves():
                self.post_message(self.Left())
            case OtherHeat():
                names = [seen.heat for seen in self._heats]
                at = names.index(self._seen.heat) + 1
                self._heat = names[at % len(names)]
            case Ordered() | Ruled():
                self._write(effect, self._seen)
            case _:
                pass

    def _write(self, effect: Ordered | Ruled, seen: HeatSeen) -> None:
        """In the thread that looks on: a slow disk keeps no key waiting."""

        def job() -> None:
            if isinstance(effect, Ordered):
                refused = self._desk.order(seen, effect.body, effect.lane)
            else:
                refused = self._desk.rule(seen, effect.lane, effect.act)
            self.post_message(Written(refused or f"Saved. {effect.says}"))

        self._lookout.soon(job)

    # --- what stands there ------------------------------------------------------------

    @property
    def _moment(self) -> Moment:
        return Moment(
            boot=self._clock.boot,
            boot_now=self._clock.boot_ms(),
            wall_now=self._clock.wall_ms(),
        )

    @property
    def _seen(self) -> HeatSeen:
        """The heat that is looked at: the one chosen, else the one that goes on."""
        if self._heat is None:
            self._heat = schedule(self._heats, self._moment).now[0].heat
        return next(seen for seen in self._heats if seen.heat == self._heat)

    @property
    def _lanes(self) -> list[Lane]:
        return [read.lane for read in self._seen.lanes]

    @property
    def _room(self) -> Size:
        """How much of the screen there is for the lanes and what stands below."""
        return self.size

    def show(self) -> None:
        """The heat as it is now."""
        if not self._heats or not self._room.area:
            return
        view = head_view(self._seen, self._moment, self._kept)
        self._keys.choose(self._lanes)
        emergency = self._folder.event.emergency if self._keys.emergency else None
        below = Below(
            lane=self._keys.lane,
            open=self._keys.open,
            typed=self._keys.typed,
            emergency=emergency_lines(emergency) if emergency is not None else (),
            notice=self._notice,
            wrong=f"{CANNOT_READ} {self._wrong}" if self._wrong else "",
            hints=self.HINTS,
        )
        self._paper.put(head_rows(view, below, *self._room))
