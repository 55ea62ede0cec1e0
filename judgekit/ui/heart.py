"""A heartbeat in the screen's event loop: it notices that the loop stood still."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from asyncio import AbstractEventLoop
    from collections.abc import Callable

BEAT_S = 0.1
STALL_S = 0.25
# Laying out the first screen takes longer than a beat, and is no stall.
FIRST_S = 2.0


class Heart:
    """Beats ten times a second; `stalled` is told by how many ms a beat came late."""

    def __init__(
        self,
        loop: AbstractEventLoop,
        stalled: Callable[[int], None],
        now: Callable[[], float] = monotonic,
    ) -> None:
        self._loop = loop
        self._stalled = stalled
        self._now = now
        self._due = 0.0

    def start(self) -> None:
        """Begin to beat, once the first screen stands."""
        self._next(FIRST_S)

    def beat(self) -> None:
        """One beat, and the next one ordered."""
        late = self._now() - self._due
        self._next(BEAT_S)
        if late > STALL_S:
            self._stalled(round(late * 1000))

    def _next(self, after_s: float) -> None:
        self._due = self._now() + after_s
        self._loop.call_later(after_s, self.beat)
