from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import (
    Absent,
    Accept,
    Dispute,
    Rep,
    Rule,
    Stop,
    Time,
    Withdraw,
)
from judgekit.core.lane import fold
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import Plan, PlanPart, PlanTieBreak, SetKey
from judgekit.core.press import ReportSet, TakeBackOne
from judgekit.core.ruling import Effect, RepsInSet, StartBy, StatusIs, TimeBy
from judgekit.core.score import score
from judgekit.core.watchentry import Result as WholeResult
from judgekit.files.csvtext import from_csv_text
from judgekit.reports import standings as report
from judgekit.reports.standings import Result, standings, status_words
from tests.support import (
    SQUAT,
    ZERO_WALL,
    Played,
    card,
    for_time,
    movement,
    simple,
    window,
)


def result(played: Played, unscored: str = "") -> Result:
    return Result(lane=played.lane, score=score(played.lane), unscored=unscored)


def windowed(bib: str, reps: int, last_ms: int = 200_000, **changes: object) -> Played:
    """So many reps in five minutes: one round of 150, then ones of 1."""
    plan = window(bib=bib, lane=int(bib) if bib.isdigit() else 1, **changes)
    movement = replace(plan.parts[0].movements[0], targets=(150, 1))
    part = replace(plan.parts[0], movements=(movement,))
    tie = (PlanTieBreak(kind="last-full-round"),)
    played = Played(replace(plan, parts=(part,), tiebreaks=tie)).go()
    if reps:
        played.press(last_ms / 1000, Rep(n=min(reps, 150)))
    return played


def over(played: Played) -> Result:
    played.press(310, Time())
    return result(played)


def timed(bib: str, finish_ms: int, **changes: object) -> Played:
    played = Played(simple(1, bib=bib, **changes)).go()
    played.press(finish_ms / 1000, Rep())
    return played


def order(results: list[Result]) -> list[tuple[int | None, str, str]]:
    (found,) = standings(results)
    return [
        (p.rank, p.row.lane.plan.bib, report.status_words(p.row)) for p in found.places
    ]


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_the_tie_break_that_is_shown_is_the_one_that_decides() -> None:
    """C12."""
    found = [
        over(windowed("1", 150, 400_000 - 160_000 + 0)),
        over(windowed("2", 150, 212_500)),
        over(windowed("3", 149)),
    ]
    for given_order in (found, found[::-1]):
        made = rows(report.as_csv(standings(given_order)))
        assert [(r["rank"], r["bib"], r["score"], r["tiebreak"]) for r in made] == [
            ("1", "2", "150", "3:32"),
            ("2", "1", "150", "4:00"),
            ("3", "3", "149", ""),
        ]


def test_whoever_did_not_start_has_no_rank_and_stands_last() -> None:
    """C13."""
    gone = windowed("3", 80)
    gone.press(250, Withdraw())
    absent = []
    for bib in ("4", "5"):
        played = windowed(bib, 0)
        played.put(Absent(), None)
        absent.append(result(played))
    found = [*absent, result(gone), over(windowed("2", 100)), over(windowed("1", 120))]
    assert order(found) == [
        (1, "1", "finished, provisional: not accepted yet"),
        (2, "2", "finished, provisional: not accepted yet"),
        (3, "3", "withdrawn, provisional: not accepted yet"),
        (None, "4", "did not start"),
        (None, "5", "did not start"),
    ]
    made = rows(report.as_csv(standings(found)))
    assert [(r["rank"], r["score"]) for r in made[2:]] == [
        ("3", "80"),
        ("", ""),
        ("", ""),
    ]


def test_where_nobody_started_nobody_is_first() -> None:
    """C13."""
    assert [place[0] for place in order([result(Played(simple()))])] == [None]


def test_the_rank_after_a_tie_is_left_out() -> None:
    """C09: 101, 100, 100 and 99 reps are 1, 2, 2, 4 in any order of the roster."""
    reps = {"8": 100, "3": 101, "12": 99, "5": 100}
    found = [over(windowed(bib, many)) for bib, many in reps.items()]
    for given_order in (found, found[::-1]):
        made = rows(report.as_csv(standings(given_order)))
        assert [(r["rank"], r["bib"], r["score"], r["tied"]) for r in made] == [
            ("1", "3", "101", ""),
            ("2", "5", "100", "tied"),
            ("2", "8", "100", "tied"),
            ("4", "12", "99", ""),
        ]


