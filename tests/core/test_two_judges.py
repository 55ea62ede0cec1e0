"""One work that two judges count: rulings move the score, whichever count it is."""

from __future__ import annotations

import pytest

from judgekit.core.entry import NoRep, Rep, Rule, Time
from judgekit.core.plan import PlanTeam, SetKey
from judgekit.core.press import Act, RuleAt
from judgekit.core.ruling import RepsInSet, StartBy
from judgekit.core.twojudges import ALONE, score_of_both, second_lane
from tests.support import Played, simple, window

SET = SetKey(1, 1, 1)


def judge(book: str, *reps: str) -> Played:
    """A judge's log: + a good rep, - a no-rep, every three seconds from 2 s on."""
    played = Played(window(team=PlanTeam(judges=2)), book=book).go()
    for number, sign in enumerate(reps):
        act = Rep() if sign == "+" else NoRep(faults=("depth",))
        played.press(2 + 3 * number, act)
    played.press(300, Time())
    return played


@pytest.mark.parametrize(
    ("first", "second", "ruling", "counts"),
    [
        # 4 and 3: one more by ruling is 4, one less is 2.
        ("++++", "+++-", Rule(effect=RepsInSet(set=SET, by=1), why="video"), 4),
        ("++++", "+++-", Rule(effect=RepsInSet(set=SET, by=-1), why="video"), 2),
        # The first judge's no-rep counts after all, whatever the second one saw.
        ("++-+", "++-+", RuleAt(restore=True, at=8000, why="video"), 4),
        ("++-+", "++++", RuleAt(restore=True, at=8000, why="video"), 4),
        # A rep that does not count after all: the second one had none of it, or had.
        ("++++", "+++-", RuleAt(restore=False, at=11_000, why="video"), 3),
        ("++++", "++++", RuleAt(restore=False, at=11_000, why="video"), 3),
    ],
)
def test_a_ruling_moves_the_score_of_both(
    first: str, second: str, ruling: Act, counts: int
) -> None:
    one, two = judge("b", *first), judge("s", *second)
    one.press(400, ruling)
    assert one.refusals == []
    other = second_lane(one.lane, two.entries)
    assert score_of_both(one.lane, other).reps == counts


@pytest.mark.parametrize(("by", "shown"), [(5000, "0:07"), (-5000, "0:17")])
def test_a_moved_start_moves_the_time_of_both(by: int, shown: str) -> None:
    plan = simple(2, team=PlanTeam(judges=2))
    one, two = Played(plan).go(), Played(plan, book="s").go()
    one.each(Rep(), 8, 11)
    two.each(Rep(), 8, 12)
    one.press(60, Rule(effect=StartBy(by_ms=by), why="video"))
    assert score_of_both(one.lane, second_lane(one.lane, two.entries)).shown == shown


def test_alone_one_judge_leaves_the_score_open() -> None:
    one, two = judge("b", "+"), judge("s", "+")
    assert ALONE in score_of_both(one.lane, None).provisional
    assert ALONE not in score_of_both(one.lane, two.lane).provisional
