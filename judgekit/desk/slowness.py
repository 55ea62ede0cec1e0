"""A disk that does not answer: seen from outside, while the desk waits for it."""

from __future__ import annotations

import threading
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

from judgekit.desk.news import News, Saved, Slow

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

SLOW_S = 0.5
_LOOK_S = 0.25


class SlowWatch:
    """Tells of an append that takes longer than half a second, and of its end.

    `waiting` counts the presses in the queue; the one in hand waits too. Looking
    costs the desk's own thread nothing but two looks at a clock for each append.
    """

    def __init__(
        self,
        *,
        tell: Callable[[News], None],
        waiting: Callable[[], int],
        now: Callable[[], float] = time.monotonic,
    ) -> None:
        self._tell = tell
        self._waiting = waiting
        self._now = now
        self._since: float | None = None
        self._told: Slow | None = None
        # Telling is done under it: the end is never told before the beginning.
        self._lock = threading.Lock()
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    @contextmanager
    def watched(self) -> Iterator[None]:
        """Around one append."""
        self._since = self._now()
        try:
            yield
        finally:
            with self._lock:
                self._since = None
                told, self._told = self._told, None
                if told is not None:
                    self._tell(Saved())

    @property
    def ms(self) -> int:
        """For how long the disk has not answered; 0 if nothing is being saved."""
        since = self._since
        return 0 if since is None else round((self._now() - since) * 1000)

    def look(self) -> None:
        """Tell of an append that takes long; again when a second or a press is new."""
        with self._lock:
            ms = self.ms
            if ms < SLOW_S * 1000:
                return
            seconds = ms // 1000 * 1000
            slow = Slow(waiting=self._waiting() + 1, ms=max(seconds, 500))
            if slow != self._told:
                self._told = slow
                self._tell(slow)

    def start(self) -> None:
        """Look four times a second, in a thread of its own."""
        self._thread = threading.Thread(target=self._run, name="slow disk", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Stop looking. Safe to call twice."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join()
            self._thread = None

    def _run(self) -> None:
        while not self._stop.wait(_LOOK_S):
            self.look()
