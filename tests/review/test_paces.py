"""The gym's own paces; each number worked by hand beside it."""

from __future__ import annotations

from dataclasses import replace
from statistics import quantiles

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import Freeze, MoveOn, Reading, Rep, Stop
from judgekit.core.plan import Member, PlanTeam
from judgekit.core.press import Called
from judgekit.review.exposure import Kind
from judgekit.review.paces import GymPace, Took, gym_paces, took
from tests.building import every, plan_of, played, rounds, tries, window
from tests.support import Played, for_time, movement, simple

SQUAT, TOES = Kind("front-squat", "reps"), Kind("toes-to-bar", "reps")
ROW = Kind("row", "calories")


def told(lane: Played) -> list[tuple[Kind, int, int]]:
    return [(one.kind, one.units, one.ms) for one in took("ada", lane.lane)]


def test_a_set_runs_from_the_end_of_the_one_before_to_its_last_unit() -> None:
    """Squats until 0:06, toes-to-bar until 0:11.5; the row from 1:20 on, after a rest.

    Round 2: squats from 0:11.5 to 0:18 with a no-rep in it, toes-to-bar until 0:20.
    """
    lane = Played(for_time()).go()
    lane.each(Rep(), 2, 4, 6, 9, 11.5, 14, 16)
    lane.press(17, Called(fault="depth"))
    lane.each(Rep(), 18, 19, 20)
    lane.press(96, Reading(shows=4))
    assert told(lane) == [
        (SQUAT, 3, 6000),
        (TOES, 2, 5500),
        (SQUAT, 3, 6500),
        (TOES, 2, 2000),
        (ROW, 4, 16_000),
    ]
    assert {one.who for one in took("ada", lane.lane)} == {"ada"}


def test_a_set_left_short_tells_nothing_and_the_next_begins_where_it_was_left() -> None:
    lane = Played(for_time()).go()
    lane.each(Rep(), 2, 4)
    lane.press(10, MoveOn(why="hands"))
    lane.each(Rep(), 12, 15)
    # The last squat judged was at 0:04; nobody knows when the athlete went on.
    assert told(lane) == [(TOES, 2, 11_000)]


def test_an_interval_begins_with_its_clock() -> None:
    lane = played(plan_of(every(2, movement("front-squat", 2))), 5, 9, 65, 68)
    assert told(lane) == [(SQUAT, 2, 9000), (SQUAT, 2, 8000)]


def test_what_has_no_pace_tells_nothing() -> None:
    lift = played(plan_of(tries(2), score="load"), 5, 20)
    most = played(plan_of(window(60, movement("front-squat", 0))), 5, 20)
    held = plan_of(rounds(1, movement("plank", 2, unit="seconds")))
    assert told(lift) == told(most) == told(played(held, 1, 5)) == []


@pytest.mark.parametrize("what", [Stop(sign="pain"), Freeze(why="rope snapped")])
def test_a_lane_that_was_stopped_or_frozen_tells_nothing(what: Stop | Freeze) -> None:
    lane = played(simple(2), 5, 10)
    assert told(lane) == [(SQUAT, 2, 10_000)]
    lane.press(11, what)
    assert told(lane) == []


def test_a_team_s_pace_is_no_athlete_s() -> None:
    team = PlanTeam(members=(Member(bib="7", name="Ada"),), how="shared")
    assert told(played(simple(2, team=team), 5, 10)) == []


def rows(*each_ms: int, units: int = 10) -> list[Took]:
    """Athletes who took so many ms for each unit."""
    return [
        Took(who=f"a{n}", kind=SQUAT, units=units, ms=ms * units)
        for n, ms in enumerate(each_ms)
    ]


def test_the_median_and_the_quartiles_of_athletes() -> None:
    # 1.0, 1.5, 2.0, 2.5 and 4.0 s: the middle is 2.0, a quarter up 1.5, three 2.5.
    pace = GymPace(athletes=5, quick_ms=1500, middle_ms=2000, slow_ms=2500)
    assert gym_paces(rows(4000, 1000, 2500, 1500, 2000)) == {SQUAT: pace}


def test_everybody_counts_once_with_all_that_they_did() -> None:
    """10 units at 1 s and 30 at 2 s are 40 in 70 s: 1.75 s."""
    five = rows(1000, 1500, 2000, 2500, 4000)
    again = Took(who="a0", kind=SQUAT, units=30, ms=60_000)
    # 1.75, 1.5, 2.0, 2.5, 4.0.
    pace = GymPace(athletes=5, quick_ms=1750, middle_ms=2000, slow_ms=2500)
    assert gym_paces([*five, again]) == {SQUAT: pace}


def test_under_five_athletes_or_ten_units_each_there_is_no_pace() -> None:
    assert gym_paces(rows(1000, 1500, 2000, 2500)) == {}
    assert gym_paces(rows(1000, 1500, 2000, 2500, 4000, units=9)) == {}
    few = replace(rows(9000)[0], who="few", units=9)
    pace = gym_paces([*rows(1000, 1500, 2000, 2500, 4000), few])[SQUAT]
    assert pace.athletes == 5


@given(st.lists(st.integers(1, 20_000), min_size=5, max_size=40))
def test_the_quartiles_are_numpy_s(each: list[int]) -> None:
    pace = gym_paces(rows(*each))[SQUAT]
    found = (pace.quick_ms, pace.middle_ms, pace.slow_ms)
    wanted = np.percentile(each, (25, 50, 75))
    assert found == pytest.approx(wanted, abs=0.5)
    assert list(found) == [round(q) for q in quantiles(each, n=4, method="inclusive")]


@given(st.permutations(range(6)))
def test_the_order_of_the_logs_never_matters(order: list[int]) -> None:
    some = rows(1000, 1500, 2000, 2500, 4000, 1200)
    assert gym_paces([some[n] for n in order]) == gym_paces(some)