def test_equal_scores_share_a_rank_in_the_order_of_their_bibs() -> None:
    """C09, C15: 1, 1, 1, 4, and 2 before 007 before 10."""
    found = [timed(bib, 60_000) for bib in ("10", "007", "2")] + [timed("1", 70_000)]
    places = [result(played) for played in found]
    assert [(rank, bib) for rank, bib, _ in order(places)] == [
        (1, "2"),
        (1, "007"),
        (1, "10"),
        (4, "1"),
    ]
    made = report.as_csv(standings(places))
    assert [r["tied"] for r in rows(made)] == ["tied", "tied", "tied", ""]
    assert [row[0] for row in report.tables(standings(places))[0].rows] == [
        "1=",
        "1=",
        "1=",
        "4",
    ]


def test_a_capped_athlete_stands_below_the_slowest_finisher() -> None:
    """C11: D 3:05, A 11:59.9, C and B capped at 99 (8:10, 8:20), E at 0."""

    def capped(bib: str, reps: int, split_ms: int | None) -> Result:
        plan = simple(
            bib=bib,
            cap_ms=720_000,
            tiebreaks=(PlanTieBreak(kind="after-part", part=1),),
        )
        first = replace(
            plan.parts[0],
            movements=(replace(plan.parts[0].movements[0], targets=(50,)),),
        )
        both = replace(plan, parts=(first, replace(first, id="B")))
        played = Played(both).go()
        if split_ms is not None:
            played.press(split_ms / 1000, Rep(n=50))
            played.press(split_ms / 1000 + 60, Rep(n=reps - 50))
        played.press(725, Time())
        return result(played)

    def finisher(bib: str, at_ms: int) -> Result:
        done = capped(bib, 0, None).lane.plan
        played = Played(done).go()
        played.press(60, Rep(n=50))
        played.press(at_ms / 1000, Rep(n=50))
        return result(played)

    found = [
        finisher("1", 719_900),
        capped("2", 99, 500_000),
        capped("3", 99, 490_000),
        finisher("4", 185_000),
        capped("5", 0, None),
    ]
    assert [(rank, bib) for rank, bib, _ in order(found)] == [
        (1, "4"),
        (2, "1"),
        (3, "3"),
        (4, "2"),
        (5, "5"),
    ]
    made = rows(report.as_csv(standings(found)))
    assert made[2]["status"] == "capped, provisional: not accepted yet"
    assert (made[2]["score"], made[2]["score_reps"], made[2]["score_ms"]) == (
        "99 of 100",
        "99",
        "",
    )
    assert (made[1]["score"], made[1]["score_ms"]) == ("11:59", "719000")


def test_the_status_says_until_when_a_score_may_be_questioned() -> None:
    """Half an hour after 10 s past eight: 08:30, at the event's own clock 10:30."""
    played = timed("1", 10_000, dispute_ms=1_800_000)
    end = ZERO_WALL + 10_000 + 1_800_000
    for wall, status in ((end, "provisional until 10:30"), (end + 1, "official")):
        (found,) = standings([Result(lane=played.lane, score=score(played.lane, wall))])
        assert status_words(found.places[0].row) == f"finished, {status}"
    played.press(60, Dispute(about="the count"))
    (found,) = standings([Result(lane=played.lane, score=score(played.lane, end + 1))])
    assert status_words(found.places[0].row) == "finished, provisional: disputed"


def test_ranks_follow_a_moved_start() -> None:
    """C24."""
    first, second = timed("1", 570_000), timed("2", 565_000)
    assert [bib for _, bib, _ in order([result(first), result(second)])] == ["2", "1"]
    first.press(600, Rule(effect=StartBy(by_ms=12_000), why="wall clock"))
    found = standings([result(first), result(second)])
    assert [(r["bib"], r["score"]) for r in rows(report.as_csv(found))] == [
        ("1", "9:18"),
        ("2", "9:25"),
    ]


def test_a_text_that_a_spreadsheet_would_run_comes_back_as_it_was() -> None:
    """C23."""
    names = ["=1+1", "+49 Max", "-5", "@x", "\tTab"]
    found = [
        result(timed(str(n), 60_000 + n, name=name)) for n, name in enumerate(names, 1)
    ]
    made = rows(report.as_csv(standings(found)))
    assert [r["name"][0] for r in made] == ["'"] * 5
    assert [from_csv_text(r["name"]) for r in made] == names


def test_amended_and_late_stand_beside_the_status() -> None:
    played = Played(simple(2, bib="9")).go()
    played.each(Rep(), 10, 20)
    played.press(40, TakeBackOne())
    played.press(50, Rep())
    assert order([result(played)]) == [
        (1, "9", "finished, provisional: not accepted yet, late take-back")
    ]
    amended = timed("1", 50_000)
    for who in ("athlete", "judge"):
        amended.press(60, Accept(who=who, signed=True))
    amended.press(70, Rule(effect=TimeBy(by_ms=5000), why="left early"))
    (found,) = standings([result(amended)])
    assert order([result(amended)]) == [(1, "1", "finished, official, amended")]
    (table,) = report.tables([found])
    assert table.notes == ("amended: 1 signed 0:50, now 0:55",)


