from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from itertools import accumulate

from judgekit.core.entry import GoOn, NoRep, Reading, Rep, Stop
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import SetKey
from judgekit.core.press import ReportSet, WriteNoReps
from judgekit.reports import pieces as report
from judgekit.reports.layout import as_table
from judgekit.reports.pieces import Done
from judgekit.review.attempts import lane_rows
from judgekit.review.lost import losses
from judgekit.review.pieces import lane_pieces
from tests.support import Played, for_time, simple


def done(played: Played) -> Done:
    rows = lane_rows(played.lane)
    found = lane_pieces(played.lane, rows=rows)
    return Done(pieces=found, lost=losses(found, rows))


def judged(**changes: object) -> Done:
    """Gaps of 2 s, a break of 9 s, and a no-rep."""
    played = Played(simple(8, **changes)).go()
    for number, at in enumerate(accumulate((4, 2, 2, 2, 2, 9, 2, 2, 2)), 1):
        played.press(at, NoRep(faults=("depth",)) if number == 3 else Rep())
    return done(played)


def test_csv_has_a_row_for_each_set_with_units_in_the_names() -> None:
    (row,) = csv.DictReader(io.StringIO(report.as_csv([judged()])))
    assert row == {
        "workout": "Quayside",
        "heat": "3",
        "lane": "4",
        "bib": "27",
        "name": "Ines Varga",
        "division": "Women",
        "part": "A",
        "round": "1",
        "place": "1",
        "movement": "Front squat",
        "load": "",
        "unit": "reps",
        "target": "8",
        "good": "8",
        "no_reps": "1",
        "pieces": "4 + 4",
        "advised": "",
        "as_advised": "",
        "pace_ms": "2000",
        "breaks": "1",
        "rested_ms": "7000",
        "begins": "start",
        "took_ms": "27000",
        "held_ms": "0",
        "way_ms": "2000",
        "lost_low_ms": "2000",
        "lost_middle_ms": "2000",
        "lost_high_ms": "2000",
        "untold": "",
    }


def test_a_stop_within_a_set_is_said_beside_its_time() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 4, 6)
    played.press(7, Stop(sign="dizzy"))
    played.press(54, GoOn(by_mistake=False, by="coach"))
    played.each(Rep(), 56, 58, 60)
    held = done(played)
    table, _ = report.tables([held])
    told = [column.key for column in table.columns]
    assert [row[told.index("held")] for row in table.rows] == ["STOP 47.0 s", None]
    assert table.rows[0][told.index("took")] == "56.0"
    rows = csv.DictReader(io.StringIO(report.as_csv([held])))
    assert [row["held_ms"] for row in rows] == ["47000", "0"]
    free, _ = report.tables([judged()])
    assert "held" not in [column.key for column in free.columns]


def test_json_has_the_gaps_the_paces_and_the_totals() -> None:
    data = json.loads(report.as_json([judged()]))
    (lane,) = data["lanes"]
    assert data["format"] == 1
    assert lane["sets"][0]["gaps_ms"] == [None, *[2000] * 4, 9000, *[2000] * 3]
    assert lane["paces"] == [
        {
            "movement": "Front squat",
            "load": None,
            "unit": "reps",
            "gaps": 7,
            "pace_ms": 2000,
            "usual_ms": 2000,
            "break_from_ms": 3200,
            "slowing": None,
        }
    ]
    totals = {key: lane[key] for key in ("between_ms", "over_rest_ms", "rested_ms")}
    assert totals == {"between_ms": 0, "over_rest_ms": 0, "rested_ms": 7000}


def test_a_lane_is_told_in_words() -> None:
    table, rhythms = report.tables([judged()])
    assert table.title == "Quayside, heat 3, lane 4: 27 Ines Varga"
    assert table.rows == (
        ("A.1", "Front squat", "8", "27.0", "4+4", "2.0", "7.0", "2.0"),
    )
    *_, totals, pace, lost = table.notes
    assert "Advised" not in [column.name for column in table.columns]
    assert totals == (
        "In all 7.0 s of pauses within sets, 0.0 s on the way between sets."
    )
    assert pace.startswith("Front squat: 2.0 s a rep; too few reps")
    assert lost == "1 no-rep took about 2 s, estimated."
    assert rhythms.rows == (("A.1", "Front squat", "·▃x▃▃|·▃▃▃"),)


