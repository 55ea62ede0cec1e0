"""The whole event from its lanes: tables, CSV and JSON."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import Rep, Rule, Time
from judgekit.core.plan import Member, PlanTeam, SetKey
from judgekit.core.points import Overall, Substituted
from judgekit.core.ruling import RepsInSet, StatusIs
from judgekit.core.score import score
from judgekit.reports import overall as report
from judgekit.reports.overall import Contest, contests
from judgekit.reports.overallwords import own_totals, tables
from judgekit.reports.standings import Result, standings
from tests.building import plan_of, window
from tests.support import ZERO_WALL, Played, movement


def lane(workout: str, bib: str, reps: int, **changes: object) -> Played:
    plan = plan_of(window(60, movement("front-squat", 0)), workout=workout, bib=bib)
    named = replace(plan, workout_name=workout.upper(), name=f"Athlete {bib}")
    played = Played(replace(named, **changes)).go()  # type: ignore[arg-type]
    if reps:
        played.press(30, Rep(n=reps))
    played.press(60, Time())
    return played


def contest(lanes: list[Played], **settings: object) -> Contest:
    overall = replace(Overall(), **settings)  # type: ignore[arg-type]
    results = [Result(lane=one.lane, score=score(one.lane)) for one in lanes]
    (found,) = contests(
        standings(results, overall.substituted), overall, ("tide", "mole")
    )
    return found


def three() -> list[Played]:
    """Tide: 1, 2, 3; mole: 2, 1, 3."""
    return [
        *(lane("tide", b, n) for b, n in (("1", 30), ("2", 20), ("3", 10))),
        *(lane("mole", b, n) for b, n in (("1", 20), ("2", 30), ("3", 10))),
    ]


def ranks(found: Contest) -> list[tuple[int | None, str, int]]:
    return [(p.rank, p.row.bib, int(p.row.total)) for p in found.whole.places]


def test_the_last_workout_held_parts_an_equal_count_back() -> None:
    assert ranks(contest(three())) == [(1, "2", 3), (2, "1", 3), (3, "3", 6)]


@given(st.permutations(range(6)))
def test_the_order_of_the_lanes_changes_nothing(order: list[int]) -> None:
    lanes = three()
    told = report.as_csv([contest(lanes)])
    assert report.as_csv([contest([lanes[at] for at in order])]) == told


def test_the_table_shows_each_place_and_what_it_is_worth() -> None:
    (table,) = tables([contest(three(), method="field")])
    assert [column.name for column in table.columns] == [
        *("Rank", "Bib", "Name", "TIDE", "MOLE", "Total", "Status")
    ]
    assert table.rows[0] == (
        *("1", "2", "Athlete 2", "2", "3 (1)", "5", "provisional"),
    )
    assert table.notes == (
        "as many points for the first as the division is large; the most wins",
        "provisional: some scores are not final yet",
    )


def test_csv_has_one_row_for_each_athlete_and_workout() -> None:
    rows = list(csv.DictReader(io.StringIO(report.as_csv([contest(three())]))))
    facts = ("rank", "bib", "total", "workout", "place", "points")
    assert [[row[fact] for fact in facts] for row in rows[:2]] == [
        ["1", "2", "3", "tide", "2", "2"],
        ["1", "2", "3", "mole", "1", "1"],
    ]
    assert len(rows) == 6


def test_json_says_what_is_counted_and_what_is_open() -> None:
    waiting = Played(lane("mole", "3", 0).plan)
    lanes = [*three()[:5], waiting]
    (found,) = json.loads(report.as_json([contest(lanes)]))["overall"]
    assert (found["counted"], found["open"]) == (["tide"], ["mole"])
    assert found["rows"][0]["workouts"] == {"tide": {"place": 1, "points": 1}}


def test_a_disqualification_and_its_lifting_move_everybody_alike() -> None:
    lanes = three()
    before = ranks(contest(lanes))
    lanes[1].press(90, Rule(effect=StatusIs(status="disqualified"), why="abuse"))
    # Tide without 2: 1 and 3 are first and second; overall 1 + 2 = 3, 2 + 3 = 5.
    assert ranks(contest(lanes)) == [(1, "1", 3), (2, "3", 5), (None, "2", 4)]
    lanes[1].press(95, Rule(effect=StatusIs(status="as counted"), why="appeal"))
    assert ranks(contest(lanes)) == before


def test_whose_place_is_none_is_told_by_how_they_left_alone() -> None:
    lanes = three()
    lanes[1].press(90, Rule(effect=StatusIs(status="withdrawn"), why="ill"))
    lanes[4].press(90, Rule(effect=StatusIs(status="withdrawn"), why="ill"))
    (table,) = tables([contest(lanes)])
    assert table.rows[-1][-1] == "withdrawn"


def test_a_rep_corrected_moves_everybody_alike() -> None:
    lanes = three()
    # Eleven reps off the winner of tide: 19, second to 20; sums 2 + 2, 1 + 1, 3 + 3.
    effect = RepsInSet(set=SetKey(1, 1, 1), by=-11)
    lanes[0].press(90, Rule(effect=effect, why="video"))
    assert ranks(contest(lanes)) == [(1, "2", 2), (2, "1", 4), (3, "3", 6)]


def substituted(how: Substituted) -> list[tuple[int | None, str, int]]:
    """2 did something else in tide, and did more of it than the others."""
    lanes = [
        lane("tide", "1", 20),
        lane("tide", "2", 30, substituted=True),
        lane("tide", "3", 10),
    ]
    return ranks(contest(lanes, substituted=how))


def test_as_written_may_stand_before_substituted() -> None:
    assert substituted("together") == [(1, "2", 1), (2, "1", 2), (3, "3", 3)]
    assert substituted("apart") == [(1, "1", 1), (2, "3", 2), (3, "2", 3)]
    assert [p[:2] for p in substituted("unranked")] == [(1, "1"), (2, "3"), (None, "2")]


def test_what_was_done_instead_stands_in_the_row() -> None:
    lanes = [lane("tide", "1", 20), lane("tide", "2", 30, substituted=True)]
    (table,) = tables([contest(lanes)])
    assert [row[-1] for row in table.rows] == [
        "provisional, TIDE with changes for this athlete",
        "provisional",
    ]


def test_a_row_says_when_the_last_of_its_scores_is_official() -> None:
    """Both were done at one minute past ten; the second workout gives more time."""
    lanes = [
        lane("tide", "1", 20, dispute_ms=900_000),
        lane("mole", "1", 20, dispute_ms=1_800_000),
    ]
    first, last = (ZERO_WALL + 60_000 + ms for ms in (900_000, 1_800_000))

    def seen(wall: int) -> Contest:
        results = [Result(lane=p.lane, score=score(p.lane, wall)) for p in lanes]
        (found,) = contests(standings(results), Overall(), ("tide", "mole"))
        return found

    for wall, word in (
        (first, "provisional until 10:31"),
        (last, "provisional until 10:31"),
        (last + 1, "official"),
    ):
        found = seen(wall)
        assert (found.standing, found.standings) == (word, {"1": word})
    (table,) = tables([seen(first)])
    assert table.rows[0][-1] == "provisional"
    until = "provisional until 10:31"
    assert table.notes[-1] == f"{until}: some scores are not final yet"
    assert until in report.as_csv([seen(first)])
    (table,) = tables([seen(last + 1)])
    assert table.notes == ("places added up; the least wins",)


def apart(bib: str, squats: int, toes: int) -> Played:
    """A part A of squats and a part B of toes-to-bar, placed apart."""
    parts = (
        window(60, movement("front-squat", 0)),
        window(60, movement("toes-to-bar", 0), id="B"),
    )
    plan = plan_of(*parts, score="placing", workout="tide", bib=bib)
    played = Played(plan).go()
    played.press(30, Rep(n=squats))
    played.press(90, Rep(n=toes))
    played.press(120, Time())
    return played


def test_parts_placed_apart_count_like_workouts() -> None:
    # A: 9, 5, 1 are 1, 2, 3; B: 4, 6, 6 are 3, 1, 1. Points 3 + 1, 2 + 3, 1 + 3;
    # with B weighing double 3 + 2, 2 + 6, 1 + 6.
    lanes = [apart("1", 9, 4), apart("2", 5, 6), apart("3", 1, 6)]
    found = contest(lanes, method="field")
    # 1 and 3 each have a first and a third; 3 was first in the last one.
    assert ranks(found) == [(1, "2", 5), (2, "3", 4), (3, "1", 4)]
    assert found.workouts == (("tide.A", "Quayside A"), ("tide.B", "Quayside B"))
    double = contest(lanes, method="field", weights=(("tide.B", Fraction(2)),))
    assert ranks(double) == [(1, "2", 8), (2, "3", 7), (3, "1", 5)]


def test_one_athlete_s_total_has_its_arithmetic_and_nobody_else() -> None:
    found = contest(three(), method="field")
    (mine,) = own_totals([found], "1")
    assert (mine.division, mine.place) == (found.division_name, "2 of 3")
    assert mine.steps == (("TIDE", "3 (1)"), ("MOLE", "2"), ("total", "5"))
    assert mine.how == (
        "as many points for the first as the division is large; the most wins",
        "provisional: some scores are not final yet",
    )
    assert own_totals([found], "9") == ()


def test_a_total_says_what_is_still_open_and_is_none_while_nothing_counts() -> None:
    to_go = Played(lane("mole", "3", 0).lane.plan)
    (mine,) = own_totals([contest([*three()[:5], to_go])], "1")
    assert mine.place == "1 of 3 so far"
    assert mine.steps == (("TIDE", "1"), ("total", "1"))
    assert "not counted yet, as somebody has still to do it: MOLE" in mine.how
    waiting = [Played(lane(w, "1", 0).lane.plan) for w in ("tide", "mole")]
    assert own_totals([contest(waiting)], "1") == ()
    # Of one workout the place is told already.
    assert own_totals([contest(three()[:3])], "1") == ()


def test_whoever_left_has_no_place_in_the_whole_event_either() -> None:
    left = lane("mole", "3", 5)
    left.press(90, Rule(effect=StatusIs(status="disqualified"), why="x"))
    (mine,) = own_totals([contest([*three()[:5], left])], "3")
    assert mine.place == "no place: disqualified"


def test_who_is_in_no_heat_of_a_workout_did_not_fail_to_start_it() -> None:
    """3 is in no heat of mole: the place after the two who are, and so it is told."""
    found = contest(three()[:5])
    assert ranks(found)[-1] == (3, "3", 6)
    (table,) = tables([found])
    assert table.rows[-1] == (
        *("3", "3", "Athlete 3", "3", "3 (no heat)", "6", "provisional"),
    )
    assert table.notes[-2:] == (
        "in no heat of MOLE: 3",
        "who has no place has the points of the place after the last: 3 in MOLE",
    )
    (mine,) = own_totals([found], "3")
    assert ("MOLE", "not entered: counted as 3") in mine.steps
    absent = lane("mole", "3", 0)
    absent.press(90, Rule(effect=StatusIs(status="did not start"), why="not there"))
    (table,) = tables([contest([*three()[:5], absent])])
    assert table.rows[-1][4] == "3 (did not start)"


def test_a_place_that_is_none_has_why_beside_it_and_below_what_it_counts() -> None:
    """3 has none in mole, 4 is in no heat of it; 1 and 2 have its two places."""
    left = lane("mole", "3", 5)
    left.press(90, Rule(effect=StatusIs(status="disqualified"), why="x"))
    lanes = [*three()[:5], left, lane("tide", "4", 5)]
    (table,) = tables([contest(lanes, weights=(("mole", Fraction(2)),))])
    assert {row[1]: row[4] for row in table.rows} == {
        "1": "4 (2)",
        "2": "2 (1)",
        "3": "6 (disqualified)",
        "4": "6 (no heat)",
    }
    worth = "who has no place has the points of the place after the last: 6 in MOLE"
    assert table.notes[-1] == worth
    (table,) = tables([contest(lanes, method="percent")])
    assert table.notes[-1] == "who has no place in a workout has no points there"
    (table,) = tables([contest(three())])
    assert not any("no place" in note for note in table.notes)


def test_who_did_something_else_where_that_has_no_place_is_told_so() -> None:
    lanes = [lane("tide", "1", 20), lane("tide", "2", 30, substituted=True)]
    (table,) = tables([contest(lanes, substituted="unranked")])
    assert table.rows[-1][3] == "2 (not as written)"


def test_a_score_that_may_not_be_ranked_has_no_place_and_no_word_of_the_work() -> None:
    done = [lane("tide", bib, 20) for bib in ("1", "2")]
    first, second = (Result(lane=one.lane, score=score(one.lane)) for one in done)
    unsure = replace(second, unscored="disputed between two desks")
    (found,) = contests(standings([first, unsure]), Overall(), ("tide",))
    (table,) = tables([found])
    assert {row[1]: row[3] for row in table.rows} == {"1": "1", "2": "2 (no place)"}


def test_the_event_may_wait_until_everybody_is_in_a_heat() -> None:
    found = contest(three()[:5], no_heat="open")
    assert (found.whole.counted, found.whole.open) == (("tide",), ("mole",))
    # Once 3 has left the contest nobody waits for a heat.
    lanes = three()[:5]
    lanes[2].press(90, Rule(effect=StatusIs(status="withdrawn"), why="ill"))
    assert contest(lanes, no_heat="open").whole.open == ()


def test_or_leave_out_who_is_in_no_heat_of_a_workout() -> None:
    found = contest(three()[:5], no_heat="out", method="field")
    # The field of mole is two: 1 has 3 + 1 points, 2 has 2 + 2.
    assert ranks(found) == [(1, "2", 4), (2, "1", 4), (None, "3", 1)]
    assert found.whole.places[-1].row.standing == "not entered"


def test_who_was_cut_is_in_no_later_heat_and_stays_cut() -> None:
    lanes = three()[:5]
    lanes[2].press(90, Rule(effect=StatusIs(status="cut"), why="only two go on"))
    for how in ("last", "open", "out"):
        found = contest(lanes, no_heat=how)
        assert [(rank, bib) for rank, bib, _ in ranks(found)] == [
            (1, "2"),
            (2, "1"),
            (3, "3"),
        ]
        assert found.whole.places[-1].row.standing == "cut"


def test_a_team_and_its_members_are_ranked_apart() -> None:
    team = PlanTeam(members=(Member(bib="1", name="Ana"),), how="shared")
    pair = lane("pairs", "Heron", 30, team=team)
    results = [Result(lane=p.lane, score=score(p.lane)) for p in (*three(), pair)]
    found = contests(standings(results), Overall(), ("tide", "mole", "pairs"))
    assert [(one.division_name, list(one.names)) for one in found] == [
        ("Women", ["1", "2", "3"]),
        ("Women, teams", ["Heron"]),
    ]
    assert not any(one.placeless for one in found)