def test_what_was_amended_is_told_in_the_words_that_differ() -> None:
    def signed(*reps: float, **changes: object) -> Played:
        played = Played(simple(2, bib="1", **changes)).go()
        played.each(Rep(), *reps)
        if len(reps) == 1:
            played.press(30, Stop(sign="calf"))
        for who in ("athlete", "judge"):
            played.press(60, Accept(who=who, signed=True))
        return played

    def notes(played: Played, *effects: Effect) -> tuple[str, ...]:
        for effect in effects:
            played.press(70, Rule(effect=effect, why="so said the head judge"))
        (table,) = report.tables(standings([result(played)]))
        return table.notes

    left = StatusIs(status="withdrawn")
    assert notes(signed(10), left) == ("amended: 1 signed stopped, now withdrawn",)
    assert notes(signed(10), StatusIs(status="as counted")) == ()
    # The start ten seconds later, and the same ten added: the tie-break alone moved.
    ties = (PlanTieBreak(kind="after-part", part=1),)
    moved = (StartBy(by_ms=10_000), TimeBy(by_ms=10_000))
    assert notes(signed(20, 40, tiebreaks=ties), *moved) == (
        "ties: end of part A",
        "amended: 1 signed tie-break 0:40, now tie-break 0:30",
    )


def test_a_lane_two_desks_dispute_is_listed_and_not_ranked() -> None:
    why = "not scored: two desks"
    found = [result(timed("1", 50_000), unscored=why), result(timed("2", 60_000))]
    assert [(rank, bib, words.split(",")[0]) for rank, bib, words in order(found)] == [
        (1, "2", "finished"),
        (None, "1", why),
    ]


def test_a_guest_keeps_the_score_and_takes_no_place() -> None:
    guest = timed("1", 50_000)
    guest.press(70, Rule(effect=StatusIs(status="guest"), why="coach from next door"))
    found = standings([result(guest), result(timed("2", 60_000))])
    assert [(r["rank"], r["bib"]) for r in rows(report.as_csv(found))] == [
        ("1", "2"),
        ("", "1"),
    ]


def test_each_workout_and_division_is_ranked_for_itself() -> None:
    plans: list[Plan] = [
        simple(1, bib="1", division="women", division_name="Women"),
        simple(1, bib="2", division="men", division_name="Men"),
        simple(
            1,
            bib="3",
            division="men",
            division_name="Men",
            workout="a",
            workout_name="A",
        ),
    ]
    found = []
    for plan in plans:
        played = Played(plan).go()
        played.press(60, Rep())
        found.append(result(played))
    assert [
        (s.workout, s.division, [p.rank for p in s.places]) for s in standings(found)
    ] == [("a", "men", [1]), ("quayside", "men", [1]), ("quayside", "women", [1])]


def test_json_has_the_columns_of_the_csv_and_nulls_where_there_is_nothing() -> None:
    played = timed("007", 60_500, name="Ines Varga", show="initials")
    data = json.loads(report.as_json(standings([result(played)])))
    assert data == {
        "format": 1,
        "standings": [
            {
                "workout": "quayside",
                "division": "women-open",
                "rows": [
                    {
                        "rank": 1,
                        "tied": None,
                        "bib": "007",
                        "name": "I. V.",
                        "division": "Women",
                        "status": "finished, provisional: not accepted yet",
                        "score": "1:00",
                        "score_ms": 60_000,
                        "score_reps": None,
                        "score_kg": None,
                        "score_count": None,
                        "score_unit": "ms",
                        "scaled": None,
                        "watched": "judged",
                        "tiebreak": None,
                        "tiebreak_ms": None,
                        "workout": "Quayside",
                        "heat": "3",
                        "lane": 4,
                    }
                ],
                "notes": ["not accepted yet: 007"],
            }
        ],
    }


def test_a_ruling_on_reps_moves_the_place() -> None:
    one, other = windowed("1", 100), windowed("2", 99)
    over(one)
    over(other)
    effect = RepsInSet(set=SetKey(1, 1, 1), by=-5)
    one.press(330, Rule(effect=effect, why="five short on video"))
    assert [bib for _, bib, _ in order([result(one), result(other)])] == ["2", "1"]


