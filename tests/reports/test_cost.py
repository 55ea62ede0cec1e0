from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

from judgekit.core.entry import Absent, Dispute, Rep, Stop, Withdraw
from judgekit.core.timeentry import ClassOver
from judgekit.reports import cost as report
from judgekit.reports import costwithout
from judgekit.reports.layout import as_table
from judgekit.reports.terminal import fitted_lines
from judgekit.review.lost import Span
from tests.review.test_cost import (
    costs_of,
    entrant,
    from_paper,
    missing,
    short,
    steady,
)
from tests.support import Played, simple


def test_csv_has_a_row_for_each_athlete_with_both_ends() -> None:
    found = costs_of(missing("1", ("depth",), ("lock",)), steady("2", 2.25))
    first, second = csv.DictReader(io.StringIO(report.as_csv([found])))
    assert (first["bib"], first["no_reps"], first["lost_middle_ms"]) == ("2", "0", "0")
    assert second == {
        "workout": "Quayside",
        "division": "Women",
        "place": "2",
        "bib": "1",
        "name": "Ines Varga",
        "score": "0:20",
        "no_reps": "2",
        "timed": "2",
        "lost_low_ms": "4000",
        "lost_middle_ms": "4000",
        "lost_high_ms": "4000",
        "score_low": "0:16",
        "score_middle": "0:16",
        "score_high": "0:16",
        "place_low": "1",
        "place_middle": "1",
        "place_high": "1",
        "untold": "",
    }


def test_json_has_the_standings_without_each_fault_and_how_it_was_estimated() -> None:
    found = costs_of(missing("1", ("depth",), ("lock",)), steady("2", 2.25))
    data = json.loads(report.as_json([found]))
    assert data["format"] == 1
    assert data["how"] == list(report.HOW)
    depth, _ = data["costs"][0]["faults"]
    assert depth["standings"] == [
        {
            "bib": "1",
            "place": 2,
            "place_without": 1,
            "score": "0:20",
            "score_without": "0:18",
        },
        {
            "bib": "2",
            "place": 1,
            "place_without": 1,
            "score": "0:18",
            "score_without": "0:18",
        },
    ]


def test_people_see_the_middle_with_its_ends() -> None:
    assert report.took(Span(low=8400, middle=12_000, high=15_200)) == "12 (8 to 15)"
    assert report.took(Span(low=2000, middle=2000, high=2400)) == "2"
    found = costs_of(missing("1", ("depth",)), steady("2"))
    athletes, faults = report.tables([found])
    assert athletes.rows[1] == (2, "1 Ines Varga", "0:18", 1, "2", "0:16", "1")
    assert athletes.notes[:2] == report.HOW
    assert faults.rows == (("Front squat", "DEPTH", 1, 1, "2", "1 2 to 1"),)


def test_all_places_without_one_fault_are_told_as_an_estimate() -> None:
    found = costs_of(missing("1", ("depth",), ("lock",)), steady("2", 2.25))
    depth, lock = costwithout.clean_tables([found])
    assert depth.title.startswith("If Front squat DEPTH had not been there: Quayside")
    assert depth.rows == (
        (2, "1 Ines Varga", "0:20", "0:18", 1),
        (1, "2 Ines Varga", "0:18", "0:18", 1),
    )
    assert depth.notes[0] == "1 no-rep of 1 athlete took 2 s."
    assert "an estimate" in " ".join(depth.notes)
    assert "LOCK" in lock.title
    rows = list(csv.DictReader(io.StringIO(costwithout.clean_csv([found]))))
    assert [(r["fault"], r["bib"], r["place"], r["place_without"]) for r in rows] == [
        ("depth", "1", "2", "1"),
        ("depth", "2", "1", "1"),
        ("lock", "1", "2", "1"),
        ("lock", "2", "1", "1"),
    ]
    assert (rows[0]["score"], rows[0]["score_without"]) == ("0:20", "0:18")


def test_a_score_that_cannot_be_worked_out_without_a_fault_is_empty() -> None:
    found = costs_of(missing("1", ("depth",)), steady("2"))
    (fault,) = found.faults
    left = replace(fault.standings[0].before, status="withdrawn")
    stands = tuple(
        stand._replace(before=left, untold="withdrawn") for stand in fault.standings[:1]
    )
    (table,) = costwithout.clean_tables(
        [replace(found, faults=(replace(fault, standings=stands),))]
    )
    assert table.rows[0][-2:] == (None, None)
    assert table.notes[-2:] == (
        (
            "1 had Front squat DEPTH, and has no score without it (withdrawn): "
            "nobody's place without it is told."
        ),
        "Scores and places that are not worked out: withdrawn.",
    )
    assert len(table.notes) == 4
    clean = replace(found, faults=(replace(fault, standings=stands),))
    (row,) = csv.DictReader(io.StringIO(costwithout.clean_csv([clean])))
    assert (row["place"], row["place_without"], row["score_without"]) == ("2", "", "")
    (data,) = json.loads(report.as_json([clean]))["costs"]
    assert data["faults"][0]["standings"][0]["place_without"] is None


