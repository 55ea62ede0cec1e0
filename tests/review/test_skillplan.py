from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.review.differences import Count, difference
from judgekit.review.faults import rate
from judgekit.review.frequencies import Person
from judgekit.review.sessions import FaultKey, lane_sum
from judgekit.review.skillplan import (
    Drill,
    Kept,
    Moved,
    Planned,
    Verdict,
    kept,
    moved,
    skill_plan,
)
from tests.review.made_rows import counted, facts, on
from tests.support import card, fault

DAY, NEXT = "2027-05-08", "2027-05-15"
DEPTH = FaultKey("front-squat", "depth", "judged")
LANES = [
    counted(facts("1", lane=1), 20, ("depth",), ("lock",)),
    counted(facts("2", lane=2, show="initials"), 20, *[("depth",)] * 3),
]


def test_a_block_has_the_cue_the_drill_and_who_needs_it() -> None:
    plan = skill_plan(LANES, DAY)
    assert plan.drills == (
        Drill(
            of=DEPTH,
            movement="Front squat",
            call="DEPTH",
            cue="one",
            drill="Ten slow ones",
            minutes=4,
            watched=1,
            rate=rate(4, 45),
            who=(
                Person("2", "Athlete 2", "initials"),
                Person("1", "Athlete 1", "name"),
            ),
            must_be="Hip crease below the knee",
            had=(3, 1),
            of_athletes=2,
        ),
    )


@pytest.mark.parametrize("many", [1, 2, 3, 5])
def test_a_block_takes_five_to_eight_minutes(many: int) -> None:
    faults = tuple(fault(f"f{n}", "dkhst"[n]) for n in range(many))
    squat = replace(card("front-squat"), faults=faults)
    reasons = [(one.id,) for one in faults for _ in range(3)]
    plan = skill_plan([counted(facts("1", cards=(squat,)), 40, *reasons)], DAY)
    assert len(plan.drills) == min(many, 3)
    assert 5 <= plan.minutes <= 8
    assert all(drill.watched for drill in plan.drills)


@pytest.mark.parametrize(
    "reasons",
    [
        [],
        [("depth",)],
        [(), ()],
        [("gone",), ("gone",)],
    ],
)
def test_one_no_rep_none_named_or_one_off_the_card_is_not_drilled(
    reasons: list[tuple[str, ...]],
) -> None:
    plan = skill_plan([counted(facts("1"), 30, *reasons)], DAY)
    assert (plan.drills, plan.minutes) == ((), 0)
    assert skill_plan([], DAY).drills == ()


def test_what_is_kept_names_nobody() -> None:
    assert kept(skill_plan(LANES, DAY)) == Kept(
        date=DAY, drills=(Planned(DEPTH, "Front squat", "DEPTH", 4, 45),)
    )


@pytest.mark.parametrize(
    ("then", "now", "verdict"),
    [
        ((30, 100), (5, 100), "fewer"),
        ((5, 100), (30, 100), "more"),
        ((4, 40), (3, 40), "cannot tell yet"),
        ((4, 40), (0, 0), "not tried since"),
    ],
)
def test_whether_it_moved_is_said_only_where_that_is_sure(
    then: tuple[int, int], now: tuple[int, int], verdict: Verdict
) -> None:
    planned = Planned(DEPTH, "Front squat", "DEPTH", *then)
    lane = counted(facts("1"), now[1] - now[0], *[("depth",)] * now[0])
    lanes = [lane_sum(on(lane, NEXT)), lane_sum(on(LANES[0], DAY))]
    assert moved(Kept(date=DAY, drills=(planned,)), lanes, NEXT) == (
        Moved(
            planned=planned,
            then=rate(*then),
            now=rate(*now) if now[1] else None,
            by=difference(Count(*now), Count(*then)),
            verdict=verdict,
        ),
    )


def test_what_was_not_tried_since_raises_the_bar_for_nothing() -> None:
    """Both compared, 13 and 4 of 100 would not be believed; alone they are."""
    one = Planned(DEPTH, "Front squat", "DEPTH", 13, 100)
    idle = Planned(FaultKey("row", "short", "judged"), "Row", "SHORT", 9, 40)
    same = Planned(
        FaultKey("front-squat", "lock", "judged"), "Front squat", "LOCK", 0, 9
    )
    lane = lane_sum(on(counted(facts("1"), 96, *[("depth",)] * 4), NEXT))

    def verdicts(*drills: Planned) -> list[Verdict]:
        found = moved(Kept(date=DAY, drills=drills), [lane], NEXT)
        return [each.verdict for each in found]

    assert verdicts(one, idle) == ["fewer", "not tried since"]
    assert verdicts(one, same) == ["cannot tell yet", "cannot tell yet"]
