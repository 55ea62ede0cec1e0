"""The rubbish collector, kept still while a log is read."""

from __future__ import annotations

import gc
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


class _Inside:
    """How many are inside, in all threads, and whether the collector was on before."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._many = 0
        self._was_on = False

    def enter(self) -> None:
        with self._lock:
            if not self._many:
                self._was_on = gc.isenabled()
                gc.disable()
            self._many += 1

    def leave(self) -> None:
        with self._lock:
            self._many -= 1
            if not self._many and self._was_on:
                _age()
                gc.enable()


def _age() -> None:
    """What was made meanwhile is old at once: new, all of it would be looked through.

    Where a screen has put things away for good, they stay there.
    """
    if not gc.get_freeze_count():
        gc.freeze()
        gc.unfreeze()


_INSIDE = _Inside()


@contextmanager
def collector_still() -> Iterator[None]:
    """Nothing looks for rubbish in here; afterwards all is as it was.

    What is read from a log is kept, all of it: looking through it again and again for
    what could go takes a third of the time on a long log. May be nested, and entered
    in several threads at once: the last one out lets the collector go on.
    """
    _INSIDE.enter()
    try:
        yield
    finally:
        _INSIDE.leave()
