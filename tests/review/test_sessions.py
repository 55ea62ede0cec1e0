from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.review.differences import Count, chance_alone, difference
from judgekit.review.faults import rate
from judgekit.review.sessions import (
    FaultKey,
    LaneSum,
    MovementSum,
    Recurring,
    lane_sum,
    sessions,
)
from tests.review.made_rows import counted, facts, on

if TYPE_CHECKING:
    from judgekit.review.judged import Watched

DEPTH = FaultKey("front-squat", "depth", "judged")


def day(
    date: str,
    attempts: int,
    reasons: dict[str, int],
    watched: Watched = "judged",
) -> LaneSum:
    """A session of front squats."""
    of = tuple(sorted(reasons.items()))
    one = MovementSum("front-squat", "Front squat", watched, attempts, of)
    return LaneSum(date=date, sums=(one,))


def test_a_lane_adds_its_attempts_and_reasons() -> None:
    rows = counted(facts("1"), 6, ("depth",), ("depth", "lock"), ())
    assert lane_sum(on(rows, "2027-04-01")) == LaneSum(
        date="2027-04-01",
        sums=(
            MovementSum(
                "front-squat",
                "Front squat",
                "judged",
                9,
                (("", 1), ("depth", 2), ("lock", 1)),
                (("depth", "DEPTH"), ("lock", "LOCK")),
            ),
        ),
    )


def test_a_fault_is_held_against_the_newest_day_that_had_its_movement() -> None:
    lanes = [
        day("2027-04-01", 50, {"depth": 25}),
        day("2027-04-08", 60, {"depth": 20}),
        day("2027-04-08", 40, {"depth": 10}),
        LaneSum(date="2027-04-10", sums=(MovementSum("row", "Row", "judged", 9, ()),)),
        day("2027-04-15", 100, {"depth": 8, "lock": 2}),
        day("2027-05-01", 100, {"depth": 99}),
    ]
    found = sessions(lanes, "2027-04-15")
    changes = {change.of.fault: change for change in found.changes}
    depth = changes["depth"]
    assert (depth.of, depth.movement, depth.before) == (
        DEPTH,
        "Front squat",
        "2027-04-08",
    )
    assert (depth.now, depth.then) == (rate(8, 100), rate(30, 100))
    assert depth.by == difference(Count(8, 100), Count(30, 100))
    assert depth.is_clear
    assert depth.by.high < 0
    lock = changes["lock"]
    assert (lock.then, lock.is_clear) == (rate(0, 100), False)


def test_what_surely_changed_comes_first_then_the_biggest() -> None:
    now = {"fell": 2, "level": 9, "rose": 12, "less": 1}
    then = {"fell": 40, "level": 9, "rose": 9, "less": 5}
    found = sessions(
        [day("2027-04-01", 100, then), day("2027-04-08", 100, now)], "2027-04-08"
    )
    assert [(one.of.fault, one.is_clear) for one in found.changes] == [
        ("fell", True),
        ("less", False),
        ("rose", False),
        ("level", False),
    ]


def test_a_fault_that_is_gone_is_compared_too() -> None:
    found = sessions(
        [day("2027-04-01", 40, {"depth": 12}), day("2027-04-08", 40, {})], "2027-04-08"
    )
    (gone,) = found.changes
    assert (gone.now, gone.then) == (rate(0, 40), rate(12, 40))
    assert gone.is_clear


def test_many_faults_compared_raise_the_bar_for_each() -> None:
    """What alone would be believed is not, among twenty that stayed as they were."""
    then, now = Count(4, 100), Count(13, 100)
    alone = sessions(
        [day("2027-04-01", 100, {"depth": 4}), day("2027-04-08", 100, {"depth": 13})],
        "2027-04-08",
    )
    assert alone.changes[0].p == pytest.approx(chance_alone(now, then))
    assert alone.changes[0].is_clear
    others = {f"other{n}": 5 for n in range(20)}
    among = sessions(
        [
            day("2027-04-01", 100, {"depth": 4, **others}),
            day("2027-04-08", 100, {"depth": 13, **others}),
        ],
        "2027-04-08",
    )
    depth = next(change for change in among.changes if change.of == DEPTH)
    assert depth.p > 0.05
    assert not depth.is_clear


def test_what_was_planned_is_compared_by_itself() -> None:
    """Whoever asks of one fault that was drilled asks of no other."""
    others = {f"other{n}": 5 for n in range(20)}
    lanes = [
        day("2027-04-01", 100, {"depth": 13, **others}),
        day("2027-04-08", 100, {"depth": 4, **others}),
    ]
    found = sessions(lanes, "2027-04-08", {DEPTH})
    depth, *rest = found.changes
    assert (depth.of, depth.planned, depth.is_clear) == (DEPTH, True, True)
    assert depth.p == pytest.approx(chance_alone(Count(4, 100), Count(13, 100)))
    assert not any(one.planned for one in rest)
    assert not sessions(lanes, "2027-04-08").changes[0].is_clear


def test_ways_of_watching_are_compared_with_their_own() -> None:
    lanes = [
        day("2027-04-01", 40, {"depth": 12}, "sampled"),
        day("2027-04-08", 40, {"depth": 2}),
    ]
    assert sessions(lanes, "2027-04-08").changes == ()


def test_without_a_session_before_nothing_is_compared() -> None:
    assert sessions([day("2027-04-08", 9, {"depth": 1})], "2027-04-08").changes == ()
    assert sessions([], "2027-04-08").changes == ()


def test_of_what_comes_again_as_often_the_surely_frequent_is_first() -> None:
    faults = {"a-rare-one": 1, "frequent": 9, "middling": 4}
    lanes = [day(f"2027-04-{n:02}", 50, faults) for n in (1, 8, 15)]
    found = sessions([*lanes, day("2027-04-20", 30, {})], "2027-04-20")
    assert [(one.of.fault, one.rate) for one in found.recurring] == [
        ("frequent", rate(27, 180)),
        ("middling", rate(12, 180)),
        ("a-rare-one", rate(3, 180)),
    ]


def test_three_sessions_make_a_fault_one_that_comes_again() -> None:
    lanes = [
        day("2027-04-01", 40, {"depth": 2, "lock": 1}),
        day("2027-04-08", 40, {"depth": 1, "": 3}),
        day("2027-04-15", 40, {"lock": 4, "": 3}),
        day("2027-04-22", 40, {"depth": 9, "": 3}),
    ]
    assert sessions(lanes, "2027-04-15").recurring == ()
    assert sessions(lanes, "2027-04-22").recurring == (
        Recurring(
            of=DEPTH,
            movement="Front squat",
            call="",
            seen=3,
            sessions=4,
            rate=rate(12, 160),
            first="2027-04-01",
            last="2027-04-22",
        ),
    )
