"""What comes too soon is marked; a burst that a pause had room for is not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import Reading, Rep
from judgekit.core.plan import PlanPart, SetKey
from tests.core.test_extra import resting
from tests.support import ROW, SQUAT, Played, card, for_time, movement, simple

TOES = SetKey(1, 1, 2)


def marks(played: Played) -> list[tuple[str, ...]]:
    return [a.marks for a in played.lane.work.attempts]


# Squats: 1.7 s brisk, 2.4 s ordinary, so more than 3.6 s is a pause.


@pytest.mark.parametrize(
    ("seconds", "soon"),
    [
        ((2, 12, 12.3, 12.6), 0),
        ((2, 7.1, 7.2, 7.3), 0),
        ((2, 7.09, 7.2, 7.3), 1),  # no room for a third
        ((2, 5.5, 5.6), 1),  # no pause
        ((5, 5.3), 1),  # nothing before the first
        ((2, 22, 24.4, 26.8, 29.2, 29.3), 1),  # level since long
        ((2, 22, 22.3, 24, 24.1), 1),  # level with the fourth
        ((2, 22, 22.3, 23.99, 24.1), 0),
        ((2, 30, *(30 + n / 10 for n in range(1, 15))), 0),
        ((2, 30, *(30 + n / 10 for n in range(1, 17))), 1),
    ],
)
def test_a_burst_is_not_accused_where_the_pause_had_room_for_it(
    seconds: tuple[float, ...], soon: int
) -> None:
    played = Played(simple(30)).go()
    played.each(Rep(), *seconds)
    assert sum("soon" in found for found in marks(played)) == soon


def test_a_burst_may_run_on_into_the_next_movement() -> None:
    caught_up = Played(for_time()).go()
    caught_up.each(Rep(), 2, 12, 12.3, 12.6)
    assert caught_up.lane.work.attempts[-1].set == TOES
    assert marks(caught_up) == [(), (), (), ()]
    # Two squats and the way to the bar take 1.7 + 1.7 + 1.5 s at best.
    short = Played(for_time()).go()
    short.each(Rep(), 2, 6.8, 7, 7.2)
    assert marks(short) == [(), (), (), ("changeover",)]
    enough = Played(for_time()).go()
    enough.each(Rep(), 2, 6.95, 7, 7.2)
    assert marks(enough) == [(), (), (), ()]


def test_a_planned_rest_is_no_pause_to_catch_up_after() -> None:
    played = Played(resting()).go()
    played.each(Rep(), 2, 63, 63.2)
    assert marks(played) == [(), (), ("soon",)]
    later = Played(resting()).go()
    later.each(Rep(), 2, 68.7, 68.9)
    assert marks(later) == [(), (), ()]


def test_the_way_to_the_next_movement_is_no_pause_to_catch_up_after() -> None:
    # Toes-to-bar: 1.5 x 1.7 s and twice the quickest change of 1.5 s.
    for first, expected in ((11.55, ("soon",)), (11.56, ())):
        played = Played(for_time()).go()
        played.each(Rep(), 2, 4, 6, first, first + 0.2)
        assert marks(played)[-1] == expected


def test_a_changeover_is_as_long_as_its_card_says() -> None:
    toes = card("toes-to-bar", floor=850, changeover=900)
    plan = for_time()
    quick = replace(plan, cards=(plan.cards[0], toes, plan.cards[2]))
    played = Played(quick).go()
    played.each(Rep(), 2, 4, 6, 6.9)
    assert marks(played)[-1] == ()


@pytest.mark.parametrize(
    ("unit", "wanted"), [("metres", ()), ("calories", ("changeover",))]
)
def test_metres_do_not_take_the_seconds_of_calories(
    unit: str, wanted: tuple[str, ...]
) -> None:
    """500 in 1:50: too quick for calories, 0.9 s each, and well rowed for metres."""
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=1,
        movements=(movement("front-squat", 1), movement("row", 500, unit=unit)),
    )
    played = Played(for_time(cap_ms=0, parts=(part,), cards=(SQUAT, ROW))).go()
    played.press(8, Rep())
    played.press(118, Reading(shows=500))
    assert marks(played) == [(), wanted]
