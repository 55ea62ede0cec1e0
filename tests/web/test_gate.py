"""Who may open what: the link's token, the PINs, and how often a PIN is tried."""

from __future__ import annotations

from judgekit.web.gate import LOCKED_S, MOST_TRIES, Gate, new_pins

PINS = {"lane 1": "0417", "lane 2": "8250"}


def gate() -> Gate:
    return Gate("the-token", dict(PINS))


def test_only_the_link_s_token_lets_anybody_in() -> None:
    asked = gate()
    assert asked.enter("the-tokem") == asked.enter("") == asked.enter("ü") == ""
    visitor = asked.enter("the-token")
    assert (asked.knows(visitor), asked.knows(""), asked.knows("x")) == (
        True,
        False,
        False,
    )


def test_a_pin_opens_its_own_lane_for_its_own_visitor() -> None:
    asked = gate()
    one, other = asked.enter("the-token"), asked.enter("the-token")
    assert one != other
    assert not asked.may_open(one, "lane 1")
    assert not asked.try_pin(one, "lane 1", "8250", 0)
    assert asked.try_pin(one, "lane 1", "0417", 0)
    opened = [asked.may_open(who, lane) for who in (one, other) for lane in PINS]
    assert opened == [True, False, False, False]


def test_what_has_no_pin_is_open_to_whoever_came_with_the_link() -> None:
    asked = gate()
    assert asked.may_open(asked.enter("the-token"), "")
    assert not asked.may_open("nobody", "")
    # A desk whose PIN nobody made is shut, not open.
    assert not asked.may_open(asked.enter("the-token"), "lane 3")


def test_wrong_pins_lock_the_lane_for_a_while_also_for_the_right_one() -> None:
    asked = gate()
    visitor = asked.enter("the-token")
    for _ in range(MOST_TRIES):
        assert asked.locked_s("lane 1", 5) == 0
        assert not asked.try_pin(visitor, "lane 1", "9999", 5)
    assert asked.locked_s("lane 1", 5) == LOCKED_S
    assert not asked.try_pin(visitor, "lane 1", "0417", 6)
    assert asked.try_pin(visitor, "lane 2", "8250", 6)
    assert asked.try_pin(visitor, "lane 1", "0417", 5 + LOCKED_S)


def test_a_right_pin_forgets_the_wrong_ones_before_it() -> None:
    asked = gate()
    visitor = asked.enter("the-token")
    for _ in range(2):
        for _ in range(MOST_TRIES - 1):
            asked.try_pin(visitor, "lane 1", "9999", 0)
        assert asked.try_pin(visitor, "lane 1", "0417", 0)


def test_a_desk_that_comes_later_gets_a_pin_of_its_own_and_the_others_keep_theirs() -> (
    None
):
    asked = gate()
    visitor = asked.enter("the-token")
    assert not asked.try_pin(visitor, "lane 3", "0417", 0)
    assert asked.locked_s("lane 3", 0) == 0
    made = asked.learn(["lane 1", "lane 3", "lane 3"])
    assert set(made) == {"lane 3"}
    assert made["lane 3"] not in PINS.values()
    assert asked.try_pin(visitor, "lane 3", made["lane 3"], 0)
    assert asked.try_pin(visitor, "lane 1", "0417", 0)
    assert asked.learn(["lane 3"]) == {}


def test_pins_have_four_digits_and_no_two_are_alike() -> None:
    made = new_pins(f"lane {number}" for number in range(200))
    assert len(set(made.values())) == 200
    assert all(len(pin) == 4 and pin.isdecimal() for pin in made.values())


def test_visitors_without_end_push_out_the_oldest_alone() -> None:
    asked = gate()
    first, *others = [asked.enter("the-token") for _ in range(501)]
    assert not asked.knows(first)
    assert all(asked.knows(other) for other in others)
