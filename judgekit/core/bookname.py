"""How the name of a book begins: with the heat and the lane that it is about."""

from __future__ import annotations

import re
import unicodedata

NOT_SLUG = re.compile(r"[^a-z0-9]+")
_LONGEST = 24


def slug(name: str) -> str:
    """A heat's name as it stands in names of files."""
    plain = unicodedata.normalize("NFKD", name).casefold()
    return NOT_SLUG.sub("-", plain).strip("-")[:_LONGEST].strip("-") or "heat"


def transcribed_start(heat: str, lane: int) -> str:
    """What the book of every tally of a lane begins with, and no desk's."""
    return f"{slug(heat)}_l{lane}_run"
