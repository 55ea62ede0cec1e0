from __future__ import annotations

import csv
import io
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Cue, NoRep, Rep, Rule
from judgekit.core.plan import SetKey
from judgekit.core.press import EndLook, ReportSet, TakeBackOne
from judgekit.core.ruling import StartBy
from judgekit.core.score import score
from judgekit.core.watchentry import Look
from judgekit.files.csvtext import from_csv_text
from judgekit.reports import exports, layout
from judgekit.reports.standings import Result, Standings, standings
from tests.support import Played, for_time, movement, simple

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.reports.layout import Cell, Table

HOSTILE = ("=1+1", "+49 Max", "-5", "@x", "\tAnna", '"a",b', "a\r\nb", "' =2")


def of(table: Table) -> list[dict[str, Cell]]:
    keys = [column.key for column in table.columns]
    return [dict(zip(keys, row, strict=True)) for row in table.rows]


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def ranked(lane: Lane) -> tuple[Standings, ...]:
    return standings([Result(lane=lane, score=score(lane))])


def judged() -> Lane:
    played = Played(simple(3, cues="on")).go()
    played.press(5, Rep(n=2))
    played.press(8, NoRep(faults=("depth", "lock")))
    played.press(9, Cue(fault="heels"))
    played.press(11, Rep())
    return played.lane


def test_an_attempt_says_who_what_when_and_how_it_went() -> None:
    first, missed, last = of(exports.attempts([judged()]))
    assert missed == {
        "event": "Quayside Saturday",
        "date": "2027-05-08",
        "workout": "quayside",
        "heat": "3",
        "lane": 4,
        "bib": "27",
        "name": "Ines Varga",
        "division": "women-open",
        "judge": "kb",
        "watched": "judged",
        "part": "A",
        "round": 1,
        "place": 1,
        "card": "front-squat",
        "movement": "Front squat",
        "unit": "reps",
        "load": None,
        "load_kg": None,
        "instead_of": None,
        "at_ms": 8000,
        "at": "2027-05-08T10:00:08.000+02:00",
        "rep": 3,
        "attempt": 3,
        "result": "no-rep",
        "n": 1,
        "faults": "depth lock",
        "rated": "yes",
        "by": "27",
        "timed": "yes",
    }
    assert [(row["result"], row["n"], row["faults"]) for row in (first, last)] == [
        ("good", 2, None),
        ("good", 1, None),
    ]


def test_a_set_says_what_was_asked_done_and_when() -> None:
    (row,) = of(exports.sets([judged()]))
    picked = (
        "target",
        "good",
        "no_reps",
        "opened_ms",
        "first_ms",
        "last_ms",
        "done_ms",
    )
    assert [row[key] for key in picked] == [3, 3, 1, 0, 5000, 11_000, 11_000]


def test_a_fault_has_a_row_for_each_reason_and_each_cue() -> None:
    found = of(exports.faults([judged()]))
    picked = ("at_ms", "weight", "reason", "fault", "call", "rep")
    assert [tuple(row[key] for key in picked) for row in found] == [
        (8000, "void", 1, "depth", "DEPTH", 3),
        (8000, "void", 2, "lock", "LOCK", 3),
        (9000, "cue", 1, "heels", "HEELS", None),
    ]


def test_a_no_rep_without_a_reason_is_a_row_all_the_same() -> None:
    played = Played(simple(3)).go()
    played.press(5, NoRep())
    (row,) = of(exports.faults([played.lane]))
    assert (row["reason"], row["fault"], row["call"]) == (1, None, None)


@pytest.mark.parametrize(
    ("written", "kg"),
    [
        ("42.5 kg ≈ 94 lb", 42.5),
        ("95 lb ≈ 43.1 kg", 43.091),
        ("61 kg / 135 lb", 61.0),
        ("empty bar", None),
    ],
)
def test_a_load_is_a_number_of_kg_beside_what_was_written(
    written: str, kg: float | None
) -> None:
    squat = replace(movement("front-squat", 3), loads=(written,))
    part = replace(simple().parts[0], movements=(squat,))
    played = Played(simple(parts=(part,))).go()
    played.press(5, Rep())
    (row,) = of(exports.sets([played.lane]))
    assert (row["load"], row["load_kg"]) == (written, kg)


