"""One row of a screen as plain facts: texts of exact width, each in a tone.

No colour in here and no Textual: what a tone looks like is the theme's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.ui.text import cut, safe, width_of

if TYPE_CHECKING:
    from collections.abc import Iterable

Tone = Literal[
    "text",
    "bold",
    "soft",
    "key",
    "head",
    "notice",
    "ask",
    "alarm",
    "tell",
    "waiting",
    "pad",
    "pad good",
    "pad ask",
    "pad call",
    "pad stop",
    "edge",
    "edge good",
    "edge ask",
    "edge call",
    "edge stop",
]
Run = tuple[str, Tone]
Row = tuple[Run, ...]


def fit(text: str, columns: int, *, right: bool = False) -> str:
    """The text in exactly so many cells, cut with a sign or filled with blanks."""
    text = safe(text)
    wide = width_of(text)
    if wide > columns:
        text = cut(text, columns) if columns > 0 else ""
        wide = width_of(text)
    blanks = " " * (columns - wide)
    return blanks + text if right else text + blanks


def run(text: str, tone: Tone, columns: int, *, right: bool = False) -> Run:
    """A text of one tone in exactly so many cells."""
    return fit(text, columns, right=right), tone


def filled(runs: Iterable[Run], columns: int) -> Row:
    """The runs side by side in exactly so many cells."""
    row: list[Run] = []
    left = columns
    for given, tone in runs:
        text = safe(given)
        wide = width_of(text)
        if wide > left:
            text, wide = fit(text, left), left
        if wide:
            row.append((text, tone))
        left -= wide
    if left:
        row.append((" " * left, "text"))
    return tuple(row)


def written(row: Row) -> str:
    """The row's text without its tones."""
    return "".join(text for text, _ in row)


def difference(old: Row, new: Row) -> tuple[int, int] | None:
    """From which cell on, and before which, two rows of one width differ, by runs."""
    if old == new:
        return None
    many = min(len(old), len(new))
    first = next((n for n in range(many) if old[n] != new[n]), many)
    rest = range(many - first)
    behind = next((n for n in rest if old[-1 - n] != new[-1 - n]), len(rest))
    start = width_of(written(new[:first]))
    return start, start + width_of(written(new[first : len(new) - behind]))
