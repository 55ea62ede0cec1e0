"""Something read in a second process, while this one gets a screen ready.

Files and screens need different libraries, and each takes as long to import as the
other: on two processors they are ready together, and a Floor never holds in memory
what only reads files.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading
from contextlib import suppress
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable

T = TypeVar("T")


class Aside(Generic[T]):
    """`do`, begun elsewhere where that can be; its result is what `do` gives here.

    It must open nothing that stays open. Whatever goes wrong elsewhere, errors of the
    files too, is met again by doing it here.
    """

    def __init__(self, do: Callable[[], T]) -> None:
        self._do = do
        self._begun = _begun(do) if _is_possible() else None

    def result(self) -> T:
        """What `do` gives or raises."""
        begun, self._begun = self._begun, None
        if begun is not None:
            with suppress(Exception):
                found: T = pickle.loads(_told(*begun))  # noqa: S301 - our own process
                return found
        return self._do()


def _is_possible() -> bool:
    """A copy of a process with several threads may wait for ever for one of them.

    Only Linux promises that a copy may go on using any library.
    """
    return sys.platform == "linux" and threading.active_count() == 1


def _begun(do: Callable[[], object]) -> tuple[int, int] | None:
    """Where the result will come from and who makes it; None if nobody can."""
    try:
        reading, writing = os.pipe()
        child = os.fork()
    except OSError:
        return None
    if child:
        os.close(writing)
        return reading, child
    code = 1
    try:
        with os.fdopen(writing, "wb") as pipe:
            pickle.dump(do(), pipe)
        code = 0
    finally:
        # What this process would do at its end is its parent's to do.
        os._exit(code)


def _told(reading: int, child: int) -> bytes:
    """All that the other process told; ChildProcessError if it failed."""
    with os.fdopen(reading, "rb") as pipe:
        data = pipe.read()
    _, status = os.waitpid(child, 0)
    if status:
        raise ChildProcessError(f"ended with {status}")
    return data
