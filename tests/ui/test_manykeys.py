"""Whose key it is: a digit chooses, a choice lapses, an act without a lane waits."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import pytest

from judgekit.ui.actions import LANE_PAD, PAD_KEYS, STOP_PAD
from judgekit.ui.manykeys import (
    CHOICE_MS,
    Dropped,
    ForAll,
    ForLane,
    FreezeAll,
    Gone,
    ManyKeys,
    NoLane,
    Scene,
    Turned,
    Waits,
)

if TYPE_CHECKING:
    from judgekit.ui.manykeys import Step

WORK = Scene(started=True, calls=lambda key: key in "dk")
BEFORE = replace(WORK, started=False)


@dataclass
class Hands:
    """Keys pressed one after the other, 200 ms apart."""

    lanes: tuple[int, ...] = tuple(range(1, 13))
    extra: tuple[tuple[str, tuple[str, ...]], ...] = ()
    scene: Scene = WORK
    now: int = 100_000
    keys: ManyKeys = field(init=False)

    def __post_init__(self) -> None:
        self.keys = ManyKeys(self.lanes, self.extra)

    def press(self, *keys: str, after: int = 200) -> list[Step]:
        found: list[Step] = []
        for key in keys:
            self.now += after
            found += self.keys.press(key, self.now, self.scene)
        return found

    def lanes_of(self, *keys: str) -> list[tuple[int, str]]:
        steps = self.press(*keys)
        return [(s.lane, s.key) for s in steps if isinstance(s, ForLane)]


def test_a_digit_chooses_and_every_act_after_it_is_that_lanes() -> None:
    hands = Hands()
    assert hands.lanes_of("4", "space", "d", "n", "backspace", "0", "w", "l", "m") == [
        (4, key) for key in ("space", "d", "n", "backspace", "0", "w", "l", "m")
    ]
    assert hands.lanes_of("7", "space", "4", "k") == [(7, "space"), (4, "k")]


def test_a_choice_goes_eight_seconds_after_the_last_key() -> None:
    hands = Hands()
    hands.press("4")
    assert hands.press("space", after=CHOICE_MS - 1) == [
        ForLane(lane=4, key="space", boot_ms=hands.now)
    ]
    assert hands.press("space", after=CHOICE_MS) == [Turned(), Turned()]
    assert hands.keys.chosen is None
    assert hands.keys.waiting == [Waits(key="space", boot_ms=hands.now)]


def test_an_open_panel_keeps_its_lane_chosen() -> None:
    hands = Hands()
    hands.press("4")
    hands.scene = replace(WORK, open=True)
    assert hands.press("space", after=30_000) == [
        ForLane(lane=4, key="space", boot_ms=hands.now)
    ]


def test_acts_without_a_lane_wait_and_go_to_it_with_their_own_times() -> None:
    hands = Hands()
    first = hands.now + 200
    assert hands.press("d", "k") == [Turned(), Turned()]
    assert hands.press("5") == [
        Turned(),
        ForLane(lane=5, key="d", boot_ms=first),
        ForLane(lane=5, key="k", boot_ms=first + 200),
    ]
    assert (hands.keys.waiting, hands.keys.chosen) == ([], 5)


def test_yes_needs_no_lane_where_one_asks() -> None:
    hands = Hands(scene=replace(WORK, asking=lambda _first: 7))
    assert hands.lanes_of("y") == [(7, "y")]
    assert hands.lanes_of("4", "y") == [(7, "y")]
    hands.scene = WORK
    hands.press("escape")
    assert hands.lanes_of("y") == []


@pytest.mark.parametrize("how", ["escape", "time"])
def test_an_act_that_nobody_names_a_lane_for_is_dropped_and_said(how: str) -> None:
    hands = Hands()
    hands.press("space")
    made = hands.now
    dropped = Dropped(key="space", boot_ms=made)
    if how == "escape":
        assert hands.press("escape") == [Turned(), dropped]
    else:
        assert hands.keys.lapse(made + CHOICE_MS - 1) == ()
        assert hands.keys.lapse(made + CHOICE_MS) == (Turned(), dropped)
    assert hands.keys.waiting == []


def test_stop_without_a_lane_freezes_all_and_waits_for_ever_for_whose_it_is() -> None:
    hands = Hands()
    assert hands.press("0") == [FreezeAll(boot_ms=hands.now)]
    made = hands.now
    assert hands.keys.asks_stop
    assert hands.keys.lapse(made + 600_000) == ()
    assert hands.press("9", after=60_000) == [
        Turned(),
        ForLane(lane=9, key="0", boot_ms=made),
    ]
    assert not hands.keys.asks_stop


def test_what_was_pressed_before_a_stop_goes_to_the_same_lane_before_it() -> None:
    hands = Hands()
    hands.press("space", "0")
    assert hands.lanes_of("3") == [(3, "space"), (3, "0")]


def test_tab_turns_the_page_and_the_digits_are_the_next_lanes() -> None:
    hands = Hands()
    assert [hands.keys.digit_of(n) for n in (1, 9, 10, 12)] == ["1", "9", "", ""]
    assert hands.press("tab") == [Turned()]
    assert [hands.keys.digit_of(n) for n in (1, 9, 10, 12)] == ["", "", "1", "3"]
    assert hands.lanes_of("3", "space") == [(12, "space")]
    # The page goes with the choice: at rest a digit is always that of the first page.
    assert hands.keys.lapse(hands.now + CHOICE_MS) == (Turned(),)
    assert hands.lanes_of("3", "space") == [(3, "space")]


def test_a_digit_is_its_lanes_own_number_whichever_lanes_sit_here() -> None:
    hands = Hands(lanes=(3, 5, 8))
    assert hands.lanes_of("5", "space") == [(5, "space")]
    assert hands.press("4") == [NoLane(key="4", boot_ms=hands.now)]
    # What follows was meant for a lane that is not here, and not for lane 5.
    assert hands.lanes_of("space") == []
    assert hands.lanes_of("8") == [(8, "space")]
    late = Hands(lanes=(10, 11))
    assert late.lanes_of("2", "space") == [(11, "space")]


def test_a_digit_for_an_open_panel_chooses_no_lane() -> None:
    hands = Hands()
    hands.press("4")
    hands.scene = replace(WORK, wanted_by=4, open=True)
    assert hands.press("7") == [ForLane(lane=4, key="7", boot_ms=hands.now)]
    hands.scene = replace(WORK, wanted_by=0)
    assert hands.press("2") == [ForAll(key="2", boot_ms=hands.now)]
    assert hands.keys.chosen == 4


@pytest.mark.parametrize("key", ["q", "f", "?"])
def test_what_is_about_the_desk_needs_no_lane(key: str) -> None:
    hands = Hands()
    assert hands.press(key) == [ForAll(key=key, boot_ms=hands.now)]
    assert hands.press("4", key)[1:] == [ForAll(key=key, boot_ms=hands.now)]


def test_g_starts_them_all_and_afterwards_is_one_lanes() -> None:
    hands = Hands(scene=BEFORE)
    assert hands.press("g") == [ForAll(key="g", boot_ms=hands.now)]
    hands.scene = replace(BEFORE, asked=True)
    assert hands.press("y") == [ForAll(key="y", boot_ms=hands.now)]
    hands.scene = WORK
    assert hands.lanes_of("4", "g", "y") == [(4, "g"), (4, "y")]


def test_before_go_a_key_is_tried_out_without_a_lane() -> None:
    hands = Hands(scene=BEFORE)
    assert hands.press("space", "d", "0") == [
        ForAll(key=key, boot_ms=hands.now - wait)
        for key, wait in (("space", 400), ("d", 200), ("0", 0))
    ]
    # The lane check and what is said of an athlete are one lane's all the same.
    assert hands.press("enter") == [Turned()]
    assert hands.lanes_of("2") == [(2, "enter")]


def test_a_key_that_means_nothing_waits_for_no_lane() -> None:
    hands = Hands()
    assert hands.press("c") == [ForAll(key="c", boot_ms=hands.now)]
    assert hands.keys.waiting == []


def test_letters_of_another_layout_are_taken_for_those_on_their_keys() -> None:
    hands = Hands(lanes=(1, 2))
    assert hands.lanes_of("я", "ч") == [(1, "space"), (1, "n")]
    assert hands.lanes_of("1", "в") == [(1, "d")]


# --- two lanes ------------------------------------------------------------------------


def test_two_lanes_need_no_choosing() -> None:
    hands = Hands(lanes=(3, 4))
    assert hands.lanes_of("z", ",", "x", ".") == [
        (3, "space"),
        (4, "space"),
        (3, "n"),
        (4, "n"),
    ]
    assert hands.keys.chosen is None


def test_a_reason_goes_to_the_lane_of_the_last_no_rep() -> None:
    hands = Hands(lanes=(1, 2))
    assert hands.lanes_of("x", ",", "d") == [(1, "n"), (2, "space"), (1, "d")]
    assert hands.lanes_of(".", "z", "k") == [(2, "n"), (1, "space"), (2, "k")]
    # Later than "why?" stands, a letter is a no-rep of its own, and asks whose.
    hands.press("x")
    assert hands.press("d", after=2001) == [Turned()]
    assert hands.lanes_of("2") == [(2, "d")]


def test_a_letter_after_another_lane_was_chosen_is_that_lanes() -> None:
    hands = Hands(lanes=(1, 2))
    assert hands.lanes_of("x", "2", "d") == [(1, "n"), (2, "d")]


def test_take_back_goes_to_the_lane_of_the_last_press() -> None:
    hands = Hands(lanes=(1, 2))
    assert hands.lanes_of(",", "backspace", "u", "z", "backspace") == [
        (2, "space"),
        (2, "backspace"),
        (2, "u"),
        (1, "space"),
        (1, "backspace"),
    ]
    assert hands.press("backspace", after=CHOICE_MS + 1)[-1] == Turned()


def test_yes_answers_the_lane_that_asks_and_not_that_of_the_last_own_key() -> None:
    hands = Hands(lanes=(1, 2))
    hands.scene = replace(WORK, asking=lambda first: first or 1)
    assert hands.lanes_of("z", "z", ",", "y")[-1] == (1, "y")
    # A lane that was chosen goes first, and where none asks it is the last one's.
    assert hands.lanes_of("2", "y") == [(2, "y")]
    assert hands.lanes_of(",", "y")[-1] == (1, "y")
    hands.scene = WORK
    assert hands.lanes_of(",", "y")[-1] == (2, "y")


def test_stop_is_no_ones_until_a_digit_says_so_with_two_lanes_too() -> None:
    hands = Hands(lanes=(1, 2))
    hands.press("z")
    assert hands.press("0") == [FreezeAll(boot_ms=hands.now)]
    assert hands.lanes_of("2") == [(2, "0")]


def test_an_events_keys_for_a_place_work_on_a_floor_of_any_size() -> None:
    extra = (("1.good", ("pagedown",)), ("3.no-rep", ("F5",)), ("2.stop", ("end",)))
    assert Hands(extra=extra).lanes_of("pagedown", "f5", "end") == [
        (1, "space"),
        (3, "n"),
        (2, "0"),
    ]
    two = Hands(lanes=(5, 6), extra=(*extra, ("2.good", ("z",))))
    # The places are counted from the left; the two lanes' own keys are not taken away.
    assert two.lanes_of("pagedown", "z") == [(5, "space"), (5, "space")]
    assert two.press("f5") == [ForAll(key="f5", boot_ms=two.now)]


def test_the_list_of_more_asked_for_twice_is_about_all_lanes() -> None:
    for first in ((), ("2",)):
        hands = Hands()
        hands.press(*first)
        before = hands.press("w")
        assert [step for step in hands.press("w") if isinstance(step, ForAll)]
        assert hands.keys.waiting == []
        assert not any(isinstance(step, ForAll) for step in before)


def test_two_presses_of_w_that_lie_apart_are_two_lists() -> None:
    for between in (("2",), ("escape",)):
        hands = Hands()
        hands.press("w")
        hands.press(*between)
        assert not any(isinstance(step, ForAll) for step in hands.press("w"))
    hands = Hands()
    hands.press("w")
    hands.now += CHOICE_MS
    assert not any(isinstance(step, ForAll) for step in hands.press("w"))


def test_digits_after_plus_are_its_number_and_the_lane_comes_after_enter() -> None:
    hands = Hands()
    hands.press("4")
    hands.now += CHOICE_MS
    first = hands.now + 200
    assert not any(isinstance(s, ForLane) for s in hands.press("+", "1", "0"))
    assert hands.keys.types
    assert hands.keys.waiting[0].words == "+10"
    hands.press("enter")
    assert hands.keys.chosen is None
    assert hands.press("3")[1:] == [
        ForLane(lane=3, key=key, boot_ms=first + 200 * n)
        for n, key in enumerate(("+", "1", "0", "enter"))
    ]
    assert hands.lanes_of("space") == [(3, "space")]


def test_a_number_without_a_lane_is_mended_and_stop_is_stop_before_it() -> None:
    hands = Hands()
    hands.press("+", "7", "backspace", "9", "enter")
    assert hands.keys.waiting[0].words == "+9"
    assert hands.lanes_of("2") == [(2, "+"), (2, "9"), (2, "enter")]
    again = Hands()
    again.press("+")
    assert again.press("0") == [FreezeAll(boot_ms=again.now)]
    assert again.lanes_of("6") == [(6, "+"), (6, "0")]
    third = Hands()
    third.press("+", "7", "space")
    assert third.lanes_of("5") == [(5, "+"), (5, "7"), (5, "space")]


def test_a_number_that_nobody_names_a_lane_for_is_dropped_as_one() -> None:
    hands = Hands()
    hands.press("+", "1", "5")
    made = hands.keys.waiting[0].boot_ms
    assert hands.press("escape") == [Turned(), Dropped(key="+15", boot_ms=made)]


@pytest.mark.parametrize(
    ("one", "zero", "ten"),
    [
        ("1", "0", True),
        (f"{LANE_PAD}1", "0", False),
        ("1", STOP_PAD, False),
        (f"{LANE_PAD}1", STOP_PAD, False),
    ],
)
def test_only_typed_figures_may_be_meant_as_ten(one: str, zero: str, ten: bool) -> None:
    hands = Hands(extra=PAD_KEYS)
    assert hands.lanes_of(one, zero) == [(1, zero)]
    assert hands.keys.may_mean_ten(zero, 1, hands.now) is ten


def test_two_lanes_own_keys_name_what_to_press_once_more_have_come() -> None:
    hands = Hands(lanes=(1, 2))
    hands.keys.take_in((1, 2, 3))
    hands.keys.take_in((1, 2, 3, 4))
    [step] = hands.press(".")
    assert step == Gone(key=".", instead="2, then n", boot_ms=hands.now)
    # Where a card has such a letter it is a fault, as any other.
    hands.scene = replace(WORK, calls=lambda key: key == "x")
    assert hands.press("x") == [Turned()]


def test_a_lane_that_stays_chosen_does_until_another_is() -> None:
    hands = Hands(lanes=(1, 2))
    hands.keys.stay_with(1)
    hands.press("space", after=CHOICE_MS * 3)
    assert hands.keys.chosen == 1
    hands.press("2")
    hands.keys.lapse(hands.now + CHOICE_MS)
    assert hands.keys.chosen is None
