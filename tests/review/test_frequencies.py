from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import Cue, Rep
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import Member, PlanTeam, SetKey
from judgekit.core.press import Called, EndLook, ReportSet, WriteNoReps
from judgekit.core.watchentry import Look
from judgekit.review.attempts import CueRow, LaneRows, lane_rows
from judgekit.review.faults import Rate, fault_rates, rate
from judgekit.review.frequencies import (
    KEYS,
    Frequencies,
    Frequency,
    Key,
    Person,
    frequencies,
)
from tests.review.made_rows import counted, facts, squats
from tests.support import Played, card, fault, for_time, simple

TWO = [
    counted(facts("1", lane=1, judge="kb"), 16, ("depth",), ("depth",), ("lock",), ()),
    counted(facts("2", lane=2, judge="mo", division="men-open"), 28, ("depth", "lock")),
]


def told(found: Frequencies) -> list[tuple[tuple[str, ...], int, int | None, int]]:
    """Each row's values, no-reps, attempts and athletes."""
    return [
        (row.of, row.rate.no_reps, row.rate.attempts, row.athletes)
        for row in found.rows
    ]


def test_by_movement_and_fault_a_no_rep_counts_under_each_of_its_reasons() -> None:
    found = frequencies(TWO, ("movement", "fault"))
    assert told(found) == [
        (("front-squat", "depth"), 3, 49, 2),
        (("front-squat", "lock"), 2, 49, 2),
        (("front-squat", ""), 1, 49, 1),
    ]
    assert [row.share for row in found.rows] == [3 / 6, 2 / 6, 1 / 6]
    assert {row.good for row in found.rows} == {44}
    assert found.total == rate(5, 49)


def test_without_the_fault_a_no_rep_counts_once() -> None:
    found = frequencies(TWO, ("judge",))
    assert told(found) == [(("kb",), 4, 20, 1), (("mo",), 1, 29, 1)]
    assert [row.share for row in found.rows] == [4 / 5, 1 / 5]


@pytest.mark.parametrize(
    ("key", "values"),
    [
        ("movement", {"front-squat"}),
        ("athlete", {"1", "2"}),
        ("division", {"women-open", "men-open"}),
        ("part", {"A"}),
        ("round", {"A.1"}),
        ("judge", {"kb", "mo"}),
        ("workout", {"quayside"}),
        ("heat", {"3"}),
        ("date", {"2027-05-08"}),
    ],
)
def test_every_key_has_its_values(key: Key, values: set[str]) -> None:
    found = frequencies(TWO, (key,))
    assert {row.of[0] for row in found.rows} == values
    assert sum(row.rate.no_reps for row in found.rows) == 5


def lunges(one: LaneRows) -> LaneRows:
    """The same at a movement that has no fault of the squat's."""
    plan = one.facts.plan
    other = replace(card("lunge"), faults=(fault("knee", "k"),))
    own = replace(one.facts, plan=replace(plan, cards=(*plan.cards, other)))
    rows = tuple(
        row._replace(lane=own, set=replace(row.set, card="lunge", movement="Lunge"))
        for row in one.attempts
    )
    return replace(one, facts=own, attempts=rows)


def test_a_fault_is_out_of_the_attempts_at_movements_that_can_have_it() -> None:
    """Nobody can miss the knee in a squat, nor the depth in a lunge."""
    other = lunges(counted(facts("3"), 96, ("knee",), ("knee",), ("knee",), ()))
    found = frequencies([*TWO, other], ("fault",))
    assert {row.of: (row.rate, row.of_athletes) for row in found.rows} == {
        ("knee",): (rate(3, 100), 1),
        ("depth",): (rate(3, 49), 2),
        ("lock",): (rate(2, 49), 2),
        ("",): (rate(2, 149), 3),
    }
    assert sum(row.share or 0 for row in found.rows) == pytest.approx(1)
    mine = frequencies([*TWO, other], ("athlete", "fault"))
    assert {row.rate.attempts for row in mine.rows if row.of[1] == "depth"} == {20, 29}
    odd = lunges(counted(facts("4"), 9, ("depth",)))
    logged = frequencies([*TWO, odd], ("fault",))
    assert dict(zip(*_of_and_rate(logged), strict=True))["depth",] == rate(4, 59)


def _of_and_rate(found: Frequencies) -> tuple[list[tuple[str, ...]], list[Rate]]:
    return [row.of for row in found.rows], [row.rate for row in found.rows]


def test_a_part_is_named_after_its_workout_where_there_are_several() -> None:
    other = counted(facts("3", workout="towpath", workout_name="Towpath"), 5, ("lock",))
    found = frequencies([*TWO, other], ("part",))
    assert {row.of for row in found.rows} == {("quayside A",), ("towpath A",)}
    told_apart = frequencies([*TWO, other], ("workout", "round"))
    assert ("towpath", "towpath A.1") in {row.of for row in told_apart.rows}
    assert found.names["workout", "towpath"] == "Towpath"