def test_who_had_a_fault_and_withdrew_is_told_beside_the_places_without_it() -> None:
    found = costs_of(
        missing("1", ("depth",), ("lock",)), steady("2"), short("3", Withdraw())
    )
    said = (
        "3 had Front squat DEPTH, and has no score without it (withdrawn): everybody "
        "else's place is told as if there were none for them then either."
    )
    depth, lock = costwithout.clean_tables([found])
    assert said in depth.notes
    assert not any(note.startswith("3 had") for note in lock.notes)
    _, faults = report.tables([found])
    assert faults.notes == (report.HOW_CLEAN, said)


def test_where_a_score_without_a_fault_is_unknown_that_is_said_and_no_place() -> None:
    found = costs_of(missing("1", ("depth",)), steady("2"), short("3", ClassOver()))
    _, faults = report.tables([found])
    assert faults.rows[0][-1] is None
    assert faults.notes[-1] == (
        "3 had Front squat DEPTH, and has no score without it (class over): nobody's "
        "place without it is told."
    )
    rows = list(csv.DictReader(io.StringIO(costwithout.clean_csv([found]))))
    assert {row["place_without"] for row in rows} == {""}
    assert sorted(row["place"] for row in rows) == ["1", "2", "3"]


def test_a_report_tells_what_took_longest_and_all_that_changed_a_place() -> None:
    found = costs_of(missing("1", ("depth",)), steady("2"))
    (moving,) = found.faults
    still = replace(
        moving,
        standings=tuple(
            stand._replace(place_after=stand.place) for stand in moving.standings
        ),
    )
    many = replace(found, faults=(still, still, moving, still))
    ((_, shown),) = report.tables_of_each([many], 1)
    assert [row[-1] for row in shown.rows] == ["same", "1 2 to 1"]
    assert shown.notes[-1] == (
        "2 more kinds of fault took less; no place is known to change without them "
        "(judgekit cost)."
    )
    _, whole = report.tables([many])
    assert (len(whole.rows), len(whole.notes)) == (4, 1)


def test_a_fault_that_was_timed_in_part_has_what_those_took_and_no_places() -> None:
    both = costs_of(missing("1", ("depth",), ("lock",)), from_paper("2", 17))
    athletes, faults = report.tables([both])
    assert athletes.rows[0] == (1, "2 Ines Varga", "0:17", 1, None, None, None)
    assert athletes.notes[-1] == (
        "2: score and place are not worked out: 1 of 1 no-reps have no time."
    )
    assert [column.key for column in faults.columns][3] == "timed"
    assert faults.rows == (
        ("Front squat", "DEPTH", 2, 1, 2, "2", None),
        ("Front squat", "LOCK", 1, 1, 1, "2", "same"),
    )
    assert "nobody's place without it is told" in faults.notes[-1]
    depth, lock = costwithout.clean_tables([both])
    assert depth.rows == (
        (1, "2 Ines Varga", "0:17", None, None),
        (2, "1 Ines Varga", "0:20", "0:18", None),
    )
    assert depth.notes[0].startswith(
        "2 no-reps of 2 athletes; the 1 with a time took 2 s. Where a no-rep has no"
    )
    assert lock.rows[0] == (1, "2 Ines Varga", "0:17", "0:17", 1)
    first, _ = csv.DictReader(io.StringIO(report.as_csv([both])))
    assert (first["score_low"], first["place_middle"]) == ("", "")
    assert first["untold"] == "1 of 1 no-reps have no time"


def test_of_what_took_is_where_an_athlete_s_no_reps_have_times_in_part() -> None:
    found = costs_of(missing("1", ("depth",), ("lock",)))
    (cost,) = found.athletes
    part = replace(cost, timed=1, untold="1 of 2 no-reps have no time")
    athletes, _ = report.tables([replace(found, athletes=(part,))])
    assert athletes.notes[-1] == "1: Took is of the one with a time."


def test_of_a_fault_that_nobody_timed_no_place_is_told() -> None:
    untimed, found = costs_of(from_paper("1", 17)), costs_of(missing("1", ("depth",)))
    (athletes,) = report.tables([untimed])
    assert athletes.notes == (
        "1: score and place are not worked out: 1 of 1 no-reps have no time.",
    )
    first, then = report.tables([untimed, found])[:2]
    assert first.notes == athletes.notes
    assert then.notes[:2] == report.HOW
    (without,) = costwithout.clean_tables([untimed])
    assert without.rows == ((1, "1 Ines Varga", "0:17", None, None),)
    assert without.notes == (
        (
            "1 no-rep of 1 athlete, none of them timed. Where a no-rep has no time, as "
            "on paper, nobody's place without it is told."
        ),
    )
    (data,) = json.loads(report.as_json([untimed]))["costs"]
    (fault,) = data["faults"]
    (stand,) = fault["standings"]
    assert (fault["timed"], stand["place_without"], stand["score_without"]) == (
        0,
        None,
        None,
    )


