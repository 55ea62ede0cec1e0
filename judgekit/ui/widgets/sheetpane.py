"""A scorecard's text, as much of it as fits, moved by keys that answer nothing."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from judgekit.ui.text import plain, styled
from judgekit.ui.views.sheet import more_words

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from judgekit.ui.views.sheet import Kind, SheetLine

_STYLES: dict[Kind, str] = {
    "head": "bold",
    "score": "bold $blue",
    "plain": "",
    "soft": "$soft",
    "ask": "bold $orange",
    "code": "",
}
# How far each key moves the text: rows, and pages.
_MOVES: dict[str, tuple[float, int]] = {
    "down": (1, 0),
    "up": (-1, 0),
    "pagedown": (0, 1),
    "space": (0, 1),
    "pageup": (0, -1),
    "home": (-inf, 0),
    "end": (inf, 0),
}


class SheetPane(VerticalScroll, can_focus=False):
    """One text that is scrolled as a whole."""

    class Laid(Message):
        """It has another size."""

    def on_resize(self) -> None:
        self.post_message(self.Laid())

    def compose(self) -> ComposeResult:
        yield Static(id="card", markup=False)

    def put(self, lines: tuple[SheetLine, ...]) -> None:
        """The whole text anew."""
        content = Content("\n").join(_drawn(line) for line in lines)
        self.query_one("#card", Static).update(content)

    def moves(self, key: str) -> bool:
        """Whether a key moves the text; then it does, after those before it."""
        if key not in _MOVES:
            return False
        # Once the text is laid out; of several keys that come at once each goes on from
        # where the one before has left it.
        self.call_after_refresh(self._move, key)
        return True

    def _move(self, key: str) -> None:
        rows, pages = _MOVES[key]
        page = self.scrollable_content_region.height
        to = self.scroll_y + rows + pages * page
        self.scroll_to(y=to, animate=False, immediate=True)

    @property
    def more(self) -> str:
        """What of the text is not on the screen, in words."""
        at, most = self.scroll_y, self.max_scroll_y
        return more_words(above=at > 0, below=at < most)

    def more_of(self, rows: int) -> str:
        """The same of a text of so many rows, which need not be laid out yet.

        For whoever gives the words a row of their own: how far one can scroll follows
        only after the pane's height, so that each of them would change the other.
        """
        at, room = self.scroll_y, self.scrollable_content_region.height
        return more_words(above=at > 0, below=at + room < rows)


# Whatever the theme, a camera reads dark squares on light ones. Where both halves of a
# cell are alike it is all background: letters may leave a gap between two lines.
_SQUARES = {
    " ": (" ", "on #ffffff"),
    "█": (" ", "on #000000"),
    "▀": ("▀", "#000000 on #ffffff"),
    "▄": ("▀", "#ffffff on #000000"),
}


def _drawn(line: SheetLine) -> Content:
    if line.kind == "code":
        return Content.assemble(*map(_SQUARES.__getitem__, line.text))
    style = _STYLES[line.kind]
    return styled(line.text, style) if style else plain(line.text)
