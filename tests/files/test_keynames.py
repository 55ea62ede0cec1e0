"""The key names that a coach may write are those that a press arrives under."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.files.cleaning import clean
from judgekit.files.keynames import KEY_NAMES, advice, is_key
from judgekit.ui.compat import KeyParser
from judgekit.ui.keys import name_of
from tests.key_rows import DEAD


@pytest.mark.parametrize("name", KEY_NAMES)
def test_each_named_key_is_one_that_some_terminal_sends(name: str) -> None:
    sent = [row for row in DEAD if row.keys == (name,)]
    assert any(row.kitty is not None for row in sent)
    assert name_of(name) == name


@pytest.mark.parametrize(
    ("name", "known"),
    [
        *(("PageUp", True), ("F5", True), ("ä", True), ("ß", True), ("+", True)),
        *(("tab", True), ("f24", True), ("à", True), ("д", True), ("²", True)),
        *(("page up", False), ("f25", False), ("ab", False), ("", False)),
        *(("escape", False), ("ctrl+d", False), ("left_shift", False)),
        *(("\u0301", False), ("\u0663", False), ("\uff44", False), ("ς", False)),
        *(("\x1b", False), ("\u200b", False)),
    ],
)
def test_a_key_is_one_sign_or_a_known_name(name: str, known: bool) -> None:
    assert is_key(name) == known


def test_what_is_no_key_gets_words_on_what_would_be_one() -> None:
    right = 'one letter or sign, or a name such as "pagedown", "up" or "f5"'
    assert [advice(name) for name in ("pagdown", "ctrl+d", "\u0663")] == [
        'did you mean "pagedown"?',
        f"write {right}",
        f"no press arrives as this sign; write {right}",
    ]


@given(st.characters(exclude_categories=["Cs", "Cc", "Zs", "Zl", "Zp", "Cn"]))
def test_a_sign_is_a_key_just_if_a_press_arrives_under_it(sign: str) -> None:
    written = clean(sign)
    [event] = KeyParser().feed(sign)
    arrives = name_of(event.key, event.character)  # type: ignore[attr-defined]
    if written == sign == unicodedata.normalize("NFC", sign):
        assert is_key(sign) == (arrives == sign.casefold())
