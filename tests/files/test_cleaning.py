from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.files.cleaning import clean

NASTY = st.sampled_from("\u200d\u200c\u0301\u0302a \u1100\u1161\u3164👩🏽\n\u202e\x1b")
PLAIN = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=40)
ANY_TEXT = st.text(st.one_of(st.characters(), NASTY), max_size=60)


@pytest.mark.parametrize(
    ("raw", "cleaned"),
    [
        ("Ines  Varga\t", "Ines Varga"),
        ("Zoe\u0308", "Zo\u00eb"),
        ("a\u00a0b\u2003c", "a b c"),
        ("a\r\nb", "a b"),
        ("\u202eabc\u202c", "abc"),
        ("\u2066x\u2069\u061c", "x"),
        ("so\u00adft\u200bly\ufeff", "softly"),
        ("\x1b[31mred", "\ufffd[31mred"),
        ("a\x00b", "a\ufffdb"),
        ("flag\U000e0067\U000e007f", "flag"),
        ("\ue000\U000fffff", "\ufffd\ufffd"),
        ("\u3164\u2800", ""),
        ("👩\u200d🚀", "👩\u200d🚀"),
        ("ن\u200cم", "ن\u200cم"),
        ("1\u200d2 \u200d\u200c", "12"),
        ("a\u200d", "a"),
        ("\u0301abc", "abc"),
        ("x" + "\u0300" * 50, "x" + "\u0300" * 4),
        ("[bold]not markup[/]", "[bold]not markup[/]"),
        ("=1+1", "=1+1"),
    ],
)
def test_text_comes_out_as_a_reader_sees_it(raw: str, cleaned: str) -> None:
    assert clean(raw) == cleaned


def test_a_lone_half_of_a_pair_is_shown_as_unreadable() -> None:
    assert clean("a" + chr(0xD800)) == "a\ufffd"


def test_the_limit_counts_letters_and_keeps_what_belongs_to_the_last() -> None:
    assert clean("e\u0302\u0302e\u0302\u0302e", 2) == "\u00ea\u0302\u00ea\u0302"
    assert clean("👍🏽👍🏽", 1) == "👍🏽"
    assert clean("ab cd", 3) == "ab"


@given(ANY_TEXT, st.integers(1, 30))
def test_cleaning_again_changes_nothing(raw: str, limit: int) -> None:
    once = clean(raw, limit)
    assert clean(once, limit) == once


@given(ANY_TEXT)
def test_nothing_unseen_is_left(raw: str) -> None:
    left = {unicodedata.category(char) for char in clean(raw)} - {"Cf"}
    joiners = {char for char in clean(raw) if unicodedata.category(char) == "Cf"}
    assert not [category for category in left if category.startswith("C")]
    assert joiners <= {"\u200c", "\u200d"}


@given(ANY_TEXT)
def test_both_spellings_of_a_letter_are_one(raw: str) -> None:
    apart = unicodedata.normalize("NFD", raw)
    assert clean(apart) == clean(unicodedata.normalize("NFC", apart))


@given(PLAIN, st.integers(1, 30))
def test_plain_text_is_cleaned_as_any_other(raw: str, limit: int) -> None:
    unseen = f"\u200b{raw}"
    assert clean(raw, limit) == clean(unseen, limit)
