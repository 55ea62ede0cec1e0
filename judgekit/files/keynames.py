"""What an event may call a key: a letter or sign, or one of the names here."""

from __future__ import annotations

from judgekit.core.card import RESERVED_KEYS
from judgekit.files.wording import nearest, quoted

# Escape closes dialogs, and a terminal keeps Ctrl with a letter for itself.
KEY_NAMES = (
    *("pageup", "pagedown", "home", "end", "insert", "delete"),
    *("up", "down", "left", "right"),
    *(f"f{number}" for number in range(1, 13)),
)


def is_key(name: str) -> bool:
    """Whether there is such a key, be it taken or not; capitals change nothing."""
    key = name.casefold()
    return len(name) == 1 or key in KEY_NAMES or key in RESERVED_KEYS


def advice(name: str) -> str:
    """What to write instead of something that is no key."""
    near = nearest(name, KEY_NAMES)
    if near:
        return f"did you mean {quoted(near)}?"
    return 'write one letter or sign, or a name such as "pagedown", "up" or "f5"'
