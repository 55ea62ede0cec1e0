from __future__ import annotations

import io
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import polars as pl

from judgekit.core.entry import NoRep, Rep
from judgekit.store.seasonfile import SCHEMAS, attempts_file, parquets
from judgekit.store.seasonkept import ATTEMPTS, SETS, Who
from tests.review.test_attempts import from_paper
from tests.seasons import kept_lane
from tests.support import Played, simple
from tests.test_readme import README

if TYPE_CHECKING:
    from judgekit.store.seasonkept import KeptLane


def two_presses() -> KeptLane:
    played = Played(simple(9)).go()
    played.press(5, Rep(n=2))
    played.press(8, NoRep(faults=("depth", "lock")))
    return kept_lane(played.lane, "book#1/4")


def rows_of(lane: KeptLane) -> list[dict[str, object]]:
    return list(pl.read_parquet(attempts_file([lane])).iter_rows(named=True))


def test_a_row_is_a_press_with_all_it_is_counted_by() -> None:
    good, missed = rows_of(two_presses())
    assert missed == {
        "event": "Quayside Saturday",
        "date": date(2027, 5, 8),
        "workout": "quayside",
        "heat": "3",
        "lane": 4,
        "division": "women-open",
        "judge": "kb",
        "athlete": "id:27",
        "name": "Athlete 27",
        "bib": "27",
        "watched": "judged",
        "rated": True,
        "timed": True,
        "part": "A",
        "round": 1,
        "place": 1,
        "card": "front-squat",
        "movement": "Front squat",
        "unit": "reps",
        "load": "",
        "target": 9,
        "log": "book#1/4",
        "log_code": "7.0123456789",
        "at_ms": 8000,
        "rep": 3,
        "attempt": 3,
        "good": False,
        "n": 1,
        "faults": ["depth", "lock"],
        "lost_low_ms": 3000,
        "lost_middle_ms": 3000,
        "lost_high_ms": 3000,
    }
    assert (good["n"], good["rep"], good["good"], good["faults"]) == (2, 2, True, [])


def test_what_is_from_paper_has_no_time_and_no_place_in_its_set() -> None:
    for row in rows_of(kept_lane(from_paper().lane)):
        assert (row["at_ms"], row["rep"], row["attempt"]) == (None, None, None)
        assert row["timed"] is False


def test_a_no_rep_without_a_reason_has_an_empty_one() -> None:
    played = Played(simple(9)).go()
    played.press(5, NoRep())
    (row,) = rows_of(kept_lane(played.lane))
    assert row["faults"] == [""]


def test_each_row_has_who_tried_it_whoever_tried_before() -> None:
    lane = two_presses()
    one, _ = lane.rows.attempts
    tried = ("27", "31", "27", "31")
    rows = replace(
        lane.rows,
        attempts=tuple(one._replace(by=bib, n=n) for n, bib in enumerate(tried)),
    )
    known = {"27": Who("id:27", "Ines"), "31": Who("id:31", "Ola")}
    found = pl.read_parquet(
        attempts_file([lane._replace(rows=rows, whos=known, lost=(None,) * len(tried))])
    )
    assert [*zip(found["bib"], found["name"], found["n"], strict=True)] == [
        ("27", "Ines", 0),
        ("31", "Ola", 1),
        ("27", "Ines", 2),
        ("31", "Ola", 3),
    ]


def test_a_pause_of_weeks_has_its_time() -> None:
    weeks = 30 * 24 * 3600
    played = Played(simple(9)).go()
    for at in (3, 6, 9, weeks):
        played.press(at, Rep())
    played.press(weeks + 3, NoRep())
    played.press(2 * weeks, Rep())
    files = parquets([kept_lane(played.lane)])
    (done,) = pl.read_parquet(files[SETS]).iter_rows(named=True)
    assert done["rested_ms"] > 2**31
    lost = pl.read_parquet(files[ATTEMPTS])["lost_high_ms"]
    assert (lost > 2**31).any()


def test_the_same_lanes_are_the_same_bytes_and_no_lane_a_file_all_the_same() -> None:
    assert attempts_file([two_presses()]) == attempts_file([two_presses()])
    empty = pl.read_parquet(attempts_file([kept_lane(Played(simple(9)).lane)]))
    assert (empty.height, empty.schema) == (0, SCHEMAS[ATTEMPTS])


def test_the_readme_has_a_line_for_each_column() -> None:
    told = README.partition("### With other programs")[2].partition("\n## ")[0]
    cells = [row.split("|")[1] for row in told.splitlines() if row.startswith("| ")]
    names = {name.strip() for cell in cells for name in cell.split(",")}
    every = {column for schema in SCHEMAS.values() for column in schema}
    assert names - {"column"} == every


def test_files_are_read_without_this_program() -> None:
    for name, data in parquets([two_presses()]).items():
        assert pl.read_parquet_schema(io.BytesIO(data)) == SCHEMAS[name]
