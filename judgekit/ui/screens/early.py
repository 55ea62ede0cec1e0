"""A Floor before its desk is there: it keeps what is pressed, and shows STOP."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events

from judgekit.ui.views.early import early_view

if TYPE_CHECKING:
    from collections import deque
    from collections.abc import Iterator

    from judgekit.desk import Coming
    from judgekit.ui.views.floor import FloorView

Typed = events.Key | events.Paste
# The key's name, its event, and when it was on the boot clock.
Pressed = tuple[str, Typed, int]


class Early:
    """What stands on a Floor while its log is read. `percent` of it is read."""

    def __init__(self, coming: Coming, number: int) -> None:
        self.percent = 0
        self._coming = coming
        self._lane = coming.lane(number)
        self._stopped = False

    def keep(self, pressed: Pressed, *, stops: bool) -> None:
        """Keep what was pressed until the desk is there."""
        self._coming.kept.append(pressed)
        self._stopped = self._stopped or stops

    def kept(self) -> Iterator[Pressed]:
        """What was kept, in order, each once."""
        kept: deque[Pressed] = self._coming.kept
        while kept:
            yield kept.popleft()

    def view(self) -> FloorView:
        """The Floor by now."""
        return early_view(
            self._lane,
            percent=self.percent,
            kept=len(self._coming.kept),
            stopped=self._stopped,
            second=self._coming.second,
        )