@given(
    st.permutations(["2", "007", "10", "7", "A1"]),
    st.lists(st.integers(50, 52), min_size=5, max_size=5),
)
def test_the_order_of_the_lanes_never_matters(
    bibs: list[str], seconds: list[int]
) -> None:
    finish = dict(zip(["2", "007", "10", "7", "A1"], seconds, strict=True))
    found = [result(timed(bib, finish[bib] * 1000)) for bib in bibs]
    assert standings(found) == standings(found[::-1])


def scaled(*others: str) -> Played:
    """Squats, then toes-to-bar that are done as something else."""
    squats = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 1),)
    )
    instead = [
        replace(squats, movements=(replace(movement(x, 1), instead_of="Toes-to-bar"),))
        for x in others
    ]
    cards = (SQUAT, *(card(other) for other in dict.fromkeys(others)))
    plan = simple(1, parts=(squats, *instead), cards=cards, substituted=True)
    played = Played(plan).go()
    played.each(Rep(), *(60 + 10 * n for n in range(1 + len(others))))
    return played


@pytest.mark.parametrize(
    ("others", "words"),
    [
        (("knee-raise",), "with knee raise"),
        (("knee-raise", "sit-up", "sit-up"), "with knee raise and sit up"),
        ((), "with changes for this athlete"),
    ],
)
def test_what_was_done_instead_stays_with_the_score(
    others: tuple[str, ...], words: str
) -> None:
    found = standings([result(scaled(*others))])
    (row,) = rows(report.as_csv(found))
    shown = f"1:{len(others)}0"
    assert (row["score"], row["scaled"]) == (shown, words)
    (table,) = report.tables(found)
    assert table.rows[0][3] == f"{shown} {words}"


def test_whoever_has_no_score_yet_has_nothing_with_it() -> None:
    waiting = Played(scaled("knee-raise").plan)
    (table,) = report.tables(standings([result(waiting)]))
    assert table.rows[0][3] is None


def test_a_name_that_is_the_bib_stands_once_in_the_table() -> None:
    lanes = [timed("Heron", 5000, name="Heron"), timed("7", 6000, name="Ana")]
    (table,) = report.tables(standings([result(one) for one in lanes]))
    assert [row[1:3] for row in table.rows] == [("Heron", None), ("7", "Ana")]


def test_a_row_has_room_for_a_word_and_a_note_says_until_when_and_why() -> None:
    named = [
        timed("1", 10_000, name="Ana", dispute_ms=1_800_000),
        timed("2", 11_000, name="Bo", dispute_ms=1_800_000),
        timed("3", 12_000, name="Cy", dispute_ms=1_800_000),
    ]
    named[1].press(30, Dispute(about="the count"))
    for who in ("athlete", "judge"):
        named[2].press(60, Accept(who=who, signed=True))
    seen = [Result(lane=p.lane, score=score(p.lane, ZERO_WALL)) for p in named]
    (table,) = report.tables(standings(seen))
    assert [row[-1] for row in table.rows] == ["provisional", "provisional", "official"]
    assert table.notes == ("disputed: 2", "provisional until 10:30: 1")


def test_results_and_reported_sets_are_ranked_and_say_what_they_are() -> None:
    told = Played(simple(10, bib="2", lane=2)).go()
    told.press(0, WholeResult(unit="ms", amount=50_000))
    reported = Played(simple(10, bib="3", lane=3, watching="reported")).go()
    reported.press(55, ReportSet())
    found = standings([result(timed("1", 60_000)), result(told), result(reported)])
    made = rows(report.as_csv(found))
    columns = ("bib", "rank", "watched", "status")
    waits = "provisional: not accepted yet"
    assert [tuple(row[column] for column in columns) for row in made] == [
        ("2", "1", "reported", "finished, reported, official"),
        ("3", "2", "reported", f"finished, reported, {waits}"),
        ("1", "3", "judged", f"finished, {waits}"),
    ]


def test_a_score_from_paper_says_so() -> None:
    played = Played(simple()).go()
    played.press(61, PaperTime())
    assert status_words(result(played)).split(", ")[:2] == ["finished", "from paper"]


def test_a_time_from_paper_that_cannot_be_is_never_official_by_itself() -> None:
    played = Played(for_time()).go()
    played.press(250, PaperTime(part=1))
    played.press(310, PaperTime())
    played.press(320, Accept(who="athlete", signed=True))
    played.press(320, Accept(who="judge", signed=True))
    assert status_words(result(played)) == "finished, from paper, official"
    early = [
        replace(one, at=309_000) if one.body == PaperTime() else one
        for one in played.entries
    ]
    lane = fold(played.lane.plan, early)
    words = status_words(Result(lane=lane, score=score(lane)))
    assert words == "finished, from paper, provisional: a time no clock shows"
