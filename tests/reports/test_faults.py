from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

from judgekit.core.entry import Cue, NoRep, Rep
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import PlanPart, SetKey
from judgekit.core.press import Called, EndLook, ReportSet, WriteNoReps
from judgekit.core.watchentry import Look
from judgekit.reports import faults as report
from judgekit.reports import frequencies as by_keys
from judgekit.reports.layout import EMPTY, as_table
from judgekit.review.attempts import lane_rows
from judgekit.review.faults import fault_rates, rate
from judgekit.review.frequencies import frequencies
from tests.support import Played, for_time, movement, simple

if TYPE_CHECKING:
    from judgekit.core.state import Lane


def lane(number: int, good: int, *reasons: tuple[str, ...]) -> Lane:
    played = Played(simple(60, bib=str(number), lane=number)).go()
    if good:
        played.press(100, Rep(n=good))
    for n, faults in enumerate(reasons, 1):
        played.put(NoRep(faults=faults), 100_000 + 5000 * n)
    return played.lane


def test_csv_has_rates_between_nought_and_one() -> None:
    found = fault_rates([lane(1, 2, ("depth",))])
    assert report.as_csv(found) == (
        "movement,watched,fault,call,attempts,good,no_reps,rate,low,high,"
        "athletes,of_athletes,share,few\r\n"
        "Front squat,judged,depth,DEPTH,3,2,1,0.3333,0.0615,0.7923,1,1,1.0,yes\r\n"
    )


def test_a_lane_without_attempts_never_looks_like_one_without_faults() -> None:
    """C21: an empty cell, 0.0 % and 33.3 %; never nan, inf or None."""
    found = fault_rates([lane(1, 0), lane(2, 50), lane(3, 2, ("depth",))])
    _, _, lanes = report.tables(found)
    assert [row[-3] for row in lanes.rows] == [None, "0.0 %", "33.3 %"]
    text = as_table(lanes)
    assert [line.split()[5] for line in text.splitlines()[4:7]] == [
        EMPTY,
        "0.0",
        "33.3",
    ]
    data = json.loads(report.as_json(found))
    assert [one["rate"] for one in data["lanes"]] == [None, 0.0, 0.3333]
    every = report.as_csv(found) + "".join(as_table(t) for t in report.tables(found))
    assert not any(word in every.lower() for word in ("nan", "inf", "none"))


def test_the_table_of_faults_says_how_to_read_it() -> None:
    faults, *_ = report.tables(fault_rates([lane(1, 2, ("depth",))]))
    assert faults.rows == (
        (
            *("Front squat", "DEPTH", "1 of 3", "33.3 %", "6.1 to 79.2 %", "100.0 %"),
            *("1 of 1", "few"),
        ),
    )
    assert faults.notes == (
        (
            "Rate: no-reps with this fault out of the attempts at its movement; "
            "likely: where the rate lies with 95 of 100 (Wilson's interval). First "
            "comes what is surely frequent and shared by many athletes."
        ),
        "Few: under 20 attempts, or a likely range wider than 20 points.",
        "1 no-rep in 3 attempts: 33.3 %, likely between 6.1 % and 79.2 % (95 %).",
    )
    enough, *_ = report.tables(fault_rates([lane(1, 50, ("depth",))]))
    assert [column.name for column in enough.columns][-1] == "Athletes"
    assert enough.rows[0][-1] == "1 of 1"
    assert len(enough.notes) == 2


def test_a_fault_off_the_card_or_without_a_name_is_told_as_such() -> None:
    faults, *_ = report.tables(fault_rates([lane(1, 50, ("gone",), ())]))
    assert {row[1] for row in faults.rows} == {
        "gone (no longer on the card)",
        "no reason given",
    }


def test_a_heat_without_faults_says_so_and_totals_nought() -> None:
    """C21."""
    found = fault_rates([lane(1, 5)])
    faults, *_ = report.tables(found)
    assert (faults.rows, faults.notes) == ((), ("No faults: 0 no-reps in 5 attempts.",))
    assert report.as_csv(found).count("\r\n") == 1
    assert json.loads(report.as_json(found))["total"] == {
        "attempts": 5,
        "no_reps": 0,
        "rate": 0.0,
        "low": 0.0,
        "high": 0.4345,
    }


def test_a_total_is_said_with_its_attempts_and_how_sure_it_is() -> None:
    assert report.total_words(rate(0, 0)) == "No attempt was judged: 0 no-reps."
    assert report.total_words(rate(1, 1)) == (
        "1 no-rep in 1 attempt: 100.0 %, likely between 20.7 % and 100.0 % (95 %)."
    )
    assert report.total_words(rate(3, 60)) == (
        "3 no-reps in 60 attempts: 5.0 %, likely between 1.7 % and 13.7 % (95 %)."
    )


