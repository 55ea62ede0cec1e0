"""One name for a key on every terminal, and held keys told from presses."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.ui.keys import Held, HeldKeys, name_of, repeat_limit_ms

LIMIT = 80


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


def counted(times: list[int], limit: int = LIMIT) -> tuple[int, list[Held]]:
    """How many presses of space count, and the runs told in the end."""
    held = HeldKeys()
    many = sum(held.press("space", at, limit) for at in times)
    return many, list(held.ended(times[-1] + 1000, limit))


def test_a_space_held_for_a_second_counts_once() -> None:
    times = [33 * n for n in range(30)]
    run = Held(key="space", first_ms=33, last_ms=957, many=29)
    assert counted(times) == (1, [run])


def test_six_taps_of_a_quick_hand_count_six() -> None:
    assert counted([160 * n for n in range(6)]) == (6, [])


def test_keys_of_one_read_all_count() -> None:
    assert counted([100, 100, 101]) == (3, [])


def test_a_key_held_for_two_seconds_counts_at_most_twice() -> None:
    times = [0, *(500 + 33 * n for n in range(50))]
    run = Held(key="space", first_ms=533, last_ms=2117, many=49)
    assert counted(times) == (2, [run])


def test_repeats_that_a_slow_line_delivered_together_are_repeats() -> None:
    assert counted([0, 33, 66, 66, 67, 99])[0] == 1


def test_ten_presses_a_quarter_of_a_second_apart_are_ten() -> None:
    assert counted([250 * n for n in range(10)]) == (10, [])


def test_the_guard_is_each_keys_own() -> None:
    held = HeldKeys()
    assert [
        held.press("space", 0, LIMIT),
        held.press("d", 10, LIMIT),
        held.press("space", 200, LIMIT),
        held.press("d", 215, LIMIT),
    ] == [True, True, True, True]


def test_a_run_is_told_once_and_only_when_it_has_ended() -> None:
    held = HeldKeys()
    for at in (0, 33, 66):
        held.press("space", at, LIMIT)
    assert (held.ended(100, LIMIT), held.waiting) == ((), True)
    run = Held(key="space", first_ms=33, last_ms=66, many=2)
    assert (held.ended(147, LIMIT), held.waiting) == ((run,), False)
    assert held.ended(500, LIMIT) == ()


def test_a_new_press_ends_the_run_before_it() -> None:
    held = HeldKeys()
    for at in (0, 33, 200):
        held.press("space", at, LIMIT)
    assert held.ended(200, LIMIT) == (
        Held(key="space", first_ms=33, last_ms=33, many=1),
    )


def test_a_card_with_quick_reps_has_a_shorter_guard() -> None:
    limits = [repeat_limit_ms(80, floor) for floor in (0, 1200, 160, 120, 60)]
    assert limits == [80, 80, 80, 60, 30]


@given(st.lists(st.integers(0, 400), min_size=1, max_size=60))
def test_every_press_is_counted_or_told(gaps: list[int]) -> None:
    held = HeldKeys()
    at = 0
    many, told = 0, 0
    for gap in gaps:
        at += gap
        many += held.press("space", at, LIMIT)
        told += sum(run.many for run in held.ended(at, LIMIT))
    told += sum(run.many for run in held.ended(at + 1000, LIMIT))
    assert many + told == len(gaps)
