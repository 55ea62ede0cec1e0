"""The table of actions agrees with what cards may not use, and with itself."""

from __future__ import annotations

from judgekit.core.card import RESERVED_KEYS
from judgekit.core.keyed import FAULT_DIGITS
from judgekit.ui.actions import (
    ACTION_NAMES,
    ACTIONS,
    BESIDE_STOP,
    NAMES_IN_KEYS,
    action,
    keymap,
    lane_keys,
)

# The keys of a Floor with two lanes, and the page key of one with many.
_OTHER_FLOORS = {"z", "x", ",", ".", "tab"}


def test_every_key_that_a_card_may_not_use_is_used_here_or_dead_on_purpose() -> None:
    own = {known.key for known in ACTIONS}
    digits = {*FAULT_DIGITS, "0"}
    assert own | digits | BESIDE_STOP | _OTHER_FLOORS == set(RESERVED_KEYS)


def test_names_and_keys_are_each_used_once() -> None:
    assert len(ACTION_NAMES) == len(ACTIONS)
    assert len({known.key for known in ACTIONS}) == len(ACTIONS)


def test_no_action_has_a_key_beside_stop_or_a_fault_digit() -> None:
    taken = {known.key for known in ACTIONS}
    assert taken & (BESIDE_STOP | set(FAULT_DIGITS)) == set()


def test_what_needs_a_second_key_says_which() -> None:
    shorts = [action(name).short for name in ("go", "close")]
    assert shorts == ["then y: go; go on", "then y: close desk"]


def test_extra_keys_join_the_own_ones() -> None:
    keys = keymap([("good", ("pagedown", "/")), ("no-rep", ("PageUp",))])
    assert {key: keys[key] for key in ("pagedown", "/", "pageup", "space", "n")} == {
        "pagedown": "good",
        "/": "good",
        "pageup": "no-rep",
        "space": "good",
        "n": "no-rep",
    }


def test_an_extra_key_takes_no_actions_own_key_and_wakes_no_neighbour_of_stop() -> None:
    keys = keymap([("good", ("0", "9", "p")), ("1.good", ("c",)), ("unknown", ("v",))])
    assert keys == keymap()
    assert keys[action("stop").key] == "stop"


def test_a_key_of_one_lane_does_what_opens_no_panel() -> None:
    keys = lane_keys([("1.good", ("c",)), ("2.more", ("v",)), ("1.move-on", ("h",))])
    assert keys == {"c": (1, "good")}
    assert ".more" not in NAMES_IN_KEYS
    assert {".good", ".stop", "more"} <= NAMES_IN_KEYS
