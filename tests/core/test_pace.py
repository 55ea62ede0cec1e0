"""What comes too soon is marked; a burst that a pause had room for is not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core import doubt
from judgekit.core.entry import Reading, Rep
from judgekit.core.plan import Member, PlanPart, PlanTeam, SetKey
from judgekit.core.press import AnswerExtra
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


# --- what a monitor cannot show yet ------------------------------------------------


def rowed(
    unit: str, shows: int, seconds: float, *before: PlanPart, target: int = 0
) -> Played:
    """A window on the rowing machine, and what is typed in it."""
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=600_000,
        movements=(movement("row", target, unit=unit),),
    )
    plan = for_time(cap_ms=0, parts=(*before, part), cards=(SQUAT, ROW))
    played = Played(plan).go()
    if before:
        played.press(2, Rep())
    played.press(seconds, Reading(shows=shows))
    return played


# A calorie takes 0.9 s at best: 4,000 an hour, 1,075 W, and so 500 m take 68.8 s.
@pytest.mark.parametrize(
    ("unit", "shows", "seconds", "unlikely"),
    [
        ("calories", 30, 20, True),
        ("calories", 30, 26.999, True),
        ("calories", 30, 27, False),
        ("calories", 0, 0, False),
        ("metres", 500, 60, True),
        ("metres", 500, 68.79, True),
        ("metres", 500, 68.81, False),
        ("metres", 0, 0, False),
    ],
)
def test_what_nobody_brings_a_monitor_to_is_marked_and_counts(
    unit: str, shows: int, seconds: float, *, unlikely: bool
) -> None:
    played = rowed(unit, shows, seconds)
    assert marks(played) == [("unlikely",) if unlikely else ()]
    assert played.lane.work.good == shows


def test_metres_of_other_machines_have_no_formula() -> None:
    played = rowed("metres", 500, 20)
    bike = replace(card("bike", floor=500), ends="monitor")
    [part] = played.plan.parts
    on_bike = replace(part, movements=(movement("bike", 0, unit="metres"),))
    plan = replace(played.plan, parts=(on_bike,), cards=(bike,))
    played = Played(plan).go()
    played.press(20, Reading(shows=500))
    assert marks(played) == [()]


def test_after_a_rest_a_monitor_starts_with_the_clock() -> None:
    squat = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 1),)
    )
    rest = PlanPart(id="", kind="rest", length_ms=60_000)
    # The rest is over at 1:02, or 5 s before that; 20 calories take 18 s.
    assert marks(rowed("calories", 20, 74.9, squat, rest))[-1] == ("unlikely",)
    assert marks(rowed("calories", 20, 75, squat, rest))[-1] == ()


def test_the_press_before_may_have_lagged_five_seconds() -> None:
    squat = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 1),)
    )
    # The squat is judged at 0:02: since go there are 18 s at least.
    assert marks(rowed("calories", 20, 17.9, squat))[-1] == ("unlikely",)
    assert marks(rowed("calories", 20, 18, squat))[-1] == ()
    # The last squat is judged at 0:30; 26 calories take 23.4 s, from 0:25 on.
    for seconds, expected in ((48.3, ("unlikely",)), (48.4, ())):
        played = Played(for_time(cap_ms=0, parts=_squats_and_row())).go()
        played.each(Rep(), 10, 20, 30)
        played.press(seconds, Reading(shows=26))
        assert marks(played)[-1] == expected


def _squats_and_row() -> tuple[PlanPart, ...]:
    movements = (movement("front-squat", 3), movement("row", 40, unit="calories"))
    return (PlanPart(id="A", kind="rounds", rounds=1, movements=movements),)


def test_a_burst_before_the_machine_may_have_lagged_longer() -> None:
    # 1:00 of silence has room for three squats and 26 calories.
    played = Played(for_time(cap_ms=0, parts=_squats_and_row())).go()
    played.each(Rep(), 2, 62, 62.3)
    played.press(64, Reading(shows=26))
    assert marks(played)[-1] == ()


def test_a_team_may_have_a_machine_each() -> None:
    plan = rowed("calories", 30, 20).plan
    members = (Member(bib="7", name="Ada"), Member(bib="8", name="Bo"))
    team = replace(plan, team=PlanTeam(members=members, how="shared"))
    for n, expected in ((44, ()), (45, ("unlikely",))):
        played = Played(team).go()
        played.press(20, Reading(shows=n))
        assert marks(played) == [expected]


def test_what_is_read_after_the_horn_is_held_against_the_horn() -> None:
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=20_000,
        movements=(movement("row", 0, unit="calories"),),
    )
    plan = for_time(cap_ms=0, parts=(part,), cards=(ROW,), score="reading")
    for shows, expected in ((22, ()), (23, ("unlikely",))):
        played = Played(plan).go()
        played.press(40, Reading(shows=shows))
        assert marks(played) == [("at the horn", *expected)]


def test_an_unlikely_number_is_asked_about_and_taken_off_by_yes() -> None:
    played = rowed("calories", 30, 20)
    found = doubt.newest(played.lane)
    assert found is not None
    assert (found.before, found.shows) == (None, 30)
    played.press(21, AnswerExtra(yes=True))
    assert played.lane.work.good == 0
    played.press(22, Reading(shows=13))
    assert (played.lane.work.good, doubt.newest(played.lane)) == (13, None)


def test_an_unlikely_number_stands_if_the_judge_says_so() -> None:
    played = rowed("calories", 30, 20)
    played.press(21, AnswerExtra(yes=False))
    assert marks(played) == [("unlikely", "own")]
    assert played.lane.work.good == 30
