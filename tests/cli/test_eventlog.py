"""Lanes of the log as commands score them."""

from __future__ import annotations

from dataclasses import replace

from judgekit.cli.eventlog import result_of
from judgekit.core.entry import Claim, Recall, Rep
from judgekit.core.lane import empty, fold
from judgekit.core.plan import Plan, PlanTeam
from judgekit.core.runs import counting, runs_of
from judgekit.store.reading import LaneRead, with_second
from tests.support import ZERO_WALL, Played, simple


def read(judges: int) -> LaneRead:
    """Two reps that a second judge saw end a second and a half later."""
    plan = simple(2, team=PlanTeam(judges=judges))
    first, second = Played(plan).go(), Played(plan, book="s").go()
    first.each(Rep(), 5, 10)
    second.each(Rep(), 5, 11.5)
    return read_of(first, second)


def read_of(first: Played, second: Played) -> LaneRead:
    """A lane of a log in which both have written."""
    claim = replace(second.entries[0], body=Claim(judge="mm", source="second"))
    books = {"b": first.entries, "s": [claim, *second.entries[1:]]}
    runs = runs_of(books, first.plan.lane)
    run = counting(runs)
    assert run is not None
    lane = fold(first.plan, run.entries)
    return with_second(LaneRead(heat="3", number=4, runs=runs, run=run, lane=lane))


def test_where_two_judges_count_a_team_the_later_time_stands() -> None:
    assert result_of(read(2), ZERO_WALL).score.shown == "0:11"


def test_one_judge_where_two_are_to_count_leaves_the_score_open() -> None:
    both = read(2)
    alone = replace(both, runs=both.runs[:1], second=None)
    result = result_of(alone, ZERO_WALL).score
    assert (result.shown, result.provisional[-1]) == (
        "0:10",
        "one judge of two counted",
    )
    assert (
        "one judge of two counted" not in result_of(both, ZERO_WALL).score.provisional
    )


def test_a_second_judge_beside_one_scores_nothing() -> None:
    assert result_of(read(1), ZERO_WALL).score.shown == "0:10"


def recalled(plan: Plan, book: str, *reps: float) -> Played:
    """One rep, a recall, and the start that counts, if it came to that."""
    played = Played(plan, book=book).go()
    played.press(3, Rep())
    played.put(Recall(), 5000)
    if reps:
        played.lane = empty(plan)
        played.go().each(Rep(), *reps)
    return played


def test_after_a_recall_both_judges_count_the_new_start() -> None:
    plan = simple(20, team=PlanTeam(judges=2))
    reps = range(10, 34, 3)
    found = result_of(
        read_of(recalled(plan, "b", *reps), recalled(plan, "s", *reps)), ZERO_WALL
    )
    assert found.score.reps == 8


def test_a_second_judge_who_never_started_counts_nothing() -> None:
    plan = simple(2, team=PlanTeam(judges=2))
    first = Played(plan).go()
    first.each(Rep(), 5, 10)
    found = result_of(read_of(first, Played(plan, book="s")), ZERO_WALL)
    assert (found.beside, found.score.shown) == ((), "0:10")
