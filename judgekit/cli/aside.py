"""Something read in a second process, while this one gets a screen ready.

Files and screens need different libraries, and each takes as long to import as the
other: on two processors they are ready together, and a Floor never holds in memory
what only reads files.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from contextlib import suppress
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Self

T = TypeVar("T")


class Aside(Generic[T]):
    """`do`, begun elsewhere where that can be; its result is what `do` gives here.

    It must open nothing that stays open. Whatever goes wrong elsewhere, errors of the
    files too, is met again by doing it here. Whoever leaves without the result ends it.
    """

    def __init__(self, do: Callable[[], T]) -> None:
        self._do = do
        self._begun = _begun(do) if _is_possible() else None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def result(self) -> T:
        """What `do` gives or raises."""
        begun, self._begun = self._begun, None
        if begun is not None:
            with suppress(Exception):
                found: T = pickle.loads(begun.told())  # noqa: S301 - our own process
                return found
        return self._do()

    def close(self) -> None:
        """Nobody waits for the result any more. Safe to call twice."""
        begun, self._begun = self._begun, None
        if begun is not None:
            begun.end()


class _Begun:
    """The other process, and the pipe that it tells its result through."""

    def __init__(self, reading: int, child: int) -> None:
        self._pipe = os.fdopen(reading, "rb")
        self._child = child

    def told(self) -> bytes:
        """All that the other process told; ChildProcessError if it failed."""
        try:
            data = self._pipe.read()
        except BaseException:
            self.end()
            raise
        status = self._ended()
        if status:
            raise ChildProcessError(f"ended with {status}")
        return data

    def end(self) -> None:
        """End it, whatever it does: it only reads."""
        os.kill(self._child, signal.SIGKILL)
        self._ended()

    def _ended(self) -> int:
        self._pipe.close()
        return os.waitpid(self._child, 0)[1]


def _is_possible() -> bool:
    """A copy of a process with several threads may wait for ever for one of them.

    Only Linux promises that a copy may go on using any library.
    """
    return sys.platform == "linux" and threading.active_count() == 1


def _begun(do: Callable[[], object]) -> _Begun | None:
    """What `do` was begun in; None where there can be no other process."""
    try:
        reading, writing = os.pipe()
    except OSError:
        return None
    here, code = os.getpid(), 1
    try:
        child = os.fork()
        if not child:
            with os.fdopen(writing, "wb") as pipe:
                pickle.dump(do(), pipe)
            code = 0
    except OSError:
        os.close(reading)
        return None
    finally:
        # A key that ends the program reaches the other process too, at any step: it
        # must never go on with what its parent was doing, nor do its parent's end.
        if os.getpid() != here:
            os._exit(code)
        os.close(writing)
    return _Begun(reading, child)
