"""A widget that is rows of text, of which only what changed is drawn anew."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from judgekit.ui.theme import COLOURS
from judgekit.ui.widgets.row import difference

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.ui.widgets.row import Row, Tone

Ground = Literal["usual", "no-rep", "stopped"]

# Text colour, the colour behind it, and whether it is bold. What must not be missed
# is drawn reversed, so that a terminal without any colour shows it too.
_USUAL: Mapping[Tone, tuple[str, str, str]] = {
    "text": ("text", "ground", ""),
    "bold": ("text", "ground", "bold"),
    "soft": ("soft", "ground", ""),
    "key": ("blue", "ground", "bold"),
    "head": ("orange", "ground", "bold"),
    "notice": ("orange", "ground", ""),
    "ask": ("blue", "ink", "bold reverse"),
    "alarm": ("orange", "ink", "bold reverse"),
    "tell": ("soft", "ground", "bold"),
    "waiting": ("orange", "ink", "bold reverse"),
    "pad": ("text", "pad", "bold"),
    "pad good": ("blue", "ink", "bold reverse"),
    "pad ask": ("paper", "ink", "bold reverse"),
    "pad call": ("orange", "pad", "bold"),
    "pad stop": ("orange", "ink", "bold reverse"),
    "edge": ("pad", "ground", ""),
    "edge good": ("blue", "ground", ""),
    "edge ask": ("paper", "ground", ""),
    "edge call": ("pad", "ground", ""),
    "edge stop": ("orange", "ground", ""),
}
_TURNED: Mapping[Ground, str] = {"no-rep": "orange", "stopped": "paper"}


@lru_cache(maxsize=64)
def style_of(tone: Tone, ground: Ground) -> Style:
    """How a tone is drawn on a ground; one that is turned over has two colours."""
    front, back, more = _USUAL[tone]
    behind = _TURNED.get(ground)
    if behind is not None:
        warns = "reverse" in more
        front, back = ("paper", "ink") if warns else (behind, "ink")
        more = "bold" if warns else f"{more} reverse"
    written = f"{more} {COLOURS[front]} on {COLOURS[back]}"
    return Style.parse(written.strip())


class Painted(Widget, can_focus=False):
    """Shows the rows it is given and asks nothing."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self._rows: tuple[Row, ...] = ()
        self._ground: Ground = "usual"

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows that are drawn."""
        return self._rows

    @property
    def ground(self) -> Ground:
        """Whether the screen is turned over, and why."""
        return self._ground

    def render_line(self, y: int) -> Strip:
        row = self._rows[y] if y < len(self._rows) else ()
        parts = [Segment(text, style_of(tone, self._ground)) for text, tone in row]
        rest = style_of("text", self._ground)
        return Strip(parts).adjust_cell_length(self.size.width, rest)

    def put(self, rows: tuple[Row, ...], ground: Ground = "usual") -> None:
        """Other rows, on that ground."""
        before, self._rows = self._rows, rows
        turned = ground != self._ground
        self._ground = ground
        if turned or len(before) != len(rows):
            self.refresh()
            return
        changed = [
            Region(found[0], y, found[1] - found[0], 1)
            for y, found in enumerate(map(difference, before, rows))
            if found is not None
        ]
        if changed:
            self.refresh(*changed)