def test_what_is_surely_frequent_and_shared_comes_before_what_is_loud() -> None:
    """Two in five by one athlete; one in five by each of four is the class."""
    loud = counted(facts("9", judge="mo"), 12, *[("lock",)] * 8)
    many = [counted(facts(str(n)), 16, *[("depth",)] * 4) for n in range(4)]
    found = frequencies([loud, *many], ("judge",))
    assert [(row.of, row.rate.rate) for row in found.rows] == [
        (("kb",), 0.2),
        (("mo",), 0.4),
    ]


def test_few_attempts_say_little() -> None:
    """Fewer than twenty, or an interval wider than a fifth."""
    small = {(0, 19): True, (0, 20): False, (5, 30): True, (10, 100): False}
    assert {key: rate(*key).is_small for key in small} == small
    assert not rate(1, None).is_small
    assert not rate(0, 0).is_small


def test_nothing_tried_and_nothing_missed_do_not_look_the_same() -> None:
    """C21: no attempt has no row and no rate, no miss a rate of nought."""
    lanes = [
        LaneRows(facts=facts("1")),
        counted(facts("2"), 50),
        counted(facts("3"), 2, ("depth",)),
    ]
    found = frequencies(lanes, ("athlete",))
    assert {row.of: row.rate.rate for row in found.rows} == {("2",): 0.0, ("3",): 1 / 3}
    none = frequencies([lanes[0]], KEYS)
    assert (none.rows, none.total) == ((), rate(0, 0))
    clean = frequencies([lanes[1]], ("fault",))
    assert (clean.rows, clean.total) == ((), rate(0, 50))


def test_a_reason_counts_as_logged_though_the_card_has_it_no_more() -> None:
    """C32: a renamed reason is neither lost nor moved to the one with its old key."""
    old = counted(facts("1"), 6, *[("depth",)] * 4)
    renamed = replace(
        card("front-squat"),
        revision=2,
        faults=(fault("squat_depth", "q"), fault("grip", "d")),
    )
    new = counted(facts("2", cards=(renamed,)), 10)
    found = frequencies([new, old], ("fault",))
    assert told(found) == [(("depth",), 4, 20, 1)]
    assert found.cards["front-squat"].fault("depth") is None


def test_an_athlete_is_a_person_or_a_bib_and_of_a_team_a_member() -> None:
    team = PlanTeam(members=(Member(bib="T1a", name="Ada", show="number"),))
    plan = facts("T1", team=team).plan
    one = counted(facts("5", who="ada"), 3, ("depth",))
    of_team = counted(facts("T1", team=team), 3, ("depth",))
    by_ada = replace(
        of_team, attempts=tuple(row._replace(by="T1a") for row in of_team.attempts)
    )
    found = frequencies([one, by_ada], ("athlete",))
    assert {row.of for row in found.rows} == {("ada",), ("T1a",)}
    assert found.people == {
        "ada": Person("5", "Athlete 5", "name"),
        "T1a": Person("T1a", "Ada", "number"),
    }
    unsaid = replace(
        of_team, attempts=tuple(row._replace(by="") for row in of_team.attempts)
    )
    (row,) = frequencies([unsaid], ("athlete",)).rows
    assert row.of == (plan.bib,)


def test_who_worked_before_the_lane_was_another_teams_is_not_that_team() -> None:
    team = PlanTeam(members=(Member(bib="T2a", name="Bo"),))
    lane = counted(facts("T2", team=team), 3, ("depth",))
    by_ada = replace(
        lane, attempts=tuple(row._replace(by="T1a") for row in lane.attempts)
    )
    found = frequencies([by_ada], ("athlete",))
    assert found.people == {"T1a": Person("T1a", "T1a", "number")}


def test_ways_of_watching_are_never_added_up() -> None:
    played = Played(simple(60, bib="1", watching="reported")).go()
    played.press(2, Look())
    played.press(3, Called(fault="depth"))
    played.press(9, EndLook(seen=40))
    played.press(11, Called(fault="depth"))
    played.press(20, ReportSet(n=30))
    lanes = [lane_rows(played.lane), counted(facts("2"), 24, ("depth",))]
    found = frequencies(lanes, ("fault",))
    assert [(row.watched, row.rate, row.good, row.share) for row in found.rows] == [
        ("judged", rate(1, 25), 24, 1.0),
        ("sampled", rate(1, 40), 39, 1.0),
        ("reported", rate(1, None), None, 1.0),
    ]
    assert (found.total, found.sampled, found.noticed) == (rate(1, 25), rate(1, 40), 1)


