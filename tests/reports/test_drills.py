"""What a coach is told to do next class, and for whom."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.reports.drills import Report, advice_words, drills_page
from judgekit.review.faults import rate
from judgekit.review.frequencies import Person
from judgekit.review.sessions import FaultKey
from judgekit.review.skillplan import Drill, SkillPlan, in_minutes


def plan(*had: int, must_be: str = "Chest touches the floor") -> SkillPlan:
    drill = Drill(
        of=FaultKey("push-up", "depth", "judged"),
        movement="Push-up",
        call="DEPTH",
        cue="touch, then push",
        drill="Slow lowers",
        must_be=must_be,
        rate=rate(sum(had), 100),
        who=tuple(Person(str(n), f"Athlete {n}", "name") for n in range(len(had))),
        had=had,
    )
    return in_minutes("2027-05-08", [drill])


@pytest.mark.parametrize(
    ("had", "whom"),
    [
        ((7, 4, 2), "first for 0 Athlete 0 (7) and 1 Athlete 1 (4): 11 of 13 no-reps"),
        ((5,), "for 0 Athlete 0 (5): 5 of 5 no-reps"),
        ((2, 1), "first for 0 Athlete 0 (2): 2 of 3 no-reps"),
        ((1, 1, 1, 1, 1, 1), "for all: 6 athletes had it"),
    ],
)
def test_the_next_class_is_for_the_few_who_had_most_of_it_or_for_all(
    had: tuple[int, ...], whom: str
) -> None:
    assert list(advice_words(plan(*had))) == [
        f'Next class, 1: Push-up: DEPTH ("Chest touches the floor"), {whom}'
    ]


def test_where_it_is_known_how_many_tried_they_are_told_beside_who_had_it() -> None:
    (drill,) = plan(1, 1, 1, 1, 1, 1).drills
    of = SkillPlan(date="2027-05-08", drills=(replace(drill, of_athletes=11),))
    (line,) = advice_words(of)
    assert line.endswith("for all: 6 of 11 athletes had it")


def test_a_drill_says_what_the_standard_asks_and_how_often_each_one_had_it() -> None:
    page = drills_page(Report(event="Quayside", plan=plan(3, 1)))
    (row,) = page.sections[1].rows
    assert row.says == "The standard asks: Chest touches the floor"
    assert row.more[0] == "4 min: Slow lowers"
    assert "For: 0 Athlete 0 (3), 1 Athlete 1 (1)" in row.more


def test_of_a_fault_that_breaks_no_criterion_the_drill_comes_first() -> None:
    page = drills_page(Report(event="Quayside", plan=plan(2, must_be="")))
    (row,) = page.sections[1].rows
    assert row.says == "4 min: Slow lowers"
    assert "4 min: Slow lowers" not in row.more
    assert next(iter(advice_words(plan(2, must_be="")))).startswith(
        "Next class, 1: Push-up: DEPTH, for"
    )
