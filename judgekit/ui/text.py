"""Text on its way to a widget: never markup, never anything that acts."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from rich.cells import cell_len, set_cell_size
from textual.content import Content

from judgekit.files.cleaning import clean

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


def safe(text: str) -> str:
    """One line exactly as written; what cannot be shown is cleaned away once more."""
    if text.isprintable():
        return text
    # Word by word: the blanks that part and fill columns stay as they are.
    blanks = re.sub(r"\s", " ", text)
    return re.sub(r"\S+", lambda word: clean(word[0], limit=1000), blanks)


def width_of(text: str) -> int:
    """How many cells of a terminal the text takes."""
    return len(text) if text.isascii() else cell_len(text)


def plain(text: str) -> Content:
    """The same for a widget of Textual's: never markup."""
    return Content(safe(text))


def styled(text: str, style: str) -> Content:
    """The same, in a style of our own such as "bold $blue"."""
    return plain(text).stylize(style)


def cut(text: str, columns: int) -> str:
    """The text, or as much as fits with a sign that there is more."""
    text = safe(text)
    if width_of(text) <= columns:
        return text
    return f"{safe(set_cell_size(text, max(0, columns - 1))).rstrip()}…"


def fitting(ways: Sequence[str], columns: int) -> str:
    """The first way of saying it that fits, else the last one, which is to be cut."""
    return next((way for way in ways if width_of(way) <= columns), ways[-1])


def joined(
    tokens: Iterable[str], columns: int, gap: int = 3, *, in_order: bool = False
) -> str:
    """The tokens side by side, without those that do not fit whole; the first must.

    `in_order` leaves out all that follow one that does not fit.
    """
    line = ""
    for token in tokens:
        longer = f"{line}{' ' * gap}{token}" if line else token
        if not line or width_of(longer) <= columns:
            line = longer
        elif in_order:
            break
    return line


def packed(tokens: Iterable[str], columns: int, gap: int = 2) -> list[str]:
    """The tokens side by side in as many lines as they take; none is broken."""
    lines: list[str] = []
    for token in tokens:
        longer = f"{lines[-1]}{' ' * gap}{token}" if lines else token
        if lines and width_of(longer) <= columns:
            lines[-1] = longer
        else:
            lines.append(token)
    return lines


def wrapped(text: str, columns: int, lines: int, taken: int = 0) -> list[str]:
    """At most so many lines, broken between words; the last one cut if need be.

    The first `taken` columns of the first line are something else's.
    """
    words = safe(text).split()
    out = [""]
    for number, word in enumerate(words):
        room = columns - (taken if len(out) == 1 else 0)
        longer = f"{out[-1]} {word}".strip()
        if width_of(longer) <= room:
            out[-1] = longer
        elif len(out) < lines and (out[-1] or taken):
            out.append(word)
        else:
            rest = " ".join(words[number:])
            out[-1] = cut(f"{out[-1]} {rest}".strip(), room)
            break
    return out
