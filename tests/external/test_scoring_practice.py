"""Scores against how the trade scores: published test descriptions, common practice."""

from __future__ import annotations

from dataclasses import replace

from judgekit.core.entry import Rep, Time
from judgekit.core.plan import PlanPart
from judgekit.core.press import Called
from judgekit.core.score import score
from tests.support import Played, card, for_time, movement, window


def four_bouts(rest: str) -> Played:
    """Four bouts of one rep, each at 60 s of work, with 30 s of rest between."""
    bout = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 1),)
    )
    pause = PlanPart(id="", kind="rest", length_ms=30_000)
    parts = (bout, pause, bout, pause, bout, pause, bout)
    played = Played(for_time(parts=parts, rest=rest, cap_ms=0)).go()
    played.each(Rep(), 60, 150, 240, 330)
    return played


def test_total_time_minus_planned_rest() -> None:
    # Functional fitness federation (USA), "2018 Online Qualifier": rests are left out
    # of an interval test's total. 330 s - 3 x 30 s = 240 s.
    assert score(four_bouts("excluded").lane).shown == "4:00"


def test_total_time_with_rests_left_in() -> None:
    # International functional fitness federation, "2017 Championships Tests": four
    # bouts with 30 s of rest, scored by total time including the rests: 330 s.
    assert score(four_bouts("included").lane).shown == "5:30"


def test_rounds_and_extra_reps_make_a_total() -> None:
    # Common practice, no source: rounds of 5 + 10 + 15 = 30 reps; six rounds and 13
    # reps are 6 x 30 + 13 = 193, and "13 extra" is 5 + 8.
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=1_200_000,
        movements=(
            movement("front-squat", 5),
            movement("toes-to-bar", 10),
            movement("push-up", 15),
        ),
    )
    plan = window()
    plan = replace(plan, parts=(part,), cards=(*plan.cards, card("push-up")))
    played = Played(plan).go()
    for number in range(1, 194):
        played.press(6 * number, Rep())
    played.press(1200, Time())
    result = score(played.lane)
    assert (result.shown, result.detail) == ("193", "6 rounds and 5 + 8 (193 reps)")


def test_a_second_for_each_rep_short_of_the_cap() -> None:
    # Common practice, no source: cap 10:00 and 3 reps not done make 10:03.
    part = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 10),)
    )
    plan = for_time(parts=(part,), capped="second-per-rep", cap_ms=600_000)
    played = Played(plan).go()
    played.each(Rep(), 20, 40, 60, 80, 100, 120, 140)
    played.press(600, Time())
    assert score(played.lane).shown == "10:03"


def test_a_no_rep_repeats_the_last_good_number() -> None:
    # US Army, push-up scoring (ATP 7-22.01): good reps are counted aloud; after one
    # that does not count the last good number is said again.
    played = Played(window()).go()
    played.press(2, Rep())
    played.press(5, Rep())
    before = played.lane.work.good
    played.press(8, Called(fault="lock"))
    assert played.lane.work.good == before == 2
