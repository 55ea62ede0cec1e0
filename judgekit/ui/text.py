"""Text on its way to a widget: never markup, never anything that acts."""

from __future__ import annotations

from textual.content import Content

from judgekit.files.cleaning import clean


def plain(text: str) -> Content:
    """One line exactly as written; what cannot be shown is cleaned away once more."""
    return Content(text if text.isprintable() else clean(text, limit=1000))


def styled(text: str, style: str) -> Content:
    """The same, in a style of our own such as "bold $blue"."""
    return plain(text).stylize(style)
