"""Everything seen on the Floor, drawn by one widget: a key repaints what it changed.

One widget of rows costs a fifth of what twenty small ones do with each key.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.text import wrapped
from judgekit.ui.widgets.laying import Over, face_rows
from judgekit.ui.widgets.painted import Painted
from judgekit.ui.widgets.row import filled, fit

if TYPE_CHECKING:
    from textual import events

    from judgekit.ui.views.floor import FloorView
    from judgekit.ui.widgets.painted import Ground


class Face(Painted, can_focus=False):
    """Shows what it is given and asks nothing."""

    def __init__(self) -> None:
        super().__init__(id="face")
        self._given: tuple[FloorView, Over] | None = None

    @property
    def given(self) -> tuple[FloorView, Over]:
        """What it shows, as it was given last."""
        assert self._given is not None  # noqa: S101 - asked of a screen that is drawn
        return self._given

    def show(self, view: FloorView, over: Over) -> None:
        """Show a view, and what stands over it."""
        if (view, over) == self._given:
            return
        self._given = view, over
        ground: Ground = "stopped" if view.phase == "stopped" else "usual"
        self._draw("no-rep" if over.flash else ground)

    def alarm(self, words: str) -> None:
        """Words over whatever is drawn, when a view of it cannot be made."""
        columns, rows = self.size
        lines = [
            filled([(fit(line, columns), "alarm")], columns)
            for line in wrapped(words, columns, max(1, rows))
        ]
        self._given = None
        kept = self._rows[: max(0, rows - len(lines))]
        self.put((*kept, *lines), self._ground)

    def on_resize(self, event: events.Resize) -> None:
        if self._given is not None:
            self._draw(self._ground)
        self.refresh()

    def _draw(self, ground: Ground) -> None:
        if self._given is not None and self.size.area:
            view, over = self._given
            self.put(face_rows(view, over, *self.size), ground)
