"""The hand at the keys: which presses a screen takes, and what becomes of others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.compat import Tap, keys_together
from judgekit.ui.guard import HELD, MOST_AT_ONCE, Guard, Press, Run
from judgekit.ui.views import otherwords

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.events import Key
    from textual.screen import Screen

    from judgekit.desk import Desk

TELL_S = 0.2


class Hand:
    """Asks the guard about each key; what does not count is told, and logged once."""

    def __init__(
        self,
        screen: Screen[None],
        desk: Desk,
        number: int,
        say: Callable[[str], None],
        most: int = MOST_AT_ONCE,
    ) -> None:
        self._screen = screen
        self._desk = desk
        self._number = number
        self._say = say
        # Why keys did nothing, where the screen has said so in words of its own.
        self.told: set[str] = set()
        self._guard = Guard(most)
        self._limit_ms = 0
        self._telling = False

    def takes(
        self, key: str, event: Key, boot_ms: int, limit_ms: int, place: int = 0
    ) -> bool:
        """Whether the key is a press of its own; a finger's tap always is.

        `place` is the lane it is about.
        """
        self._limit_ms = limit_ms
        if isinstance(event, Tap):
            return True
        press = Press(
            key=key,
            at=boot_ms,
            read=event.time,
            many=keys_together(event),
            place=place,
        )
        verdict = self._guard.press(press, limit_ms)
        self._tell(boot_ms)
        if verdict == "held":
            self._say(f"{key} is held: repeats do not count.")
        elif verdict == "too fast":
            self._say("Many keys at once, faster than a hand: none of them counts.")
        if self._guard.waiting and not self._telling:
            self._telling = True
            self._screen.set_timer(TELL_S, self._over)
        return verdict in ("counts", "at once")

    def _over(self) -> None:
        self._telling = False
        self._tell(self._desk.clock.boot_ms())
        if self._guard.waiting:
            self._telling = True
            self._screen.set_timer(TELL_S, self._over)

    def _tell(self, boot_ms: int) -> None:
        for run in self._guard.ended(boot_ms, self._limit_ms):
            self._say(_words(run))
            self.told.add(run.why)
            self._log(run)

    def _log(self, run: Run) -> None:
        # Before go there is nothing that a key could have counted.
        if self._desk.zero_boot_ms is not None:
            self._desk.ignored(
                run.place or self._number,
                run.key,
                why=run.why,
                first_ms=run.first_ms,
                last_ms=run.last_ms,
                many=run.many,
            )

    def drop(
        self, key: str, why: str, boot_ms: int, *, told: bool = True, place: int = 0
    ) -> None:
        """A key, or a paste, that did nothing for another reason.

        `told` if this screen says so in its own words.
        """
        if told:
            self.told.add(why)
        run = Run(
            key=key, first_ms=boot_ms, last_ms=boot_ms, many=1, why=why, place=place
        )
        self._log(run)


def _words(run: Run) -> str:
    if run.why == HELD:
        return f"Held {run.key}: {otherwords.repeats(run.many)} not counted."
    return f"{run.many} keys at once, faster than a hand: not counted."


def at_once_words(event: Key) -> str:
    """What to say of a few keys that count though they came together, else nothing."""
    many = keys_together(event)
    return f"{many} keys came at once: each of them counts." if many > 1 else ""
