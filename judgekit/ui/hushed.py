"""A terminal that keeps keys without showing them, while something long is read.

What is typed meanwhile waits for the screen that comes. A word says what goes on.
"""

from __future__ import annotations

import signal
import sys
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import FrameType

# Where these stand among a terminal's attributes.
_INPUT, _LOCAL, _SIGNS = 0, 3, 6
_NAMES = ("SIGTERM", "SIGQUIT", "SIGHUP", "SIGINT")
_ENDS = tuple(getattr(signal, name) for name in _NAMES if hasattr(signal, name))
_CLEARED = "\r\x1b[K"
# What the terminal was like before it was hushed, while it is.
_before: list[list[Any]] = []


def before_hushed() -> list[Any] | None:
    """The attributes of the terminal as it will be again; None if it is not hushed."""
    return _before[-1] if _before else None


@contextmanager
def hushed() -> Iterator[None]:
    """Keys are kept as they were typed and not shown; a signal leaves all as it was."""
    try:
        import termios

        where = sys.stdin.fileno()
        was = termios.tcgetattr(where)
    except Exception:  # noqa: BLE001 - no terminal, or a system without them
        yield
        return
    quiet = [*was[:_SIGNS], [*was[_SIGNS]]]
    # Enter stays what it is, and nothing waits for it; Ctrl-C still ends the reading.
    quiet[_INPUT] &= ~termios.ICRNL
    quiet[_LOCAL] &= ~(termios.ECHO | termios.ICANON)
    quiet[_SIGNS][termios.VMIN], quiet[_SIGNS][termios.VTIME] = 1, 0
    handlers = {number: signal.signal(number, _leave) for number in _ENDS}
    _before.append(was)
    try:
        termios.tcsetattr(where, termios.TCSANOW, quiet)
        yield
    finally:
        _before.pop()
        with suppress(termios.error):  # the terminal has gone
            termios.tcsetattr(where, termios.TCSANOW, was)
        for number, handler in handlers.items():
            signal.signal(number, handler)


def _leave(number: int, _frame: FrameType | None) -> NoReturn:
    raise SystemExit(128 + number)


@contextmanager
def saying(words: str) -> Iterator[None]:
    """The words stand on the terminal's line as long as it takes."""
    sys.stderr.write(words)
    sys.stderr.flush()
    try:
        yield
    finally:
        sys.stderr.write(_CLEARED)
        sys.stderr.flush()
