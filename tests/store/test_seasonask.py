from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

import duckdb
import pytest
from hypothesis import given, settings

from judgekit.core.entry import NoRep, Rep
from judgekit.review.attempts import lane_rows
from judgekit.review.faults import fault_rates
from judgekit.review.season import WORDS, Call, total
from judgekit.store.seasonask import File, Season
from tests.seasons import Judged, files_in, judged_lanes, kept_lane
from tests.support import Played, for_time, simple

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.state import Lane
    from judgekit.review.season import Word

FOLDERS = count()


def season_of(folder: Path, lanes: list[Lane]) -> Season:
    files = files_in(folder / str(next(FOLDERS)), [kept_lane(lane) for lane in lanes])
    return Season(files, WORDS)


@settings(max_examples=40)
@given(judged=judged_lanes)
def test_a_season_says_of_all_lanes_what_the_fault_table_says(
    tmp_path_factory: pytest.TempPathFactory, judged: list[Judged]
) -> None:
    lanes = [one.lane(number) for number, one in enumerate(judged, 1)]
    if not any(lane_rows(lane).attempts for lane in lanes):
        return
    season = season_of(tmp_path_factory.getbasetemp() / "faults", lanes)
    table = fault_rates(lanes)
    found = {
        (*group.of, group.watched, group.rated): (
            group.rate,
            group.athletes,
            group.of_athletes if group.rated or group.watched == "judged" else None,
        )
        for group in season.by(("movement", "fault"))
    }
    assert found == {
        (row.card, row.fault, row.watched, row.rate.attempts is not None): (
            row.rate,
            row.athletes,
            None if row.watched == "reported" else row.of_athletes,
        )
        for row in table.faults
    }
    assert total(season, "judged") == table.total
    assert total(season, "sampled") == table.sampled


@settings(max_examples=20)
@given(judged=judged_lanes)
def test_every_way_of_grouping_adds_up_to_the_same(
    tmp_path_factory: pytest.TempPathFactory, judged: list[Judged]
) -> None:
    lanes = [one.lane(number) for number, one in enumerate(judged, 1)]
    rows = [row for lane in lanes for row in lane_rows(lane).attempts]
    if not rows:
        return
    season = season_of(tmp_path_factory.getbasetemp() / "sums", lanes)
    for word in WORDS:
        groups = season.by((word,))
        if word == "fault":
            reasons = sum(len(row.faults) or 1 for row in rows if not row.good)
            assert sum(group.no_reps for group in groups) == reasons
        else:
            assert sum(g.attempts for g in groups) == sum(row.n for row in rows)
            assert sum(g.no_reps for g in groups) == sum(not r.good for r in rows)


def two_days() -> list[Lane]:
    lanes = []
    for number, day in enumerate((0, 1), 1):
        played = Played(Judged(0, day, number, []).changed(simple(40), number)).go()
        played.each(Rep(), 5, 8)
        played.press(11, NoRep(faults=("depth", "lock")))
        lanes.append(played.lane)
    return lanes


@pytest.mark.parametrize(
    ("word", "values"),
    [
        ("movement", ["front-squat"]),
        ("athlete", ["id:1", "id:2"]),
        ("division", ["men", "women"]),
        ("part", ["quayside A"]),
        ("round", ["quayside A.1"]),
        ("judge", ["kb"]),
        ("date", ["2027-03-01", "2027-04-02"]),
        ("month", ["2027-03", "2027-04"]),
        ("workout", ["quayside"]),
        ("heat", ["1", "2"]),
        ("fault", ["depth", "lock"]),
    ],
)
def test_each_word_groups_by_what_it_says(
    tmp_path: Path, word: str, values: list[str]
) -> None:
    (known,) = [one for one in WORDS if one == word]
    season = season_of(tmp_path, two_days())
    assert sorted(group.of for group in season.by((known,))) == [(v,) for v in values]


def test_the_order_of_words_is_that_of_the_values(tmp_path: Path) -> None:
    season = season_of(tmp_path, two_days())
    found = season.by(("fault", "date", "movement"))
    assert ("depth", "2027-03-01", "front-squat") in {group.of for group in found}


def test_lanes_that_a_copy_tells_better_are_left_out(tmp_path: Path) -> None:
    lanes = [kept_lane(lane) for lane in two_days()]
    whole = files_in(tmp_path / "a", lanes)
    copies = files_in(tmp_path / "b", lanes)
    without = [
        File(c.path, frozenset({lane.log}))
        for c, lane in zip(copies, lanes, strict=True)
    ]
    (group,) = Season([*whole, *without], ("movement",)).by(("movement",))
    assert (group.attempts, group.no_reps, group.athletes) == (6, 2, 2)


def test_a_folder_may_be_called_anything(tmp_path: Path) -> None:
    odd = tmp_path / "a=1" / "[b]*?" / "date=1999-01-01"
    files = files_in(odd, [kept_lane(lane) for lane in two_days()])
    found = Season(files, ("date",)).by(("date",))
    assert sorted(group.of for group in found) == [("2027-03-01",), ("2027-04-02",)]


def test_a_fault_is_out_of_what_was_tried_where_it_can_be_called(
    tmp_path: Path,
) -> None:
    lanes = []
    for number, plan in enumerate((simple(40), for_time(), for_time()), 1):
        played = Played(Judged(0, 0, number, []).changed(plan, number)).go()
        played.each(Rep(), *range(5, 25, 3))
        lanes.append(played.press(60, NoRep(faults=("depth",) * (number == 1))))
    files = files_in(tmp_path / "x", [kept_lane(lane) for lane in lanes])
    words: tuple[Word, ...] = ("movement", "fault")
    tried = {one.of[0]: one for one in Season(files, words).by(("movement",))}
    assert len(tried) > 1
    here, *others = sorted(tried, key=lambda card: card != "front-squat")
    cards = {"depth": [here], "": list(tried)}
    for known in ([], [Call(others[0], "depth"), Call("gone", "depth")]):
        if known:
            cards["depth"] = [here, others[0]]
        for one in Season(files, ("fault",), (), known).by(("fault",)):
            of = [tried[card] for card in cards[one.of[0]]]
            assert one.attempts == sum(group.attempts for group in of)
            assert one.good == sum(group.good for group in of)


def test_without_a_file_there_is_nothing() -> None:
    assert Season([], WORDS).by(("movement", "fault", "month")) == []


def test_another_engine_reads_the_same_from_the_same_files(tmp_path: Path) -> None:
    files = files_in(tmp_path / "x", [kept_lane(lane) for lane in two_days()])
    rows = duckdb.execute(
        "SELECT card, fault, count(*), count(DISTINCT athlete)"
        " FROM (SELECT *, unnest(faults) AS fault FROM read_parquet(?) WHERE NOT good)"
        " GROUP BY ALL ORDER BY ALL",
        [[str(file.path) for file in files]],
    ).fetchall()
    assert rows == [
        ("front-squat", "depth", 2, 2),
        ("front-squat", "lock", 2, 2),
    ]