def test_pieces_stand_beside_those_advised_and_rest_over_plan_is_told() -> None:
    plan = for_time()
    squats, toes = plan.parts[0].movements
    part = replace(
        plan.parts[0], movements=(replace(squats, pieces=((2, 1), (3,))), toes)
    )
    played = Played(replace(plan, parts=(part, *plan.parts[1:]))).go()
    played.each(Rep(), 3, 5, 7, 12, 14, 20, 22, 24, 30, 32)
    played.press(98, Reading(shows=4))
    played.each(Rep(), 101, 103)
    table, _ = report.tables([done(played)])
    told = [[str(cell) for cell in row[2:6]] for row in table.rows]
    assert told == [
        ["3", "7.0", "3", "2+1"],
        ["2", "7.0", "2", "None"],
        ["3", "10.0", "3", "3"],
        ["2", "8.0", "2", "None"],
        # A rest of a minute began at 0:32: the row took 6 s from its end on.
        ["4", "6.0", "monitor", "None"],
        ["2", "5.0", "2", "None"],
    ]
    (totals,) = [note for note in table.notes if note.startswith("In all")]
    assert totals.endswith("s of rest over plan; the way to 1 set is not known.")


def test_a_set_on_paper_or_reported_took_nobody_knows_how_long() -> None:
    played = Played(for_time()).go()
    played.press(400, PaperTime())
    assert {(o.took_ms, o.begins) for o in done(played).pieces.sets} == {(None, None)}
    reported = Played(replace(simple(20), watching="reported")).go()
    reported.press(30, ReportSet(n=20))
    assert {one.took_ms for one in done(reported).pieces.sets} == {None}


def test_what_has_no_times_says_so_in_its_own_cell() -> None:
    played = Played(for_time()).go()
    played.press(20, Rep(n=3))
    table, _ = report.tables([done(played)])
    assert table.rows[0][4] == "several at once"
    words = "several at once: several reps at one press have no times within."
    assert words in table.notes
    every = report.as_csv([done(played)]) + report.as_json([done(played)])
    every += as_table(table)
    assert not any(word in every.lower() for word in ("nan", "inf,", "none"))


def test_a_lane_without_times_has_no_totals_of_them() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(30, ReportSet(n=20))
    (lane,) = json.loads(report.as_json([done(played)]))["lanes"]
    totals = {lane[key] for key in ("between_ms", "over_rest_ms", "rested_ms")}
    assert totals == {None}
    (table,) = report.tables([done(played)])
    assert not any(word.startswith("In all") for word in table.notes)


def test_a_lane_in_which_nothing_was_done_has_no_table() -> None:
    assert report.tables([done(Played(simple()).go())]) == ()


def test_an_athlete_who_shows_no_name_has_none_here() -> None:
    every = [judged(show="number")]
    text = report.as_csv(every) + report.as_json(every)
    text += "".join(as_table(table) for table in report.tables(every))
    assert "Varga" not in text


def test_what_no_reps_took_is_told_by_movement() -> None:
    played = Played(for_time()).go()
    for at, act in (
        *((3, Rep()), (6, Rep()), (9, NoRep()), (12, NoRep()), (15, Rep())),
        *((20, Rep()), (22, NoRep()), (24, Rep())),
    ):
        played.press(at, act)
    table, _ = report.tables([done(played)])
    assert table.notes[-1].startswith("3 no-reps took about 8 s, estimated")
    assert table.notes[-1].endswith(": Front squat 6 s, Toes to bar 2 s.")


def test_what_untimed_no_reps_took_is_not_told() -> None:
    for many, said in (
        (1, "1 no-rep has no time, so that nothing is said of what it took."),
        (2, "2 no-reps have no times, so that nothing is said of what they took."),
    ):
        played = Played(simple()).go()
        played.press(0, WriteNoReps(set=SetKey(1, 1, 1), n=many))
        played.press(60, PaperTime())
        table, *_ = report.tables([done(played)])
        assert table.notes[-1] == said
