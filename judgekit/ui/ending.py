"""How the process of a Floor ends when nobody closes it: whatever hangs, it ends.

A signal, or a terminal that has gone, closes the desk: what was pressed is written,
and the session's end. Where that takes longer than three seconds, for a disk or a
terminal that does not answer, the process ends hard and says what was not saved.
"""

from __future__ import annotations

import os
import select
import signal
import sys
import threading
import time
from contextlib import suppress
from typing import TYPE_CHECKING, Protocol, Self

from judgekit.ui.hushed import before_hushed

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import FrameType

GRACE_S = 3.0
_LOOK_S = 0.1
# Asking the terminal costs a call into the system, so it is asked less often.
_TERMINAL_LOOKS = 5
_NAMES = ("SIGTERM", "SIGHUP", "SIGQUIT", "SIGINT")
SIGNALS = tuple(getattr(signal, name) for name in _NAMES if hasattr(signal, name))
HANG_UP: int = getattr(signal, "SIGHUP", signal.SIGTERM)
# Out of the other screen, its keys, its mouse and its pasting; the cursor is back.
_LEAVE = b"\x1b[<u\x1b[?1049l\x1b[?25h\x1b[?1004l\x1b[?2004l\x1b[?1000l\x1b[?1006l\r\n"


class Closes(Protocol):
    """What ending asks of a desk."""

    @property
    def at_stake(self) -> int:
        """How many presses are not saved, or never will be."""
        ...

    def close(self, why: str = "") -> None:
        """Drain, note the end of the session, close the book."""
        ...


class NothingOpen:
    """What a screen ends that only shows: nothing is at stake, nothing to close."""

    at_stake = 0

    def close(self, why: str = "") -> None:
        """Nothing is open."""


class Ending:
    """Watches from the first screen to the last; the main thread enters it.

    `number` is the signal that ends the process, 0 while there is none. `leave` is
    called with it once, in a signal's handler or in the watching thread.
    """

    def __init__(
        self,
        desk: Closes,
        *,
        gone: Callable[[], bool] | None = None,
        hard: Callable[[int, str], None] | None = None,
        grace_s: float = GRACE_S,
    ) -> None:
        self.number = 0
        self.leave: Callable[[int], None] | None = None
        self._desk = desk
        # Where there was no terminal from the start, none can go.
        self._gone = gone or (_never if _terminal_gone() else _terminal_gone)
        self._hard = hard or _hard_end
        self._grace_s = grace_s
        self._since = 0.0
        self._over = False
        self._before: dict[int, object] = {}
        self._attributes = _terminal_attributes()

    def __enter__(self) -> Self:
        for number in SIGNALS:
            self._before[number] = signal.getsignal(number)
            signal.signal(number, self._signalled)
        threading.Thread(target=self._watch, name="ending", daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        # Once a signal came, the watch goes on until the process is really over.
        self._over = not self.number
        for number, handler in self._before.items():
            signal.signal(number, handler)  # type: ignore[arg-type]

    def is_near(self) -> bool:
        """Whether a signal came, or there is nothing left to draw on."""
        if not self.number and self._gone():
            self._ask(HANG_UP)
        return bool(self.number)

    def _signalled(self, number: int, _frame: FrameType | None) -> None:
        # It may come at any instruction of the main thread, so it takes no lock.
        self._ask(number)

    def _ask(self, number: int) -> None:
        if self.number:
            return
        self._since = time.monotonic()
        self.number = number
        if self.leave is not None:
            self.leave(number)

    def _watch(self) -> None:
        looks = 0
        while not self.number and not self._over:
            time.sleep(_LOOK_S)
            looks += 1
            if looks % _TERMINAL_LOOKS == 0 and self._gone():
                self._ask(HANG_UP)
        if self._over:
            return
        threading.Thread(target=self._close, name="closing", daemon=True).start()
        while time.monotonic() - self._since < self._grace_s:
            time.sleep(_LOOK_S)
            if self._over:
                return
        self._restore_terminal()
        self._hard(128 + self.number, self._words())

    def _close(self) -> None:
        """The screen asks for it too; but it may be the screen that hangs."""
        self._desk.close(ended_by(self.number))

    def _words(self) -> str:
        many = self._desk.at_stake
        if not many:
            return ""
        presses = "1 press was" if many == 1 else f"{many} presses were"
        return (
            f"{presses} not saved: the disk did not answer. "
            "Write down what was counted.\n"
        )

    def _restore_terminal(self) -> None:
        if self._attributes is not None:
            with suppress(Exception):
                import termios

                where = sys.stdin.fileno()
                termios.tcsetattr(where, termios.TCSANOW, self._attributes)


def ended_by(number: int) -> str:
    """Why a session ended, by the number of a signal."""
    return f"ended by {signal.Signals(number).name}"


def _never() -> bool:
    return False


def _terminal_gone() -> bool:
    try:
        return not os.isatty(sys.stdin.fileno())
    except (OSError, ValueError):
        return True


def _terminal_attributes() -> list[int | list[bytes | int]] | None:
    try:
        import termios

        return before_hushed() or termios.tcgetattr(sys.stdin.fileno())
    except Exception:  # noqa: BLE001 - no terminal, or a system without them
        return None


def _hard_end(code: int, words: str) -> None:
    """Out at once; the words only where the terminal takes them without waiting."""
    with suppress(Exception):
        where = sys.__stderr__.fileno() if sys.__stderr__ is not None else 2
        if select.select([], [where], [], 0)[1]:
            os.write(where, _LEAVE + words.encode())
    os._exit(code)
