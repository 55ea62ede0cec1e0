"""The disk under a heat: looked at before go and each minute, told in one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.store import disk

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

MEGABYTE = 1_000_000
# A heat takes a few megabytes; below the first it is said, below the second no go.
LOW_BYTES = 200 * MEGABYTE
LEAST_BYTES = 10 * MEGABYTE
# A count is shown once it is saved; up to this nobody sees the wait.
SLOW_MS = 20
_EACH_MS = 60_000


class Room:
    """How much room the log's disk has, and how long it takes to save."""

    def __init__(
        self,
        folder: Path,
        *,
        free: Callable[[Path], int] = disk.free_bytes,
        save_ms: Callable[[Path], int] = disk.save_ms,
    ) -> None:
        self._folder = folder
        self._free = free
        self._save_ms = save_ms
        self._looked_ms: int | None = None
        self._was_low = False

    def at_opening(self, now_ms: int) -> tuple[str, ...]:
        """What the judge should know before the heat. It writes to the disk."""
        told = [self.look(now_ms)]
        try:
            took = self._save_ms(self._folder)
        except OSError as error:
            told.append(f"The disk cannot be tried: {error.strerror}.")
        else:
            if took > SLOW_MS:
                told.append(
                    f"This disk takes {took} ms to save; counts show that much later."
                )
        return tuple(words for words in told if words)

    def look(self, now_ms: int) -> str:
        """What is new about the room, at most each minute; empty for nothing."""
        if self._looked_ms is not None and now_ms - self._looked_ms < _EACH_MS:
            return ""
        self._looked_ms = now_ms
        free = self._bytes()
        low = free is not None and free < LOW_BYTES
        new, self._was_low = low and not self._was_low, low
        return f"Only {_megabytes(free)} are free on this disk: make room." * new

    def refusal(self) -> str:
        """Why there can be no go, as things are now; empty if there can."""
        free = self._bytes()
        if free is None or free >= LEAST_BYTES:
            return ""
        return (
            f"No go: only {_megabytes(free)} are free on this disk. Make room "
            f"({_megabytes(LEAST_BYTES)} at least), then g again."
        )

    def _bytes(self) -> int | None:
        try:
            return self._free(self._folder)
        except OSError:
            # A folder that is gone is made again by the log, which says so.
            return None


def _megabytes(free: int | None) -> str:
    return f"{(free or 0) / MEGABYTE:.0f} MB"
