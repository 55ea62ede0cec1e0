"""Figures and words in block letters, as large as the widget is."""

from __future__ import annotations

from textual.content import Content
from textual.widget import Widget

from judgekit.ui.glyphs import stacked
from judgekit.ui.text import plain

_GAP = 2


class Block(Widget, can_focus=False):
    """Draws texts below each other in block letters, and small lines beside them."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self._texts: tuple[str, ...] = ()
        self._beside: tuple[str, ...] = ()

    @property
    def shown(self) -> tuple[str, ...]:
        """The texts it was given last."""
        return self._texts

    def show(self, texts: tuple[str, ...], beside: tuple[str, ...] = ()) -> None:
        """Show other texts, each as large as fits."""
        if (texts, beside) != (self._texts, self._beside):
            self._texts, self._beside = texts, beside
            self.refresh(layout=False)

    def _room(self) -> int:
        """The columns kept for the words beside: those of the first one."""
        return len(self._beside[0]) + 1 if self._beside else 0

    def render(self) -> Content:
        columns, rows = self.size
        lines = stacked(self._texts, columns - self._room(), rows)[:rows]
        wide = max((len(line) for line in lines), default=0)
        from_row = max(0, (len(lines) - len(self._beside)) // 2)
        for number, words in enumerate(self._beside, from_row):
            if number < len(lines):
                gap = _GAP if wide + _GAP + len(words) <= columns else 1
                lines[number] = f"{lines[number]:{wide + gap}}{words}"
        return Content("\n").join(plain(line) for line in lines)
