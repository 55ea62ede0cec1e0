"""An event's order from its lanes, and all of a workout's again after one ruling.

The floor sorts the same tuples that the product ranks by, and does nothing else.
"""

from __future__ import annotations

import random
import time
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import Rep, Rule, Time
from judgekit.core.points import Overall
from judgekit.core.ruling import RepsInSet
from judgekit.core.score import score
from judgekit.reports.overall import contests
from judgekit.reports.standings import Result, standings
from tests.bench.arithmetic import Measured
from tests.bench.rows import Group, Line, Row, Setting, in_rounds, lines
from tests.building import plan_of, window
from tests.support import Played, movement

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from judgekit.core.counted import RankKey
    from judgekit.core.state import Lane

_ATHLETES, _WORKOUTS, _LANES = 1000, 6, 200
_MOST_REPS = 60
_ROWS: Mapping[str, Row] = {
    "standings": Row(
        name="standings",
        says="1,000 athletes x 6 workouts scored and ranked, against sorting them",
        goals={"p50": 800},
    ),
    "ranking": Row(
        name="ranking",
        says="the same with their scores at hand: places and overall alone",
        goals={"p50": 200},
    ),
    "ruling": Row(
        name="ruling",
        says="one ruling, then its 200 lanes scored and ranked, against sorting them",
        goals={"p50": 1000},
    ),
}


# How often each floor is repeated, so that it takes about as long as the product.
_FLOORS: Mapping[str, int] = {"standings": 300, "ranking": 100, "ruling": 500}


def _played() -> list[Played]:
    """One lane for each number of reps from none to the most."""
    plan = plan_of(window(300, movement("front-squat", 5), movement("toes-to-bar", 8)))
    lanes = []
    for reps in range(_MOST_REPS):
        played = Played(plan).go()
        played.each(Rep(), *(4.0 * n for n in range(1, reps + 1)))
        played.press(300, Time())
        lanes.append(played)
    return lanes


def _lanes(athletes: int, workouts: int) -> list[Lane]:
    """Each athlete's lane in each workout, their reps by chance and always the same."""
    chance = random.Random(1)  # noqa: S311 - order, not secrets
    made = [played.lane for played in _played()]
    found = []
    for number in range(workouts):
        for bib in range(athletes):
            lane = chance.choice(made)
            plan = replace(lane.plan, workout=f"w{number}", bib=str(bib), lane=1)
            found.append(replace(lane, plan=plan))
    return found


def _ranked(lanes: Sequence[Lane]) -> list[Result]:
    results = [Result(lane=lane, score=score(lane)) for lane in lanes]
    _ordered(results)
    return results


def _ordered(results: Sequence[Result]) -> int:
    (found,) = contests(standings(results), Overall(), ())
    return len(found.whole.places)


def _sorted(keys: Sequence[Sequence[RankKey]]) -> int:
    return sum(len(sorted(group)) for group in keys)


def _keys(results: Sequence[Result]) -> list[list[RankKey]]:
    groups: dict[str, list[RankKey]] = {}
    for result in results:
        key = result.score.rank_key or ()
        groups.setdefault(result.lane.plan.workout, []).append(key)
    return list(groups.values())


def _took(work: Callable[[], object], times: int = 1) -> Callable[[], float]:
    """The time of one, of so many in a row.

    A floor shorter than the scheduler's slice is never put aside on a busy machine, and
    the product is: each must take about as long.
    """

    def measured() -> float:
        began = time.perf_counter()
        for _ in range(times):
            work()
        return (time.perf_counter() - began) / times

    return measured


def _ruled() -> Callable[[], object]:
    """A ruling on one lane of two hundred, and all of them ranked anew."""
    lanes = _lanes(_LANES, 1)
    played = _played()[-1]
    effect = RepsInSet(set=played.lane.work.sets[0].key, by=-1)

    def work() -> None:
        before = played.lane
        played.press(400, Rule(effect=effect, why="video"))
        _ranked([played.lane, *lanes[1:]])
        played.lane = before
        played.entries.pop()

    return work


def measure(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Every row's work in turn with its floor, twice in every round."""
    lanes = _lanes(_ATHLETES, _WORKOUTS)
    results = _ranked(lanes)
    many, few = _keys(results), _keys(results[:_LANES])
    works: Mapping[str, tuple[Callable[[], object], Callable[[], object]]] = {
        "standings": (lambda: _ranked(lanes), lambda: _sorted(many)),
        "ranking": (lambda: _ordered(results), lambda: _sorted(many)),
        "ruling": (_ruled(), lambda: _sorted(few)),
    }
    for name in wanted:
        product, floor = works[name]
        measures = {
            "product": _took(product),
            "floor": _took(floor, _FLOORS[name]),
            "again": _took(floor, _FLOORS[name]),
        }
        found = in_rounds(measures, setting.rounds(), 1, setting.chance)
        yield from lines(_ROWS[name], Measured(**found))


GROUP = Group(names=tuple(_ROWS), measure=measure)
