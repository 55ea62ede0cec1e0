"""Everything seen on a Floor, drawn by one widget: a key repaints what it changed.

One widget of rows costs a fifth of what twenty small ones do with each key.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, TypeVar

from judgekit.ui.text import wrapped
from judgekit.ui.views.floor import FloorView
from judgekit.ui.widgets.laying import Over, face_rows
from judgekit.ui.widgets.painted import Painted
from judgekit.ui.widgets.row import filled, fit

if TYPE_CHECKING:
    from textual import events

    from judgekit.ui.widgets.painted import Ground
    from judgekit.ui.widgets.row import Row

View = TypeVar("View")


class AnyFace(Painted, Generic[View], can_focus=False):
    """Shows what it is given and asks nothing."""

    def __init__(self) -> None:
        super().__init__(id="face")
        self._given: tuple[View, Over] | None = None

    @property
    def given(self) -> tuple[View, Over]:
        """What it shows, as it was given last."""
        assert self._given is not None  # noqa: S101 - asked of a screen that is drawn
        return self._given

    def show(self, view: View, over: Over) -> None:
        """Show a view, and what stands over it."""
        if (view, over) == self._given:
            return
        self._given = view, over
        self._draw(self._ground_of(view, over))

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
            self.put(self._laid(view, over), ground)

    def _ground_of(self, view: View, over: Over) -> Ground:
        """Whether the whole screen is turned over, and why."""
        raise NotImplementedError

    def _laid(self, view: View, over: Over) -> tuple[Row, ...]:
        raise NotImplementedError


class Face(AnyFace[FloorView], can_focus=False):
    """The Floor of one lane."""

    def _ground_of(self, view: FloorView, over: Over) -> Ground:
        if over.flash:
            return "no-rep"
        return "stopped" if view.phase == "stopped" else "usual"

    def _laid(self, view: FloorView, over: Over) -> tuple[Row, ...]:
        return face_rows(view, over, *self.size)
