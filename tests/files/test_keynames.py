"""The key names that a coach may write are those that a press arrives under."""

from __future__ import annotations

import pytest
from textual.keys import Keys

from judgekit.files.keynames import KEY_NAMES, is_key
from judgekit.ui.keys import name_of


@pytest.mark.parametrize("name", KEY_NAMES)
def test_each_named_key_is_one_that_the_screen_can_hear(name: str) -> None:
    assert name in {key.value for key in Keys}
    assert name_of(name) == name


@pytest.mark.parametrize(
    ("name", "known"),
    [
        *(("PageUp", True), ("F5", True), ("ä", True), ("ß", True), ("+", True)),
        *(("tab", True), ("page up", False), ("f13", False), ("ab", False)),
    ],
)
def test_a_key_is_one_sign_or_a_known_name(name: str, known: bool) -> None:
    assert is_key(name) == known