def test_what_was_reported_has_no_count_of_no_reps_and_a_look_is_sampled() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(5, Look())
    played.press(8, NoRep(faults=("depth",)))
    played.press(20, EndLook(seen=6))
    played.press(25, NoRep(faults=("lock",)))
    played.press(30, ReportSet(n=20))
    tries = of(exports.attempts([played.lane]))
    assert [(r["watched"], r["result"], r["n"], r["rated"]) for r in tries] == [
        ("sampled", "no-rep", 1, "yes"),
        ("sampled", "good", 5, "yes"),
        ("reported", "no-rep", 1, "no"),
    ]
    (row,) = of(exports.sets([played.lane]))
    assert (row["watched"], row["good"], row["no_reps"]) == ("sampled", 20, None)


def test_names_are_as_their_owners_want_them() -> None:
    for show, name in (("initials", "I. V."), ("number", "27")):
        played = Played(for_time(show=show)).go()
        played.press(5, Rep())
        (row,) = of(exports.attempts([played.lane]))
        assert row["name"] == name


@pytest.mark.parametrize("name", HOSTILE)
def test_no_text_is_a_formula_and_every_text_comes_back(name: str) -> None:
    played = Played(simple(1, name=name, event=name)).go()
    played.put(NoRep(faults=(name,)), 5000, SetKey(1, 1, 1))
    for table in (
        exports.attempts([played.lane]),
        exports.sets([played.lane]),
        exports.faults([played.lane]),
        exports.scores(ranked(played.lane), {}),
    ):
        (row,) = read(layout.as_csv(table))
        assert not any(cell[:1] in ("=", "+", "-", "@", "\t") for cell in row.values())
        assert from_csv_text(row["name"]) == name
        assert from_csv_text(row["event"]) == name


def test_times_and_scores_follow_a_start_that_was_moved() -> None:
    """10:00:00 to 10:03:00 and 10:09:30; the start was at 10:00:12."""
    played = Played(simple(2)).go()
    played.each(Rep(), 180, 570)
    before = of(exports.attempts([played.lane]))
    played.press(600, Rule(effect=StartBy(by_ms=12_000), why="video"))
    after = of(exports.attempts([played.lane]))
    assert [row["at_ms"] for row in after] == [168_000, 558_000]
    # The moment itself is where it was.
    assert [row["at"] for row in after] == [row["at"] for row in before]
    (done,) = of(exports.sets([played.lane]))
    assert (done["first_ms"], done["done_ms"]) == (168_000, 558_000)
    (scored,) = of(exports.scores(ranked(played.lane), {("3", 4): "9.0123456789"}))
    assert (scored["score"], scored["score_ms"]) == ("9:18", 558_000)
    assert scored["log_code"] == "9.0123456789"


def test_scores_join_the_other_tables_by_ids() -> None:
    played = Played(for_time()).go()
    played.press(5, Rep())
    (row,) = of(exports.attempts([played.lane]))
    (found,) = ranked(played.lane)
    (scored,) = of(exports.scores([found], {}))
    for key in ("event", "date", "workout", "division", "heat", "lane", "bib", "name"):
        assert scored[key] == row[key]
    assert scored["workout_name"] == found.workout_name != scored["workout"]
    assert scored["division_name"] == found.division_name != scored["division"]


def test_what_was_taken_back_is_in_no_table() -> None:
    played = Played(simple(4)).go()
    played.press(5, NoRep(faults=("depth",)))
    played.press(6, TakeBackOne())
    assert exports.attempts([played.lane]).rows == ()
    assert exports.faults([played.lane]).rows == ()