def test_reasons_are_named_as_logged_in_every_export() -> None:
    """C32: four no-reps stay four, under the old reason; one has no reason."""
    found = fault_rates([lane(1, 6, *[("squat_depth",)] * 4, ())])
    data = json.loads(report.as_json(found))
    assert [(f["fault"], f["call"], f["no_reps"]) for f in data["faults"]] == [
        ("squat_depth", "no longer on the card", 4),
        ("no reason given", None, 1),
    ]
    assert data["total"]["no_reps"] == 5
    assert (
        "Front squat,judged,squat_depth,no longer on the card,11,6,4"
        in report.as_csv(found)
    )


def test_good_is_what_counted_whatever_the_other_no_reps_were_for() -> None:
    """Of twelve attempts four did not count, one of them for two reasons."""
    found = fault_rates([lane(1, 8, ("depth", "lock"), ("depth",), ("lock",), ())])
    rows = list(csv.DictReader(io.StringIO(report.as_csv(found))))
    assert {(r["fault"], r["attempts"], r["good"], r["no_reps"]) for r in rows} == {
        ("depth", "12", "8", "2"),
        ("lock", "12", "8", "2"),
        ("no reason given", "12", "8", "1"),
    }
    by = frequencies([lane_rows(lane(1, 8, ("depth", "lock"), ()))], ("fault",))
    same = csv.DictReader(
        io.StringIO(by_keys.as_csv(by_keys.Named(found=by, judges={})))
    )
    assert {row["good"] for row in same} == {"8"}


def test_movements_and_cues_are_in_the_json() -> None:
    played = Played(simple(bib="1")).go()
    played.press(5, Rep())
    played.press(6, Cue(fault="heels"))
    data = json.loads(report.as_json(fault_rates([played.lane])))
    assert data["format"] == 1
    assert data["movements"] == [
        {
            "movement": "Front squat",
            "watched": "judged",
            "attempts": 1,
            "no_reps": 0,
            "rate": 0.0,
            "low": 0.0,
            "high": 0.7935,
            "reported": None,
            "athletes": 0,
            "of_athletes": 1,
            "cues": {"heels": 1},
        }
    ]
    assert report.tables(fault_rates([played.lane]))[1].rows[0][-1] == "HEELS 1"


def test_where_nobody_s_attempts_are_counted_nobody_is_counted_either() -> None:
    """A rower with a cue is no "0 of 0 athletes"."""
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=1,
        movements=(movement("row", 9, unit="calories"),),
    )
    played = Played(for_time(parts=(part,))).go()
    played.press(20, Cue(fault="heels"))
    (row,) = report.tables(fault_rates([played.lane]))[1].rows
    assert row == ("Row", None, 0, None, None, None, None, "HEELS 1")


def test_ways_of_watching_are_told_apart_in_every_format() -> None:
    played = Played(simple(60, bib="1", lane=1, watching="reported")).go()
    played.press(2, Look())
    played.press(3, Called(fault="depth"))
    played.press(9, EndLook(seen=4))
    played.press(11, Called(fault="lock"))
    played.press(20, ReportSet(n=30))
    found = fault_rates([lane(2, 9), played.lane])
    assert report.as_csv(found).splitlines()[1:] == [
        "Front squat,sampled,depth,DEPTH,4,3,1,0.25,0.0456,0.6994,1,1,1.0,yes",
        "Front squat,reported,lock,LOCK,,,1,,,,1,1,1.0,",
    ]
    data = json.loads(report.as_json(found))
    assert [
        (m["watched"], m["attempts"], m["reported"]) for m in data["movements"]
    ] == [
        ("judged", 9, None),
        ("reported", None, 30),
        ("sampled", 4, None),
    ]
    assert (data["total"]["attempts"], data["sampled"]["attempts"]) == (9, 4)
    assert data["noticed"] == 1
    faults, movements, lanes = report.tables(found)
    assert [row[1] for row in faults.rows] == ["sampled", "reported"]
    assert [row[3] for row in lanes.rows] == ["sampled", "reported", "judged"]
    assert "Reported" in [column.name for column in movements.columns]
    assert faults.notes[2:] == (
        (
            "Sampled: out of the attempts that a coach saw in looks. Reported: the "
            "athlete said how many were done, so that faults noticed there have no "
            "rate."
        ),
        "No faults: 0 no-reps in 9 attempts.",
        (
            "In looks: 1 no-rep in 4 attempts: 25.0 %, likely between 4.6 % and 69.9 % "
            "(95 %)."
        ),
        "Noticed outside of looks: 1 fault.",
    )


def test_what_is_from_paper_counts_and_is_said_to_be() -> None:
    played = Played(simple()).go()
    played.press(0, WriteNoReps(set=SetKey(1, 1, 1), n=2, fault="depth"))
    played.press(61, PaperTime())
    found = fault_rates([played.lane])
    assert (found.total.attempts, found.total.no_reps) == (12, 2)
    (faults, *_) = report.tables(found)
    assert "From paper, so without times: heat 3 lane 4." in faults.notes
    (lane,) = json.loads(report.as_json(found))["lanes"]
    assert lane["from_paper"] is True
