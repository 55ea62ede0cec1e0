"""Calls: what a shouted word must not be taken for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.calls import alike, sounds, wrong_with


@pytest.mark.parametrize(
    ("call", "why"),
    [
        ("ONE DIP", 'holds "one", which is heard as a number'),
        ("FOR", 'holds "for", which is heard as a number'),
        ("TWO FEET", 'holds "two", which is heard as a number'),
        ("ZERO", 'holds "zero", which is heard as a number'),
        ("LANE", 'holds "lane", which is a unit of the workout'),
        ("SET FEET", 'holds "set", which is a unit of the workout'),
        ("DROP", "rhymes with STOP"),
        ("HOP UP", "rhymes with STOP"),
        ("SLOW", "rhymes with GO"),
        ("BELOW", "rhymes with GO"),
        ("FEET LOW", "rhymes with GO"),
    ],
)
def test_a_word_that_is_heard_as_something_else_is_no_call(call: str, why: str) -> None:
    assert wrong_with(call) == why


@pytest.mark.parametrize("call", ["DEPTH", "LOCK", "NOW", "TOES", "ROPE", "SMOOTH"])
def test_a_word_that_says_what_to_do_is_a_call(call: str) -> None:
    assert wrong_with(call) is None


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("STOP", "stop"),
        ("GO", "gO"),
        ("KNEES", "nIs"),
        ("LOCK", "lok"),
        ("WIDE", "wYd"),
        ("GUIDE", "gYd"),
        ("TOUCH", "tuC"),
        ("HIGHER", "hYer"),
    ],
)
def test_spelling_gives_the_sounds(word: str, said: str) -> None:
    assert sounds(word) == said


def test_calls_within_one_sound_are_found_in_their_order() -> None:
    calls = ["FEET UP", "DEPTH", "FOOT UP", "TUCK", "TOUCH", "LOCK", "LEGS"]
    assert list(alike(calls)) == [("FEET UP", "FOOT UP"), ("TUCK", "TOUCH")]


@given(st.lists(st.from_regex(r"[A-Z]{1,8}( [A-Z]{1,8})?", fullmatch=True)))
def test_being_alike_does_not_hang_on_the_order(calls: list[str]) -> None:
    there = {frozenset(pair) for pair in alike(calls)}
    back = {frozenset(pair) for pair in alike(reversed(calls))}
    assert there == back
