"""Today's volume beside what was done before: spans, sessions, rates, stops, advice."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import GoOn, NoRep, Reading, Rep, Rule, Stop, Withdraw
from judgekit.core.plan import Member, Plan, PlanPart, PlanTeam, SetKey
from judgekit.core.press import Act, Called, TakeBackOne
from judgekit.core.ruling import RepsInSet
from judgekit.core.tryentry import Works
from judgekit.review.exposure import (
    Exposure,
    Found,
    Kind,
    PastLane,
    PlannedLane,
    Span,
    StopMade,
    StopSince,
    WorkDone,
    exposure,
    past_lane,
)
from judgekit.review.faults import rate
from tests.support import SQUAT, Played, card, for_time, movement, simple, window

if TYPE_CHECKING:
    from judgekit.core.workout import TeamWork

TODAY = 800_000
TOES = replace(card("toes-to-bar", floor=850), caution="Five to ten at first.")
REPS = Kind("toes-to-bar", "reps")


def toes(reps: int, **changes: object) -> Plan:
    part = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("toes-to-bar", reps),)
    )
    return replace(simple(parts=(part,), cards=(TOES,)), **changes)  # type: ignore[arg-type]


def today(plan: Plan, who: str = "ines") -> PlannedLane:
    return PlannedLane(who=who, day=TODAY, plan=plan)


def did(days_ago: int, done: int, no_reps: int = 0, who: str = "ines") -> PastLane:
    work = WorkDone(kind=REPS, done=done, attempts=done + no_reps, no_reps=no_reps)
    return PastLane(who=who, day=TODAY - days_ago, work=(work,))


def span(days: int, sessions: int, most: int, total: int, no_reps: int = 0) -> Span:
    return Span(
        days=days,
        sessions=sessions,
        most=most,
        total=total,
        rate=rate(no_reps, total + no_reps),
    )


def row(planned: int, *past: PastLane) -> Exposure:
    (found,) = exposure([today(toes(planned))], past).rows
    return found


def test_a_row_holds_today_s_volume_and_what_was_done_in_each_span() -> None:
    plan = toes(60)
    found = exposure([today(plan)], [did(3, 12, 2), did(20, 30, 3), did(40, 50)])
    assert found == Found(
        rows=(
            Exposure(
                who="ines",
                day=TODAY,
                joined=True,
                plans=(plan,),
                card="toes-to-bar",
                movement="Toes to bar",
                instead_of="",
                caution="Five to ten at first.",
                unit="reps",
                planned=60,
                each_round=0,
                spans=(
                    span(7, 1, 12, 12, 2),
                    span(28, 2, 30, 42, 5),
                    span(56, 3, 50, 92, 5),
                ),
                little="",
            ),
        ),
        stops=(),
        alone=(),
    )


@pytest.mark.parametrize(
    ("days_ago", "sessions"),
    [
        (1, (1, 1, 1)),
        (7, (1, 1, 1)),
        (8, (0, 1, 1)),
        (28, (0, 1, 1)),
        (29, (0, 0, 1)),
        (56, (0, 0, 1)),
        (57, (0, 0, 0)),
        (0, (0, 0, 0)),
        (-1, (0, 0, 0)),
    ],
)
def test_a_day_on_the_edge_belongs_to_the_span(
    days_ago: int, sessions: tuple[int, ...]
) -> None:
    """What is dated today or later is no past."""
    found = row(10, did(days_ago, 10))
    assert tuple(s.sessions for s in found.spans) == sessions


def test_a_session_is_all_that_was_done_on_one_day() -> None:
    found = row(10, did(2, 10), did(2, 15), did(3, 20))
    assert found.spans[0] == span(7, 2, 25, 45)


def test_people_are_joined_by_who_they_are_and_nobody_else_s_work_counts() -> None:
    found = exposure(
        [today(toes(5, bib="1"), "ines"), today(toes(5, bib="2"), "bo")],
        [did(2, 10, who="bo"), did(2, 99, who="somebody")],
    )
    assert [(r.who, r.spans[0].total) for r in found.rows] == [("ines", 0), ("bo", 10)]


def test_the_day_s_volume_is_that_of_all_lanes_of_the_day() -> None:
    lanes = [today(toes(20, heat="1")), today(toes(15, heat="2"))]
    tomorrow = replace(today(toes(7, heat="3")), day=TODAY + 1)
    for given_order in (lanes, lanes[::-1]):
        found = exposure([*given_order, tomorrow], [did(5, 9)])
        assert [(r.planned, [p.heat for p in r.plans]) for r in found.rows] == [
            (35, ["1", "2"]),
            (7, ["3"]),
        ]


@pytest.mark.parametrize(
    ("planned", "past", "little"),
    [
        (1, (), "none"),
        (1, ((57, 100),), "none"),
        (24, ((28, 12),), ""),
        (25, ((28, 12),), "jump"),
        (25, ((28, 12), (27, 13)), ""),
        (1, ((29, 100),), "jump"),
    ],
)
def test_exposure_is_little_where_there_is_none_or_today_is_more_than_twice_the_most(
    planned: int, past: tuple[tuple[int, int], ...], little: str
) -> None:
    assert row(planned, *(did(*one) for one in past)).little == little


def test_a_card_without_a_caution_gets_no_advice() -> None:
    (found,) = exposure([today(simple(100))], []).rows
    assert (found.caution, found.little) == ("", "")


def test_what_is_done_instead_today_is_what_is_planned() -> None:
    part = toes(20).parts[0]
    knees = replace(
        part.movements[0], card="front-squat", instead_of="Toes to bar", targets=(9,)
    )
    plan = toes(1, cards=(SQUAT,))
    plan = replace(plan, parts=(replace(part, movements=(knees,)),))
    (found,) = exposure([today(plan)], [did(1, 50)]).rows
    assert (found.movement, found.instead_of, found.planned) == (
        "Front squat",
        "Toes to bar",
        9,
    )
    assert found.spans[0].total == 0


def test_in_a_window_the_volume_is_what_fits_at_an_ordinary_pace() -> None:
    """5 at 2.4 s and 8 at 1.7 s take 25.6 s a round: 11 rounds, then 5 and 3 more."""
    found = exposure([today(window())], [])
    assert [(r.movement, r.planned, r.each_round) for r in found.rows] == [
        ("Front squat", 60, 5),
        ("Toes to bar", 91, 8),
    ]


def test_a_window_too_short_for_a_round_still_asks_for_one() -> None:
    part = replace(window().parts[0], length_ms=2000)
    found = exposure([today(window(parts=(part,)))], [])
    assert [(r.planned, r.each_round) for r in found.rows] == [(5, 5), (8, 8)]


def test_a_movement_counted_in_two_units_has_a_row_for_each() -> None:
    parts = tuple(
        PlanPart(
            id=unit, kind="rounds", rounds=1, movements=(movement("row", 9, unit=unit),)
        )
        for unit in ("calories", "metres")
    )
    metres = WorkDone(kind=Kind("row", "metres"), done=500)
    lane = PastLane(who="ines", day=TODAY - 1, work=(metres,))
    found = exposure([today(simple(parts=parts, cards=(card("row"),)))], [lane])
    assert [(r.unit, r.spans[0].total) for r in found.rows] == [
        ("calories", 0),
        ("metres", 500),
    ]
    assert [r.spans[0].rate.attempts for r in found.rows] == [None, None]


# --- what a lane adds ----------------------------------------------------------------


def test_a_lane_adds_the_units_that_count_and_the_attempts_that_were_judged() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 5, 8)
    played.press(11, Called(fault="depth"))
    played.each(Rep(), 14, 16)
    played.press(18, TakeBackOne())
    played.press(20, Rep())
    played.each(Rep(), 23, 26, 29, 33, 36)
    played.press(100, Reading(shows=4))
    lane = played.lane
    assert past_lane("ines", 5, lane) == PastLane(
        who="ines",
        day=5,
        work=(
            WorkDone(kind=Kind("front-squat", "reps"), done=6, attempts=6),
            WorkDone(kind=Kind("row", "calories"), done=4),
            WorkDone(kind=REPS, done=4, attempts=5, no_reps=1),
        ),
    )


def test_reps_given_by_a_ruling_are_volume_and_no_attempts() -> None:
    played = Played(simple(10)).go()
    played.press(5, Rep(n=3))
    played.press(9, Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=2), why="video"))
    assert past_lane("ines", 5, played.lane).work == (
        WorkDone(kind=Kind("front-squat", "reps"), done=5, attempts=3),
    )


def test_no_reps_alone_are_a_session_of_nothing_that_counted() -> None:
    played = Played(toes(5)).go()
    played.each(NoRep(), 5, 8)
    found = row(1, past_lane("ines", TODAY - 1, played.lane))
    assert found.spans[0] == span(7, 1, 0, 0, 2)


def test_no_reps_on_a_monitor_s_set_are_no_attempts() -> None:
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=1,
        movements=(movement("row", 9, unit="calories"),),
    )
    played = Played(simple(parts=(part,), cards=(card("row"),))).go()
    played.press(5, NoRep())
    played.press(20, Reading(shows=9))
    assert played.refusals == []
    assert past_lane("ines", 5, played.lane).work == (
        WorkDone(kind=Kind("row", "calories"), done=9),
    )


def test_a_lane_in_which_nothing_was_done_adds_nothing() -> None:
    played = Played(simple(5)).go()
    played.press(5, Withdraw())
    assert past_lane("ines", 5, played.lane) == PastLane(who="ines", day=5)


# --- stops ---------------------------------------------------------------------------


def stopped(*presses: tuple[float, Act]) -> tuple[StopMade, ...]:
    played = Played(for_time()).go()
    for second, act in presses:
        played.press(second, act)
    assert played.refusals == []
    return past_lane("ines", 5, played.lane).stops


def test_a_stop_is_at_the_movement_under_way_with_its_sign() -> None:
    assert stopped((1, Stop(sign="dizzy"))) == (
        StopMade(movement="Front squat", sign="dizzy"),
    )
    three = ((2.0, Rep()), (5.0, Rep()), (8.0, Rep()))
    assert stopped(*three, (9, Stop())) == (StopMade(movement="Toes to bar", sign=""),)
    assert stopped(*three, (9, Stop()), (20, Stop(sign="pale"))) == (
        StopMade(movement="Toes to bar", sign="pale"),
    )
    assert stopped(*three[:2], (9, Stop())) == (
        StopMade(movement="Front squat", sign=""),
    )


def test_a_stop_by_mistake_is_none_and_one_that_somebody_lifted_stays() -> None:
    mistake, lifted = GoOn(by_mistake=True), GoOn(by_mistake=False, by="Dag")
    assert stopped((2, Stop()), (3, mistake)) == ()
    assert stopped((2, Stop(sign="pale")), (3, lifted), (5, Stop()), (6, mistake)) == (
        StopMade(movement="Front squat", sign="pale"),
    )


@pytest.mark.parametrize(("days_ago", "told"), [(1, 1), (14, 1), (15, 0), (0, 0)])
def test_stops_are_told_for_fourteen_days(days_ago: int, told: int) -> None:
    stop = StopMade(movement="Row", sign="dizzy")
    past = PastLane(who="ines", day=TODAY - days_ago, stops=(stop,))
    plan = toes(5)
    since = StopSince(plan=plan, days_ago=days_ago, day=past.day, stop=stop)
    assert exposure([today(plan)], [past]).stops == (since,) * told


def test_who_cannot_be_joined_is_named_once() -> None:
    lanes = [
        replace(today(toes(5, bib=bib, heat=heat), bib), joined=joined)
        for bib, heat, joined in (
            ("2", "1", False),
            ("2", "2", False),
            ("1", "1", True),
        )
    ]
    found = exposure(lanes, [])
    assert [(p.bib, p.heat) for p in found.alone] == [("2", "1")]


# --- laws ----------------------------------------------------------------------------

_PAST = st.lists(
    st.builds(
        did,
        st.integers(-3, 90),
        st.integers(0, 200),
        st.integers(0, 30),
        st.sampled_from(["ines", "bo"]),
    ),
    max_size=8,
)


@given(_PAST, st.integers(57, 5000), st.integers(0, 500), st.integers(1, 200))
def test_what_is_older_than_every_span_changes_nothing(
    past: list[PastLane], days_ago: int, done: int, planned: int
) -> None:
    lanes = [today(toes(planned))]
    older = replace(did(days_ago, done), stops=(StopMade(movement="Row", sign=""),))
    assert exposure(lanes, [*past, older]) == exposure(lanes, past)


@given(_PAST, st.randoms(use_true_random=False), st.integers(1, 200))
def test_the_order_of_the_past_changes_nothing_and_longer_spans_hold_shorter_ones(
    past: list[PastLane], shuffled: object, planned: int
) -> None:
    found = row(planned, *past)
    mixed = list(past)
    shuffled.shuffle(mixed)  # type: ignore[attr-defined]
    assert row(planned, *mixed) == found
    for shorter, longer in zip(found.spans, found.spans[1:], strict=False):
        assert shorter.sessions <= longer.sessions
        assert shorter.most <= longer.most
        assert shorter.total <= longer.total


MEMBERS = (Member(bib="1", name="Ines Varga"), Member(bib="2", name="Bo Lindt"))


def of_team(how: TeamWork, *acts: tuple[float, Act]) -> list[PastLane]:
    """What each of the two did in a lane of ten toes-to-bar."""
    played = Played(toes(10, team=PlanTeam(members=MEMBERS, how=how))).go()
    for at, act in acts:
        played.press(at, act)
    assert played.refusals == []
    return [past_lane(one.name, 0, played.lane, one.bib) for one in MEMBERS]


def test_a_member_of_a_team_did_what_was_counted_while_they_worked() -> None:
    one, two = of_team(
        "shared",
        (1, Works(bib="1")),
        (10, Rep(n=3)),
        (12, NoRep()),
        (13, Works(bib="2")),
        (30, Rep(n=4)),
    )
    assert one.work == (WorkDone(kind=REPS, done=3, attempts=4, no_reps=1),)
    assert two.work == (WorkDone(kind=REPS, done=4, attempts=4),)


def test_where_nobody_said_who_worked_each_has_an_even_share_and_no_rate() -> None:
    for lane in of_team("shared", (10, Rep(n=7)), (12, NoRep())):
        assert lane.work == (WorkDone(kind=REPS, done=3),)


def test_what_is_done_together_is_done_by_each() -> None:
    for lane in of_team("together", (10, Rep(n=7)), (12, NoRep())):
        assert lane.work == (WorkDone(kind=REPS, done=7, attempts=8, no_reps=1),)


def test_a_member_is_to_do_a_share_of_what_the_team_is() -> None:
    (found,) = exposure([replace(today(toes(15)), among=2)], ()).rows
    assert found.planned == 8
    ends = replace(window(), cards=(SQUAT, TOES))
    rows = exposure([replace(today(ends), among=2)], ()).rows
    assert [one.each_round for one in rows] == [3, 4]
