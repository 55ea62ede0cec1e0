"""How names made of numbers and letters are put in order."""

from __future__ import annotations

import re

_CHUNK = re.compile(r"[0-9]+|[^0-9]+")


def bib_order(bib: str) -> tuple[tuple[tuple[int, int, str], ...], str]:
    """A sort key: runs of digits by their number, then the text itself: 2, 007, 10."""
    chunks = []
    for chunk in _CHUNK.findall(bib.casefold()):
        digits = chunk.lstrip("0") if chunk[0] in "0123456789" else None
        chunks.append((1, 0, chunk) if digits is None else (0, len(digits), digits))
    return tuple(chunks), bib
