from __future__ import annotations

import json

from judgekit.reports.faults import Beside, as_json, tables
from judgekit.reports.ratewords import points
from judgekit.reports.sessions import (
    again_short,
    change_lines,
    session_data,
    session_tables,
    since_short,
)
from judgekit.review.faults import fault_rates
from judgekit.review.sessions import LaneSum, MovementSum, Sessions, sessions


def day(date: str, attempts: int, depth: int) -> LaneSum:
    reasons = (("depth", depth),) if depth else ()
    calls = (("depth", "DEPTH"),) if depth else ()
    one = MovementSum("front-squat", "Front squat", "judged", attempts, reasons, calls)
    return LaneSum(date=date, sums=(one,))


FOUND = sessions(
    [
        day("2027-04-01", 100, 20),
        day("2027-04-08", 100, 30),
        day("2027-04-15", 100, 8),
    ],
    "2027-04-15",
)


def test_a_change_is_told_with_its_interval_and_what_can_be_said() -> None:
    ((again,), (since,)) = session_tables(FOUND)
    assert again.rows == (
        ("Front squat", "DEPTH", "3 of 3", "58 of 300", "15.3 to 24.2 %", "2027-04-15"),
    )
    assert since.rows == (
        (
            *("Front squat", "DEPTH", "8 of 100", "30 of 100"),
            *("-22.0", "-32.3 to -11.3", "fewer"),
        ),
    )
    assert since.notes[1].endswith("; no other change here is sure yet.")
    assert since.notes[0] == "Then: the last day with the same movement (2027-04-08)."


def test_in_few_columns_the_biggest_stand_and_the_rest_is_counted() -> None:
    short = since_short(FOUND, 8)
    assert short.rows == (
        (
            *("Front squat: DEPTH", "8 of 100", "30 of 100"),
            "fewer: -22.0 (-32.3 to -11.3)",
        ),
    )
    again = again_short(FOUND, 8)
    assert again.rows == (
        ("Front squat: DEPTH", "3 of 3", "58 of 300", "15.3 to 24.2 %"),
    )
    assert "more" not in again.notes[-1].replace("or more", "")
    days = ("2027-04-01", "2027-04-08", "2027-04-15")
    many = sessions([nine(one, n) for n, one in enumerate(days)], days[-1])
    short, again = since_short(many, 8), again_short(many, 8)
    assert (len(short.rows), len(again.rows)) == (8, 8)
    assert short.notes[-1] == "1 more changed less; judgekit faults has all."
    assert again.notes[-1] == "1 more come again; judgekit faults has all."


def nine(date: str, more: int) -> LaneSum:
    """A day with nine faults, each called five times and some."""
    of = tuple((f"fault{n}", 5 + more) for n in range(9))
    return LaneSum(date=date, sums=(MovementSum("row", "Row", "judged", 40, of),))


def test_what_changed_by_nothing_is_counted_and_stands_in_no_row() -> None:
    days = ("2027-04-08", "2027-04-15")
    same = sessions([nine(one, 0) for one in days], days[-1])
    short = since_short(same, 8)
    assert short.rows == ()
    assert short.notes == (
        "Then: the last day with the same movement (2027-04-08).",
        "9 faults as frequent as then.",
    )
    both = sessions(
        [nine(one, 0) for one in days] + [day(days[0], 40, 3), day(days[1], 40, 5)],
        days[-1],
    )
    short = since_short(both, 8)
    assert [row[0] for row in short.rows] == ["Front squat: DEPTH"]
    assert short.notes[-1] == "9 faults as frequent as then."


def test_what_is_not_sure_is_not_said() -> None:
    unsure = sessions(
        [day("2027-04-01", 40, 3), day("2027-04-08", 40, 5)], "2027-04-08"
    )
    _, (since,) = session_tables(unsure)
    assert [column.key for column in since.columns][-1] == "likely"
    assert since.notes[1].endswith("; no change here is sure yet.")
    assert session_data(unsure)["since"][0]["says"] == "cannot tell yet"  # type: ignore[index]


def test_no_difference_has_no_sign() -> None:
    assert points(-0.0004, 0.0004, 0.12, -0.1) == ["0.0", "0.0", "+12.0", "-10.0"]


def test_in_short_stands_what_has_clearly_changed_or_that_nothing_has() -> None:
    (line,) = change_lines(FOUND, 3)
    assert line == (
        "Front squat: DEPTH: fewer than on 2027-04-08: now 8 of 100, then 30 of 100; "
        "-22.0 points, likely -32.3 to -11.3"
    )
    unsure = sessions(
        [day("2027-04-01", 40, 3), day("2027-04-08", 40, 5)], "2027-04-08"
    )
    assert list(change_lines(unsure, 3)) == [
        (
            "No fault has clearly become more or less frequent since last time "
            "(2027-04-01)."
        )
    ]
    other = MovementSum("row", "Row", "judged", 40, (("short", 3),))
    both = sessions(
        [LaneSum(date=one, sums=(other,)) for one in ("2027-04-08", "2027-04-15")]
        + [day("2027-04-08", 100, 30), day("2027-04-15", 100, 8)],
        "2027-04-15",
    )
    (line,) = change_lines(both, 3, {both.changes[0].of})
    assert line.startswith("No other fault has clearly")
    assert list(change_lines(Sessions(), 3)) == []


def test_without_other_sessions_there_is_no_table() -> None:
    assert session_tables(Sessions()) == ((), ())
    nothing = fault_rates([])
    assert [t.title for t in tables(nothing, Beside())] == ["Faults"]


def test_what_comes_again_stands_on_top_and_what_changed_below() -> None:
    titles = [t.title for t in tables(fault_rates([]), Beside(sessions=FOUND))]
    assert titles == ["Comes again", "Faults", "Since last time"]


def test_json_has_both() -> None:
    data = json.loads(as_json(fault_rates([]), Beside(sessions=FOUND)))
    assert data["format"] == 1
    (since,) = data["since"]
    assert (since["fault"], since["before"], since["says"]) == (
        *("depth", "2027-04-08"),
        "fewer",
    )
    assert since["now"]["attempts"] == 100
    assert since["difference"] == -0.22
    assert since["difference_low"] < since["difference"] < since["difference_high"]
    assert session_data(FOUND)["recurring"] == [
        {
            "movement": "Front squat",
            "fault": "depth",
            "call": "DEPTH",
            "watched": "judged",
            "seen": 3,
            "sessions": 3,
            "attempts": 300,
            "no_reps": 58,
            "rate": 0.1933,
            "low": 0.1526,
            "high": 0.2418,
            "first": "2027-04-01",
            "last": "2027-04-15",
        }
    ]
