"""A Floor before its desk is there: it keeps what is pressed, and shows STOP."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events

if TYPE_CHECKING:
    from collections import deque
    from collections.abc import Iterator

    from judgekit.desk import Coming

Typed = events.Key | events.Paste
# The key's name, its event, and when it was on the boot clock.
Pressed = tuple[str, Typed, int]


class Early:
    """What stands on a Floor while its log is read.

    `percent` of it is read; `stopped` once STOP was pressed.
    """

    def __init__(self, coming: Coming) -> None:
        self.percent = 0
        self.stopped = False
        self._coming = coming

    def keep(self, pressed: Pressed, *, stops: bool) -> None:
        """Keep what was pressed until the desk is there."""
        self._coming.kept.append(pressed)
        self.stopped = self.stopped or stops

    def kept(self) -> Iterator[Pressed]:
        """What was kept, in order, each once."""
        kept: deque[Pressed] = self._coming.kept
        while kept:
            yield kept.popleft()

    @property
    def many(self) -> int:
        """How many keys are kept."""
        return len(self._coming.kept)
