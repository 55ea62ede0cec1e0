"""When in the work no-reps come: on small numbers, and where the truth is known."""

from __future__ import annotations

import random
from dataclasses import replace
from statistics import median
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import NoRep, Rep, Rule
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import SetKey
from judgekit.core.press import WriteNoReps
from judgekit.core.ruling import StartBy
from judgekit.review.attempts import lane_rows
from judgekit.review.faults import rate
from judgekit.review.tiring import DRAWS, Along, Tiring, tiring
from tests.review.made_rows import counted, facts, simulated
from tests.support import Played, simple

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.review.attempts import AttemptRow, LaneRows

ATHLETES = 16


def chance(seed: int = 1) -> random.Random:
    return random.Random(seed)  # noqa: S311 - the same draws every time


def a_class(seed: int, missed: Callable[[int], float]) -> list[LaneRows]:
    drawn = chance(seed)
    return [simulated(facts(str(n)), drawn, missed) for n in range(ATHLETES)]


def late(rep: int) -> float:
    """The truth of a class that tires: from rep 9 on three times as many."""
    return 0.03 if rep < 9 else 0.12


def level(_rep: int) -> float:
    return 0.07


def test_several_reps_at_a_press_are_each_at_a_place_of_their_own() -> None:
    found = tiring([counted(facts("1"), 3, ("depth",))], "rep", chance())
    assert [(p.at, p.rate, p.athletes) for p in found.places] == [
        (1, rate(0, 1), 1),
        (2, rate(0, 1), 1),
        (3, rate(0, 1), 1),
        (4, rate(1, 1), 1),
    ]
    assert found.total == rate(1, 4)


def test_rounds_and_minutes_are_places_too() -> None:
    rows = simulated(facts("1"), chance(), lambda _: 0.0, sets=3, reps=10)
    rounds = tiring([rows], "round", chance())
    assert [(p.at, p.rate.attempts) for p in rounds.places] == [
        (1, 10),
        (2, 10),
        (3, 10),
    ]
    minutes = tiring([rows], "minute", chance())
    assert [(p.at, p.rate.attempts) for p in minutes.places] == [(1, 19), (2, 11)]


def test_few_no_reps_or_athletes_tell_nothing() -> None:
    assert tiring([], "rep", chance()).unsure == "few"
    few = tiring(a_class(1, lambda _: 0.001), "rep", chance())
    assert few.unsure == "few"
    alone = tiring(a_class(1, late)[:4], "rep", chance())
    assert (alone.unsure, alone.doubling) == ("few", None)


def test_from_where_on_no_reps_come_twice_as_often_is_found() -> None:
    found = tiring(a_class(3, late), "rep", chance())
    assert found.doubling is not None
    assert found.trend is not None
    assert found.trend.z > 0
    assert found.unsure == ""
    assert found.doubling.earliest <= found.doubling.at <= found.doubling.latest
    assert found.doubling.earliest <= 9 <= found.doubling.latest
    assert found.doubling.times is not None
    assert found.doubling.times.times > 2
    before, after = found.doubling.before.rate, found.doubling.after.rate
    assert before is not None
    assert after is not None
    assert before < 0.06 < after


def test_no_reps_that_come_early_are_no_doubling() -> None:
    found = tiring(a_class(3, lambda rep: 0.2 if rep < 4 else 0.02), "rep", chance())
    assert found.trend is not None
    assert found.trend.z < 0
    assert (found.doubling, found.unsure) == (None, "vague")


def test_one_tired_athlete_does_not_speak_for_all() -> None:
    """One who does the long sets, and misses much from the first rep on."""
    drawn = chance(5)
    steady = [simulated(facts(str(n)), drawn, lambda _: 0.02, reps=6) for n in range(9)]
    worn = simulated(facts("worn"), drawn, lambda _: 0.35, sets=9, reps=20)
    found = tiring([*steady, worn], "rep", chance())
    crude = [p.rate.rate or 0.0 for p in found.places]
    assert sum(crude[10:]) > 3 * sum(crude[:6])
    assert (found.unsure, found.doubling) == ("level", None)


