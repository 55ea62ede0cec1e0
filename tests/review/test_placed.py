"""Attempts at one set together: nothing lost, nothing mixed."""

from __future__ import annotations

import random

import pytest

from judgekit.review.attempts import AttemptRow, LaneRows
from judgekit.review.placed import placed
from judgekit.review.tiring import ALONG, tiring, tirings
from tests.review.made_rows import facts, simulated, squats

LANE = facts("1")
ONE, TWO = squats(1), squats(2)
ROW = AttemptRow(LANE, ONE, "judged", 1000, 1, 1, True, 1, (), "1")


def in_a_lane(*rows: AttemptRow) -> LaneRows:
    return LaneRows(facts=LANE, attempts=rows)


def test_each_set_and_each_athlete_has_attempts_of_their_own() -> None:
    rows = (ROW, ROW, ROW._replace(by="2"), ROW._replace(set=TWO), ROW)
    found = placed([in_a_lane(*rows)])
    assert [(one.set, one.by, len(one.rows)) for one in found] == [
        (ONE, "1", 2),
        (ONE, "2", 1),
        (TWO, "1", 1),
        (ONE, "1", 1),
    ]
    assert [row for one in found for row in one.rows] == [*rows]


@pytest.mark.parametrize(
    "row", [ROW._replace(watched="sampled"), ROW._replace(timed=False)]
)
def test_an_attempt_without_a_place_hides_none_beside_it(row: AttemptRow) -> None:
    for rows in ((row, ROW), (ROW, row), (ROW, row, ROW)):
        found = placed([in_a_lane(*rows)])
        assert [one for of in found for one in of.rows] == [ROW] * (len(rows) - 1)


def test_all_ways_along_the_work_tell_what_each_alone_does() -> None:
    def chance() -> random.Random:
        return random.Random(7)  # noqa: S311 - the same draws every time

    lanes = [
        simulated(facts(str(n)), chance(), lambda rep: 0.02 * rep) for n in range(8)
    ]
    alone = tuple(tiring(lanes, along, chance()) for along in ALONG)
    assert tirings(lanes, chance) == alone
    assert alone[0].total.no_reps
