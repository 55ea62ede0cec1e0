"""Names as people type them: which are alike, and in which order they stand."""

from __future__ import annotations

import unicodedata

# Marks over and under letters; those below are part of letters in other scripts.
_MARKS_FROM = 200
# Letters that carry their stroke or tail within.
_WHOLE = str.maketrans(
    {
        "ø": "o",
        "ł": "l",
        "đ": "d",
        "ð": "d",
        "þ": "th",
        "æ": "ae",
        "œ": "oe",
        "\u0131": "i",
    }
)


def plain(name: str) -> str:
    """A name without accents, case and odd spaces: "Émile  Roux" is "emile roux"."""
    parted = unicodedata.normalize("NFKD", name.casefold())
    bare = "".join(c for c in parted if unicodedata.combining(c) < _MARKS_FROM)
    composed = unicodedata.normalize("NFC", bare.translate(_WHOLE)).casefold()
    return " ".join(composed.split())


def name_order(name: str) -> tuple[str, str]:
    """A sort key: É stands with E; names alike in all but accents by those."""
    return plain(name), name
