"""One name for a key on every terminal, under every lock and layout."""

from __future__ import annotations

import pytest

from judgekit.core.card import RESERVED_KEYS
from judgekit.ui.keys import dead_key, latin_of, name_of


@pytest.mark.parametrize(
    ("key", "character", "name"),
    [
        ("space", " ", "space"),
        ("space", None, "space"),
        ("shift+space", " ", "space"),
        ("shift+space", None, "space"),
        ("ctrl+@", None, "space"),
        ("ctrl+space", None, "space"),
        ("alt+space", None, "space"),
        ("d", "d", "d"),
        ("D", "D", "d"),
        ("d", "D", "d"),
        ("shift+d", "D", "d"),
        ("alt+d", None, "d"),
        ("alt+d", "d", "d"),
        ("д", "д", "д"),
        ("Д", "Д", "д"),
        ("question_mark", "?", "?"),
        ("shift+question_mark", "?", "?"),
        ("question_mark", None, "?"),
        ("full_stop", ".", "."),
        ("minus", "-", "-"),
        ("minus", None, "-"),
        ("0", "0", "0"),
        ("enter", "\r", "enter"),
        ("ctrl+m", None, "enter"),
        ("ctrl+j", "\n", "enter"),
        ("shift+enter", None, "enter"),
        ("backspace", "\x7f", "backspace"),
        ("ctrl+h", "\x08", "backspace"),
        ("shift+backspace", None, "backspace"),
        ("add", None, "+"),
        ("plus", "+", "+"),
        ("subtract", None, "-"),
        ("pagedown", None, "pagedown"),
        ("escape", "\x1b", "escape"),
        ("ctrl+q", "\x11", "ctrl+q"),
        ("ctrl+shift+d", None, "ctrl+shift+d"),
        ("f5", None, "f5"),
        ("\u0663", "\u0663", "3"),
        ("\u06f0", "\u06f0", "0"),
        ("²", "²", "²"),
        ("\uff44", "\uff44", "d"),
        ("ideographic_space", "\u3000", "space"),
        ("no_break_space", "\u00a0", "space"),
        ("ς", "ς", "ς"),
        ("Σ", "Σ", "\u03c3"),
        ("combining_acute_accent", "\u0301", "combining acute accent"),
        ("acute_accent", "\u00b4", "\u00b4"),
        ("euro_sign", "€", "€"),
        ("at", "@", "@"),
    ],
)
def test_a_key_has_one_name(key: str, character: str | None, name: str) -> None:
    assert name_of(key, character) == name


@pytest.mark.parametrize(
    ("key", "character"),
    [
        ("left_shift", None),
        ("right_control", None),
        ("left_super", None),
        ("caps_lock", "A"),
        ("num_lock", None),
        ("iso_level3_shift", None),
    ],
)
def test_a_modifier_alone_is_no_key(key: str, character: str | None) -> None:
    assert name_of(key, character) is None


# What stands on the keys of QWERTY's letters in order: national standards' facts.
ROWS = "qwertyuiopasdfghjklzxcvbnm"
LAYOUTS = {
    "Russian": "йцукенгшщзфывапролдячсмить",
    "Ukrainian": "йцукенгшщзфівапролдячсмить",
    "Greek": ";ςερτυθιοπασδφγηξκλζχψωβνμ",
    "Hebrew": "/'קראטוןםפשדגכעיחלךזסבהנמצ",
    "Arabic": "ضصثقفغعهخحشسيبلاتنمئءؤرﻻىة",
}


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_letter_of_another_layout_is_the_latin_one_on_its_key(layout: str) -> None:
    letters = LAYOUTS[layout]
    found = "".join(
        latin_of(name_of(letter, letter) or "") or " " for letter in letters
    )
    # Signs are signs on every layout, and Arabic has two letters on one key.
    none = {"Greek": "q", "Hebrew": "qw", "Arabic": "b"}.get(layout, "")
    assert found == "".join(" " if letter in none else letter for letter in ROWS)


@pytest.mark.parametrize("layout", ["Russian", "Ukrainian", "Greek"])
def test_caps_lock_changes_nothing_in_another_layout(layout: str) -> None:
    letters = LAYOUTS[layout].replace("ς", "")
    for letter in letters:
        assert name_of(letter.upper(), letter.upper()) == name_of(letter, letter)


def test_no_latin_letter_digit_or_sign_is_moved() -> None:
    for key in (*ROWS, *"0123456789", *RESERVED_KEYS, *"äöüßéèàñç;/'[]", "pagedown"):
        assert latin_of(key) is None


def test_a_key_that_cannot_be_read_is_not_named() -> None:
    assert [dead_key("ö", "here"), dead_key("unreadable", "here")] == [
        "ö does nothing here.",
        "The terminal sent a key that cannot be read: it does nothing.",
    ]
