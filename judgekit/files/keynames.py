"""What an event may call a key: a letter or sign, or one of the names here."""

from __future__ import annotations

import unicodedata

from judgekit.core.card import RESERVED_KEYS
from judgekit.files.wording import nearest, quoted

# Escape closes dialogs, and a terminal keeps Ctrl with a letter for itself. Macro pads
# have more function keys than a keyboard; a remote's media keys reach us only in
# terminals that speak the kitty protocol, and where the system leaves them alone.
KEY_NAMES = (
    *("pageup", "pagedown", "home", "end", "insert", "delete"),
    *("up", "down", "left", "right"),
    *(f"f{number}" for number in range(1, 25)),
    *("raise_volume", "lower_volume", "mute_volume", "media_play_pause"),
    *("media_track_next", "media_track_previous", "media_stop"),
)


def is_key(name: str) -> bool:
    """Whether there is such a key, be it taken or not; capitals change nothing."""
    key = name.casefold()
    return key in KEY_NAMES or key in RESERVED_KEYS or _is_sign(name)


def _is_sign(name: str) -> bool:
    """Whether a press arrives as this sign, and not as another or as none.

    Accents alone, digits of other scripts, wide letters and the sigma at a word's end
    reach the screen as something else (see `judgekit.ui.keys.name_of`).
    """
    if len(name) != 1 or not name.isprintable() or name == "ς":
        return False
    other = unicodedata.combining(name) or unicodedata.east_asian_width(name) == "F"
    return not other and (name.isascii() or not name.isdecimal())


def advice(name: str) -> str:
    """What to write instead of something that is no key."""
    near = nearest(name, KEY_NAMES)
    if near:
        return f"did you mean {quoted(near)}?"
    right = 'one letter or sign, or a name such as "pagedown", "up" or "f5"'
    if len(name) == 1:
        return f"no press arrives as this sign; write {right}"
    return f"write {right}"
