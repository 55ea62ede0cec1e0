"""One line of text of fixed size, updated in place."""

from __future__ import annotations

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

    def show(self, text: str, *, layout: bool = False) -> None:
        """Show another text; a new layout only where its height may change."""
        if text != self._shown:
            self._shown = text
            self.update(plain(text), layout=layout)
