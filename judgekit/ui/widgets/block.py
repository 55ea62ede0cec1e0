"""Figures and words in block letters, as large as their place is."""

from __future__ import annotations

from functools import lru_cache

from judgekit.ui.glyphs import stacked
from judgekit.ui.text import width_of, wrapped

_GAP = 2
_BESIDE_LINES = 3


@lru_cache(maxsize=64)
def block_lines(
    texts: tuple[str, ...], beside: tuple[str, ...], columns: int, rows: int
) -> tuple[str, ...]:
    """The texts below each other in block letters, and small lines beside them."""
    room = width_of(beside[0]) + _GAP if beside else 0
    lines = list(_stacked(texts, columns - room, rows))
    wide = max(map(width_of, lines), default=0)
    small = _wrapped(beside, columns - wide - _GAP)
    first = max(0, (len(lines) - len(small)) // 2)
    for number, words in enumerate(small[: len(lines)], first):
        if number < len(lines):
            blanks = " " * (wide + _GAP - width_of(lines[number]))
            lines[number] += blanks + words
    return tuple(lines)


@lru_cache(maxsize=256)
def _stacked(texts: tuple[str, ...], columns: int, rows: int) -> tuple[str, ...]:
    return tuple(stacked(texts, columns, rows)[:rows])


def _wrapped(beside: tuple[str, ...], room: int) -> list[str]:
    """What stands beside, in lines of at most so many cells."""
    return [
        line for words in beside for line in wrapped(words, max(1, room), _BESIDE_LINES)
    ]