def test_a_part_of_long_sets_that_is_missed_more_is_no_tiring() -> None:
    """Within each part the rate is level; late reps are those of the harder part."""
    drawn = chance(8)
    lanes = []
    for n in range(ATHLETES):
        short = simulated(facts(str(n)), drawn, lambda _: 0.02, sets=6, reps=6)
        long = simulated(
            facts(str(n)), drawn, lambda _: 0.15, sets=3, reps=20, part="B"
        )
        lanes += [short, long]
    assert tiring(lanes, "rep", chance()).unsure == "level"
    one = [replace(lane, attempts=in_one_part(lane)) for lane in lanes]
    assert tiring(one, "rep", chance()).unsure != "level"


def in_one_part(lane: LaneRows) -> tuple[AttemptRow, ...]:
    return tuple(row._replace(set=replace(row.set, part="A")) for row in lane.attempts)


def test_a_rise_that_is_no_doubling_is_told_as_a_rise_alone() -> None:
    drawn = chance(2)
    lanes = [
        simulated(facts(str(n)), drawn, lambda rep: 0.2 if rep < 9 else 0.27, sets=9)
        for n in range(40)
    ]
    found = tiring(lanes, "rep", chance())
    assert found.trend is not None
    assert found.trend.z > 2
    assert (found.doubling, found.unsure) == (None, "vague")


SEEDS = range(40)


def test_where_the_truth_is_known_it_is_found_and_its_bounds_hold() -> None:
    found = [tiring(a_class(100 + seed, late), "rep", chance(seed)) for seed in SEEDS]
    told = [one.doubling for one in found if one.doubling is not None]
    assert len(told) >= 0.8 * len(SEEDS)
    assert 8 <= median(one.at for one in told) <= 10
    held = sum(one.earliest <= 9 <= one.latest for one in told)
    assert held >= 0.9 * len(told)


def test_where_nothing_rises_it_is_hardly_ever_told_that_it_does() -> None:
    found = [tiring(a_class(900 + seed, level), "rep", chance(seed)) for seed in SEEDS]
    assert sum(one.doubling is not None for one in found) <= 2
    assert sum(is_risen(one) for one in found) <= 4


def is_risen(one: Tiring) -> bool:
    return one.trend is not None and one.trend.p <= 0.05


def test_the_same_chance_gives_the_same_answer() -> None:
    lanes = a_class(3, late)
    first = tiring(lanes, "rep", chance(7))
    assert tiring(lanes[::-1], "rep", chance(7)) == first
    assert DRAWS >= 200


@pytest.mark.parametrize("along", ["rep", "round", "minute"])
def test_nothing_has_no_places(along: str) -> None:
    found = tiring([], along, chance())  # type: ignore[arg-type]
    assert (found.places, found.total, found.trend) == ((), rate(0, 0), None)


@pytest.mark.parametrize("along", ["rep", "round", "minute"])
def test_paper_has_no_place_along_the_work(along: Along) -> None:
    played = Played(simple()).go()
    played.press(0, WriteNoReps(set=SetKey(1, 1, 1), n=2, fault="depth"))
    played.press(61, PaperTime())
    found = tiring([lane_rows(played.lane)], along, chance())
    assert (found.places, found.total.attempts) == ((), 0)


def test_what_came_before_a_start_ruled_later_is_of_the_first_minute() -> None:
    lane = counted(facts("1"), 3, ("depth",))
    early = tuple(row._replace(at=row.at - 5000) for row in lane.attempts)
    found = tiring([replace(lane, attempts=early)], "minute", chance())
    assert [place.at for place in found.places] == [1]


def test_minutes_follow_a_start_that_was_moved() -> None:
    """C24: a no-rep at 1:03 was at 0:51 once the start is ruled 12 s later."""
    played = Played(simple(9)).go()
    played.press(63, NoRep(faults=("depth",)))
    played.press(70, Rep())

    def minutes() -> list[tuple[int, int]]:
        found = tiring([lane_rows(played.lane)], "minute", chance())
        return [(place.at, place.rate.no_reps) for place in found.places]

    assert minutes() == [(2, 1)]
    played.press(600, Rule(effect=StartBy(by_ms=12_000), why="video"))
    assert minutes() == [(1, 1)]
