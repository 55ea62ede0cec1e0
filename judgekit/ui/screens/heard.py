"""How a screen hears: the desk's news in its own thread, a key with its time."""

from __future__ import annotations

from dataclasses import field
from time import monotonic
from typing import TYPE_CHECKING

from textual.message import Message

from judgekit.core.values import dataclass
from judgekit.desk import Lost, Saved, Slow, Unsaved

if TYPE_CHECKING:
    from textual.events import Event

    from judgekit.desk import Clock, News


_SLOW = "the disk is slow"


class DeskNews(Message, bubble=False):
    """One piece of news; posting it is safe from any thread."""

    def __init__(self, news: News) -> None:
        super().__init__()
        self.news = news


def pressed_ms(clock: Clock, event: Event) -> int:
    """When a key was pressed, on the boot clock: its event is older than we are."""
    return clock.boot_ms() - max(0, round((monotonic() - event.time) * 1000))


class Stamps:
    """When keys were pressed: those of one read together, none before another."""

    def __init__(self) -> None:
        self._read = 0.0
        self._ms = 0

    def of(self, clock: Clock, event: Event) -> int:
        """The key's time on the boot clock, in whole ms."""
        if event.time != self._read:
            ms = pressed_ms(clock, event)
            # The two clocks are read one after the other: a ms may come between.
            self._ms = max(ms, self._ms) if event.time > self._read else ms
            self._read = event.time
        return self._ms


@dataclass(slots=True)
class Standing:
    """What the desk told that stays so until it says otherwise; for every screen.

    `waiting` presses are not saved, for a reason of the disk's in `why`; a `slow` one
    has only not answered yet. `lost` says who judges a lane by now. A `closing` desk
    takes no key any more. `back` is what a screen says that took the place of one that
    failed, and `chosen` the lane that all keys were for on a Floor which has grown.
    """

    waiting: int = 0
    why: str = ""
    slow: bool = False
    lost: dict[int, str] = field(default_factory=dict)
    closing: bool = False
    back: str = ""
    chosen: int | None = None

    def hear(self, news: News) -> None:
        """News of the desk; hearing it twice changes nothing."""
        match news:
            case Unsaved(waiting=waiting, why=why):
                # The reason comes last, after the name of the file.
                self.waiting, self.why = waiting, why.rpartition(": ")[2]
                self.slow = False
            case Slow(waiting=waiting):
                self.waiting, self.why, self.slow = waiting, _SLOW, True
            case Saved():
                self.waiting, self.why, self.slow = 0, "", False
            case Lost(lane=lane, to=to):
                self.lost[lane] = to
            case _:
                pass

    def over_all(self, number: int) -> str:
        """What no other words may cover, on a screen about that lane."""
        if not self.closing:
            to = self.lost.get(number)
            says = f"{to} judges this lane now. This desk counts no more."
            return "" if to is None else says
        many = f" {self.waiting} presses" if self.waiting > 1 else ""
        return f"Closing, saving{many}… No key counts any more."

    @property
    def unsaved(self) -> str:
        """Why presses wait, empty if none does."""
        if self.slow:
            return f"Not saved yet: {self.why}. No press is lost; go on."
        return f"Not saved, tried again each second: {self.why}" if self.waiting else ""
