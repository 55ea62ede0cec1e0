"""Faults over the months: when a rise or a change is said, and when it is not."""

from __future__ import annotations

import pytest

from judgekit.review.course import Course, courses
from judgekit.review.faults import rate
from judgekit.review.season import Fault, Month

SQUAT = Fault("front-squat", "shallow", "judged")


def months(*of: tuple[str, int, int], fault: Fault = SQUAT) -> list[Month]:
    return [Month(fault, month, rate(hits, tries)) for month, hits, tries in of]


def one(*of: tuple[str, int, int]) -> Course:
    (found,) = courses(months(*of))
    return found


def test_a_rise_over_three_months_is_sure_and_a_fall_is_its_mirror() -> None:
    up = one(("2027-03", 2, 100), ("2027-04", 8, 100), ("2027-05", 20, 100))
    down = one(("2027-03", 20, 100), ("2027-04", 8, 100), ("2027-05", 2, 100))
    assert up.moves
    assert down.moves
    assert up.trend is not None
    assert down.trend is not None
    assert up.trend.z == pytest.approx(-down.trend.z)
    assert up.trend.z > 0


def test_a_month_left_out_counts_as_time_also_over_new_year() -> None:
    near = one(("2027-01", 2, 100), ("2027-02", 8, 100), ("2027-03", 9, 100))
    over = one(("2026-12", 2, 100), ("2027-01", 8, 100), ("2027-02", 9, 100))
    far = one(("2026-12", 2, 100), ("2027-01", 8, 100), ("2027-09", 9, 100))
    assert near.trend == over.trend
    assert far.trend != near.trend


def test_two_months_have_a_change_and_no_trend_and_one_has_neither() -> None:
    found = one(("2027-03", 2, 100), ("2027-05", 20, 100))
    assert found.trend is None
    assert not found.moves
    assert found.changed
    assert found.by.by == pytest.approx(0.18)
    assert courses(months(("2027-03", 2, 100))) == ()
    assert courses([]) == ()


def test_the_last_month_is_held_against_the_one_before_it() -> None:
    found = one(("2027-03", 50, 100), ("2027-04", 9, 100), ("2027-05", 10, 100))
    assert found.by.by == pytest.approx(0.01)
    assert not found.changed
    assert found.by.low < 0 < found.by.high


def test_what_no_month_has_cannot_move() -> None:
    found = one(("2027-03", 0, 9), ("2027-04", 0, 9), ("2027-05", 0, 9))
    assert (found.trend, found.moves, found.changed) == (None, False, False)


def test_many_faults_need_more_to_be_believed() -> None:
    bare = months(("2027-03", 2, 60), ("2027-04", 5, 60), ("2027-05", 10, 60))
    (alone,) = courses(bare)
    level = [
        row
        for n in range(9)
        for row in months(
            ("2027-03", 6, 60),
            ("2027-04", 6, 60),
            ("2027-05", 6, 60),
            fault=Fault("front-squat", f"other-{n}", "judged"),
        )
    ]
    among = courses([*bare, *level])[0]
    assert alone.trend is not None
    assert among.trend is not None
    assert alone.moves
    assert not among.moves
    assert among.trend.p == pytest.approx(alone.trend.p * 10)
    assert among.p > alone.p
