"""What a coach is told to do next class, and for whom."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.reports.drills import Report, advice_words, drills_page
from judgekit.review.faults import rate
from judgekit.review.frequencies import Person
from judgekit.review.sessions import FaultKey, LaneSum, MovementSum
from judgekit.review.skillplan import (
    Drill,
    Kept,
    Planned,
    SkillPlan,
    in_minutes,
    moved,
)


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
        (
            (2, 2, 2),
            "for 0 Athlete 0 (2), 1 Athlete 1 (2) and 2 Athlete 2 (2): 6 of 6 no-reps",
        ),
        (
            (4, 2, 2, 1),
            (
                "first for 0 Athlete 0 (4), 1 Athlete 1 (2) and 2 Athlete 2 (2): "
                "8 of 9 no-reps"
            ),
        ),
        ((3, 1, 1, 1), "for all: 4 athletes had it"),
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


def test_where_nobody_knows_how_often_each_had_it_it_is_for_all() -> None:
    (drill,) = plan(3, 1).drills
    of = SkillPlan(date="2027-05-08", drills=(replace(drill, had=()),))
    (line,) = advice_words(of)
    assert line.endswith("for all: 2 athletes had it")


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


def moved_lines(*faults: tuple[int, int]) -> list[tuple[str, ...]]:
    """What is said of faults had by so many of 318 then, and of 102 now."""
    drills = tuple(
        Planned(FaultKey(f"card-{n}", "depth", "judged"), f"Move {n}", "X", then, 318)
        for n, (then, _) in enumerate(faults)
    )
    sums = tuple(
        MovementSum(f"card-{n}", f"Move {n}", "judged", 102, (("depth", now),), ())
        for n, (_, now) in enumerate(faults)
    )
    before = Kept(date="2027-05-01", drills=drills)
    found = moved(before, [LaneSum(date="2027-05-08", sums=sums)], "2027-05-08")
    page = drills_page(Report(event="Quay", plan=plan(1), before=before, moved=found))
    return [(row.says, *row.more) for row in page.sections[0].rows]


def test_a_range_beyond_nought_says_why_nothing_can_be_told() -> None:
    """14 of 318, then 10 of 102: the range is above nought, Fisher's test .0503."""
    told = "now 10 of 102, then 14 of 318; +5.4 points, likely +0.2 to +12.9"
    others = (
        "The range leaves out nought, but 2 faults were looked at, and by chance alone "
        "one of several may move as far: more attempts will tell."
    )
    few = (
        "The range leaves out nought, but in so few attempts chance alone may move it "
        "as far: more attempts will tell."
    )
    both, unmoved = moved_lines((14, 10), (14, 5))
    assert both == ("cannot tell yet", told, others)
    assert moved_lines((14, 10)) == [("cannot tell yet", told, few)]
    # Neither where the range holds nought, nor where something can be told.
    assert len(unmoved) == len(moved_lines((14, 40))[0]) == 2
