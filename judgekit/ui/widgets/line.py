"""Text of fixed size, mostly one line, updated in place."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from judgekit.ui.text import plain


class Line(Static, can_focus=False):
    """Shows the text it is given; an unchanged text costs nothing."""

    def __init__(self, *, id: str) -> None:
        super().__init__("", id=id, markup=False)
        self._shown = ""

    @property
    def shown(self) -> str:
        """The text it was given last."""
        return self._shown

    def show(self, *texts: str, layout: bool = False) -> None:
        """Show other texts, a line each; a new layout only where the height changes."""
        text = "\n".join(texts)
        if text != self._shown:
            self._shown = text
            self.update(Content("\n").join(map(plain, texts)), layout=layout)