def test_beside_places_without_a_fault_stands_what_is_still_open() -> None:
    waiting = costs_of(Played(simple(8, bib="3", lane=3)))
    still, told = costwithout.clean_tables(
        [waiting, costs_of(missing("1", ("depth",)))]
    )
    assert (still.title, still.rows) == ("What no-reps cost: Quayside, Women", ())
    assert still.notes == (
        (
            "Nothing is said of this before all results are official; still open: "
            "3 (waiting)."
        ),
    )
    assert told.title.startswith("If Front squat DEPTH had not been there")


def test_places_that_cannot_be_worked_out_are_not_said_to_be_the_same() -> None:
    found = costs_of(missing("1", ("depth",)), steady("2", 5))
    (fault,) = found.faults
    left = replace(fault.standings[0].before, status="withdrawn")
    gone = tuple(
        stand._replace(before=left, untold="withdrawn") for stand in fault.standings
    )
    for other, said in (
        (fault, "same"),
        (replace(fault, standings=gone), None),
    ):
        _, faults = report.tables([replace(found, faults=(other,))])
        assert faults.rows[0][-1] == said


def test_the_widest_row_fits_a_terminal_of_80_with_its_ends_said_once() -> None:
    found = costs_of(missing("1", ("depth",)))
    (cost,) = found.athletes
    first, second, third = (
        replace(cost.score, shown=f"{n} of 128") for n in (109, 110, 114)
    )
    plan = replace(cost.lane.plan, bib="066", name="Mateo Brancourt")
    wide = replace(
        cost,
        lane=replace(cost.lane, plan=plan),
        if_clean=(first, second, third),
        score=first,
        ms=Span(low=91_000, middle=101_000, high=124_000),
        places=(12, 11, 10),
        no_reps=14,
        timed=14,
    )
    table, *_ = report.tables([replace(found, athletes=(wide, cost))])
    row, _ = table.rows
    assert (row[1], row[-3:]) == (
        "066 Mateo Brancourt",
        ("101 (91 to 124)", "110 of 128", "10 to 12"),
    )
    lines = fitted_lines(replace(table, notes=()), 80)
    assert max(map(len, lines)) <= 80
    assert any(
        "066 Mateo" in line and "101 (91 to 124)" in line and "110 of 128" in line
        for line in lines
    )


def test_how_to_close_is_said_where_nothing_else_is_left_to_do() -> None:
    unsigned = costs_of(entrant("1", [(2, None)] * 3, signed=False))
    halted, until = (
        Played(simple(2, bib=bib, dispute_ms=1_800_000)).go() for bib in "23"
    )
    halted.press(30, Stop(sign="calf"))
    until.each(Rep(), 10, 20)
    for found, why in (
        (unsigned, "1 (not accepted yet)"),
        (costs_of(halted), "2 (stopped)"),
        (costs_of(until), "3 (provisional until 10:30)"),
    ):
        (table,) = report.tables([found])
        assert table.notes == (
            (
                "Nothing is said of this before all results are official; still open: "
                f"{why}. A score is official once both have accepted it, or the head "
                "judge closes the card (rule close)."
            ),
        )


def test_while_a_result_is_open_only_that_is_said() -> None:
    one = entrant("1", [(2, None)] * 3, signed=False)
    one.press(210, Dispute(about="one was missed"))
    found = costs_of(one, steady("2", reps=3))
    (table,) = report.tables([found])
    assert table.rows == ()
    assert "No-reps" not in as_table(table)
    assert table.notes == (
        (
            "Nothing is said of this before all results are official; still open: "
            "1 (disputed, not accepted yet)."
        ),
    )
    assert report.as_csv([found]).count("\r\n") == 1
    (only,) = json.loads(report.as_json([found]))["costs"]
    assert (only["open"], only["athletes"], only["faults"]) == (["1"], [], [])


def test_no_place_is_promised_where_none_is_told() -> None:
    """One has a place and no score without it, so who has no place changes nothing."""
    over, out = short("3", ClassOver()), short("4", Withdraw())
    found = costs_of(missing("1", ("depth",)), steady("2"), over, out)
    told = costwithout.clean_tables([found])[0].notes
    had = "had Front squat DEPTH, and has no score without it"
    assert f"3 {had} (class over): nobody's place without it is told." in told
    assert f"4 {had} (withdrawn)." in told
    assert "class over" in told[-1]


def test_no_cell_is_nan_or_none() -> None:
    found = costs_of(missing("1", ("depth",), ()), steady("2"))
    every = report.as_csv([found]) + report.as_json([found])
    every += "".join(as_table(table) for table in report.tables([found]))
    assert not any(word in every for word in ("NaN", "inf,", "None"))
    assert "no reason given" in every


def test_who_did_not_start_has_no_score() -> None:
    waiting = Played(simple(8, bib="3", lane=3))
    waiting.press(0, Absent())
    found = costs_of(missing("1", ("depth",)), waiting)
    athletes, _ = report.tables([found])
    assert athletes.rows[-1] == (None, "3 Ines Varga", None, 0, None, None, None)
    *_, last = csv.DictReader(io.StringIO(report.as_csv([found])))
    assert (last["score"], last["score_low"]) == ("", "")
    (clean,) = costwithout.clean_tables([found])
    assert clean.rows[-1] == (None, "3 Ines Varga", None, None, None)
