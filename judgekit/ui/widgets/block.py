"""Figures and words in block letters, as large as the widget is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from judgekit.ui.glyphs import stacked
from judgekit.ui.text import plain, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events

_GAP = 2
_BESIDE_LINES = 3


class Block(Widget, can_focus=False):
    """Draws texts below each other in block letters, and small lines beside them.

    A digit that changes repaints its own cells and no more.
    """

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self._texts: tuple[str, ...] = ()
        self._beside: tuple[str, ...] = ()
        self._lines: list[str] = []

    @property
    def shown(self) -> tuple[str, ...]:
        """The texts it was given last."""
        return self._texts

    def show(self, texts: tuple[str, ...], beside: tuple[str, ...] = ()) -> None:
        """Show other texts, each as large as fits."""
        if (texts, beside) != (self._texts, self._beside):
            self._texts, self._beside = texts, beside
            before, self._lines = self._lines, self._laid()
            self.refresh(_changed(before, self._lines, self.size.width))

    def on_resize(self, event: events.Resize) -> None:
        self._lines = self._laid()
        self.refresh()

    def render_line(self, y: int) -> Strip:
        style = self.visual_style.rich_style
        text = self._lines[y] if y < len(self._lines) else ""
        return Strip([Segment(text, style)]).adjust_cell_length(self.size.width, style)

    def _laid(self) -> list[str]:
        columns, rows = self.size
        room = len(self._beside[0]) + 1 if self._beside else 0
        lines = stacked(self._texts, columns - room, rows)[:rows]
        wide = max((len(line) for line in lines), default=0)
        beside = self._wrapped(columns - wide - 1)
        first = max(0, (len(lines) - len(beside)) // 2)
        longest = max((len(words) for words in beside), default=0)
        gap = _GAP if wide + _GAP + longest <= columns else 1
        for number, words in enumerate(beside[: len(lines)], first):
            if number < len(lines):
                lines[number] = f"{lines[number]:{wide + gap}}{words}"
        if self.styles.text_align == "right":
            lines = [f"{line:>{columns}}" for line in lines]
        return [plain(line).plain for line in lines]

    def _wrapped(self, room: int) -> list[str]:
        """What stands beside, in lines that end before the next column begins."""
        return [
            line
            for words in self._beside
            for line in wrapped(words, max(1, room - 1), _BESIDE_LINES)
        ]


def _changed(before: Sequence[str], after: Sequence[str], columns: int) -> Region:
    """From the first to the last row that differs, and from the first such column on.

    Wide letters only push text to the right, so a place in characters is never
    right of its cell.
    """
    rows = max(len(before), len(after))
    pairs = [
        (_row(before, y).ljust(columns), _row(after, y).ljust(columns))
        for y in range(rows)
    ]
    changed = [y for y, (old, new) in enumerate(pairs) if old != new]
    if not changed:
        return Region(0, 0, columns, 1)
    firsts = [
        next(x for x, (a, b) in enumerate(zip(*pairs[y], strict=False)) if a != b)
        for y in changed
    ]
    left = min(firsts)
    top, bottom = changed[0], changed[-1]
    return Region(left, top, columns - left, bottom - top + 1)


def _row(lines: Sequence[str], y: int) -> str:
    return lines[y] if y < len(lines) else ""