def test_cues_given_stand_beside_and_never_in_a_rate() -> None:
    played = Played(simple(bib="1")).go()
    played.press(5, Rep())
    played.press(6, Cue(fault="heels"))
    played.press(7, Cue(fault="heels"))
    rows = lane_rows(played.lane)
    assert frequencies([rows], ("movement", "fault")).rows == (
        Frequency(
            of=("front-squat", "heels"),
            watched="judged",
            rate=rate(0, 1),
            good=1,
            share=None,
            athletes=0,
            of_athletes=1,
            cues=2,
        ),
    )
    (by_movement,) = frequencies([rows], ("movement",)).rows
    assert (by_movement.cues, by_movement.rate) == (2, rate(0, 1))


def test_cues_where_nobody_counts_attempts_stand_beside_the_group_s_rate() -> None:
    """A rower's cue makes no second row of the athlete, and no share of no-reps."""
    one = counted(facts("1"), 6, ("depth",))
    row = replace(squats(), card="row", movement="Row", unit="calories", rated=False)
    cue = CueRow(one.facts, row, 4000, "back", "1")
    rows = [replace(one, cues=(cue, cue))]
    assert [
        (of.of, of.rate, of.cues, of.share)
        for of in frequencies(rows, ("athlete",)).rows
    ] == [(("1",), rate(1, 7), 2, 1.0)]
    by_movement = frequencies(rows, ("movement",)).rows
    assert [(of.of, of.rate, of.cues, of.share) for of in by_movement] == [
        (("front-squat",), rate(1, 7), 0, 1.0),
        (("row",), rate(0, None), 2, None),
    ]


def test_cues_where_nobody_tried_are_one_row_without_a_share() -> None:
    """A cue at the squats before the first try, one at a rower, and another judge."""
    one, row = facts("1"), replace(squats(), card="row", movement="Row", rated=False)
    cues = tuple(CueRow(one, of, 4000, "back", "1") for of in (squats(), row))
    other = counted(facts("2", judge="mo"), 6, ("depth",))
    found = frequencies([LaneRows(facts=one, cues=cues), other], ("judge",))
    assert [(of.of, of.rate.no_reps, of.cues, of.share) for of in found.rows] == [
        (("mo",), 1, 0, 1.0),
        (("kb",), 0, 2, None),
    ]


LANES = st.lists(
    st.builds(
        lambda bib, good, reasons: counted(facts(bib, heat=bib), good, *reasons),
        st.sampled_from(["1", "2", "3"]),
        st.integers(0, 30),
        st.lists(st.sampled_from([(), ("depth",), ("lock",), ("depth", "lock")])),
    ),
    max_size=5,
)


@given(LANES, st.sets(st.sampled_from(KEYS), min_size=1))
def test_no_no_rep_is_lost_by_any_keys(lanes: list[LaneRows], by: set[Key]) -> None:
    found = frequencies(lanes, sorted(by))
    reasons = [
        len(row.faults) or 1 for lane in lanes for row in lane.attempts if not row.good
    ]
    expected = sum(reasons) if "fault" in by else len(reasons)
    assert sum(row.rate.no_reps for row in found.rows) == expected
    assert frequencies(lanes[::-1], sorted(by)) == found
    assert found.total.no_reps == len(reasons)


@given(
    st.lists(
        st.sampled_from([Rep(), Called(fault="depth"), Called(fault="lock")]),
        max_size=20,
    )
)
def test_it_agrees_with_the_table_of_faults(acts: list[Rep | Called]) -> None:
    played = Played(for_time()).go()
    for at, act in enumerate(acts, 1):
        played.press(4 * at, act)
    table = fault_rates([played.lane])
    found = frequencies([lane_rows(played.lane)], ("movement", "fault"))
    assert [(*row.of, row.rate) for row in found.rows if row.rate.attempts] == [
        (row.card, row.fault, row.rate) for row in table.faults if row.rate.attempts
    ]


def test_a_round_that_paper_does_not_tell_is_its_part() -> None:
    played = Played(for_time()).go()
    squats = SetKey(1, 1, 1)
    played.press(0, WriteNoReps(set=squats, n=2, fault="depth", any_round=True))
    played.press(461, PaperTime())
    found = frequencies([lane_rows(played.lane)], ("movement", "round"))
    assert [(row.of, row.rate.no_reps, row.rate.attempts) for row in found.rows] == [
        (("front-squat", "A"), 2, 8),
        (("front-squat", "B.1"), 0, 2),
        (("toes-to-bar", "A.1"), 0, 2),
        (("toes-to-bar", "A.2"), 0, 2),
    ]
