"""Text on its way to a widget: never markup, never anything that acts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from judgekit.files.cleaning import clean

if TYPE_CHECKING:
    from collections.abc import Iterable


def plain(text: str) -> Content:
    """One line exactly as written; what cannot be shown is cleaned away once more."""
    return Content(text if text.isprintable() else clean(text, limit=1000))


def styled(text: str, style: str) -> Content:
    """The same, in a style of our own such as "bold $blue"."""
    return plain(text).stylize(style)


def cut(text: str, columns: int) -> str:
    """The text, or as much as fits with a sign that there is more."""
    content = plain(text)
    if content.cell_length <= columns:
        return text
    return f"{content.truncate(max(1, columns - 1)).plain.rstrip()}…"


def wrapped(text: str, columns: int, lines: int, taken: int = 0) -> list[str]:
    """At most so many lines, broken between words; the last one cut if need be.

    The first `taken` columns of the first line are something else's.
    """
    words = text.split()
    out = [""]
    for number, word in enumerate(words):
        room = columns - (taken if len(out) == 1 else 0)
        longer = f"{out[-1]} {word}".strip()
        if plain(longer).cell_length <= room:
            out[-1] = longer
        elif len(out) < lines and (out[-1] or taken):
            out.append(word)
        else:
            rest = " ".join(words[number:])
            out[-1] = cut(f"{out[-1]} {rest}".strip(), room)
            break
    return out


def packed(tokens: Iterable[str], columns: int) -> list[str]:
    """The tokens side by side, two blanks apart, in as many lines as they take."""
    lines: list[str] = []
    for token in tokens:
        longer = f"{lines[-1]}  {token}" if lines else token
        if lines and plain(longer).cell_length <= columns:
            lines[-1] = longer
        else:
            lines.append(cut(token, columns))
    return lines
