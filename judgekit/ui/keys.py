"""One name for each key, whatever the terminal, its locks and its layout call it."""

from __future__ import annotations

import unicodedata

# A key whose bytes mean nothing to us, see `judgekit.ui.compat`.
UNREADABLE = "unreadable"

# Why a key that has no meaning at all is in the log.
DEAD = "does nothing"

_LOCKS = frozenset({"caps_lock", "num_lock", "scroll_lock"})
_MODIFIERS = ("shift", "control", "alt", "super", "hyper", "meta")
_SAME = {
    "ctrl+@": "space",
    "ctrl+at": "space",
    "ctrl+space": "space",
    "no_break_space": "space",
    "narrow_no_break_space": "space",
    "ideographic_space": "space",
    "ctrl+h": "backspace",
    "ctrl+m": "enter",
    "ctrl+j": "enter",
    "newline": "enter",
    "return": "enter",
    "ctrl+i": "tab",
    "add": "+",
    "plus": "+",
    "subtract": "-",
    "minus": "-",
    "multiply": "*",
    "divide": "/",
    "slash": "/",
    "decimal": ".",
    "separator": ",",
    "equal": "=",
    "at": "@",
}
_HARMLESS = frozenset({"shift", "alt"})


def name_of(key: str, character: str | None = None) -> str | None:
    """The one name of a key press, or None where only a modifier was pressed.

    Letters are folded, so Caps Lock and Shift change nothing; Alt is what a quick
    Escape before a letter looks like, so it changes nothing either. Digits of other
    scripts are digits; a letter of another layout is itself (see `latin_of`).
    """
    if _is_modifier(key):
        return None
    if key in _SAME:
        return _SAME[key]
    *modifiers, base = key.split("+") if len(key) > 1 else (key,)
    if not set(modifiers) <= _HARMLESS:
        return key.lower()
    if base in _SAME:
        return _SAME[base]
    if character is not None and len(character) == 1 and character.isprintable():
        return _by_character(character)
    if len(base) > 1:
        return _by_unicode_name(base)
    return _by_character(base) if base.isprintable() else UNREADABLE


def _is_modifier(key: str) -> bool:
    key = key.rpartition("+")[2]
    side, _, which = key.partition("_")
    if side in ("left", "right") and which in _MODIFIERS:
        return True
    return key in _LOCKS or key.startswith("iso_level")


def _by_character(character: str) -> str:
    if character.isdecimal():
        return str(unicodedata.decimal(character))
    if unicodedata.combining(character):
        # A dead key's accent alone: drawn by itself it would sit on another letter.
        return unicodedata.name(character, "an accent").lower()
    if unicodedata.east_asian_width(character) == "F":
        character = unicodedata.normalize("NFKC", character)
    if character == " ":
        return "space"
    # Folded, the final sigma would be another key's letter.
    return character if character == "ς" else character.casefold()


# What other layouts have where QWERTY has these; facts of the national layouts. A key
# whose sign is ASCII in both stays itself, such as the Hebrew "/" on Q.
_PLACES = (
    # Russian, with what Ukrainian and Belarusian have in other places.
    ("йцукенгшщзфывапролдячсмитьбю", "qwertyuiopasdfghjklzxcvbnm,."),
    ("іў", "so"),
    # Greek.
    ("ςερτυθιοπασδφγηξκλζχψωβνμ", "wertyuiopasdfghjklzxcvbnm"),
    # Hebrew; Arabic.
    ("קראטוןםפשדגכעיחלךזסבהנמצתץ", "ertyuiopasdfghjklzxcvbnm,."),
    ("ضصثقفغعهخحشسيبلاتنمئءؤرىةو؟", "qwertyuiopasdfghjklzxcvnm,?"),
)
_LATIN = {
    there: here
    for row, qwerty in _PLACES
    for there, here in zip(row, qwerty, strict=True)
}


def latin_of(key: str) -> str | None:
    """The QWERTY sign on the key of another script's letter, by its name; or None.

    The layout itself cannot be asked for: no terminal says which one is on.
    """
    return _LATIN.get(key)


def _by_unicode_name(base: str) -> str:
    try:
        character = unicodedata.lookup(base.replace("_", " ").upper())
    except KeyError:
        return base.lower()
    # Escape and its like are characters too, but no signs.
    return _by_character(character) if character.isprintable() else base.lower()


def dead_key(key: str, where: str) -> str:
    """What to say of a key that does nothing there."""
    if key == UNREADABLE:
        return "The terminal sent a key that cannot be read: it does nothing."
    return f"{key} {DEAD} {where}."
