"""How long a workout takes by the logs; each number worked by hand beside it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.reports.estimates import by_the_logs
from judgekit.review.exposure import Kind
from judgekit.review.paces import GymPace
from tests.building import plan_of, rounds, tries
from tests.core.test_estimate import CARDS
from tests.support import for_time, movement, window

if TYPE_CHECKING:
    from judgekit.core.plan import Plan

SQUAT, TOES = Kind("front-squat", "reps"), Kind("toes-to-bar", "reps")
ROW = Kind("row", "calories")
PACES = {
    SQUAT: GymPace(athletes=12, quick_ms=2000, middle_ms=3000, slow_ms=5000),
    TOES: GymPace(athletes=9, quick_ms=1000, middle_ms=2000, slow_ms=4000),
    ROW: GymPace(athletes=7, quick_ms=3000, middle_ms=4000, slow_ms=6000),
}


def said(plan: Plan, *kinds: Kind) -> str:
    return by_the_logs(plan, CARDS, {kind: PACES[kind] for kind in kinds})


def test_the_gym_s_own_seconds_make_a_time_and_a_range() -> None:
    """8 squats, 4 toes-to-bar, 4 calories, and a minute's rest.

    In the middle 24 + 8 + 16 + 60 = 108 s; quick 16 + 4 + 12 + 60 = 92 s; slow
    40 + 16 + 24 + 60 = 140 s.
    """
    assert said(for_time(), SQUAT, TOES, ROW) == (
        "about 1:48, from 1:32 to 2:20 for the middle half (front squat of 12 "
        "athletes; toes to bar of 9 athletes; row of 7 athletes)"
    )


def test_what_the_logs_do_not_tell_goes_by_its_card_and_is_named() -> None:
    """Toes-to-bar and row by cards, brisk 1.5 s a unit, ordinary 2 s.

    A change costs the greater of 1.5 s and a unit: nothing more. In the middle
    24 + 8 + 8 + 60 = 100 s, quick 16 + 6 + 6 + 60 = 88 s, slow 40 + 8 + 8 + 60 = 116 s.
    """
    assert said(for_time(), SQUAT) == (
        "about 1:40, from 1:28 to 1:56 for the middle half (front squat of 12 "
        "athletes; toes to bar, row by their cards)"
    )


def test_movements_that_as_many_athletes_did_are_named_together() -> None:
    paces = {SQUAT: PACES[SQUAT], TOES: replace(PACES[TOES], athletes=12)}
    told = by_the_logs(window(), CARDS, paces)
    assert told.endswith("(front squat, toes to bar of 12 athletes)")


def test_rounds_of_a_window() -> None:
    """5 + 8 in 5:00: in the middle 15 + 16 = 31 s: 9; quick 18 s: 16; slow 57 s: 5."""
    assert said(window(), SQUAT, TOES) == (
        "part A: about 9 rounds, from 5 to 16 for the middle half "
        "(front squat of 12 athletes; toes to bar of 9 athletes)"
    )


def test_each_movement_s_own_seconds_may_be_told() -> None:
    paces = {SQUAT: PACES[SQUAT], TOES: replace(PACES[TOES], quick_ms=256)}
    told = by_the_logs(window(), CARDS, paces, with_seconds=True)
    assert told.endswith(
        "(front squat 3.0 s (2.0 to 5.0) of 12 athletes; "
        "toes to bar 2.00 s (0.26 to 4.00) of 9 athletes)"
    )


def test_where_the_logs_tell_nothing_nothing_is_said() -> None:
    assert said(for_time()) == ""
    assert said(plan_of(tries(3), score="load"), SQUAT) == ""
    # A metre is not a calorie.
    metres = plan_of(rounds(1, movement("row", 500, unit="metres")), score="time")
    assert said(metres, ROW) == ""
