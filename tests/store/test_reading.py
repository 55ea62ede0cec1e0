from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Absent, Body, Claim, Entry, Go, Rep, Source
from judgekit.core.errors import InputError, Problem
from judgekit.core.lane import empty
from judgekit.core.people import HeatLane
from judgekit.core.ruling import Ref
from judgekit.store import sqlite
from judgekit.store.codec import encode_plan, plan_hash
from judgekit.store.reading import EventRead, LaneRead, read_lanes
from judgekit.store.verify import verify_code
from tests.store.making import tamper
from tests.support import ZERO_WALL, simple

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.core.plan import Plan

PLAN = simple(3)
SEALED = encode_plan(replace(PLAN, name="As sealed"))
GO = Go(boot="b", boot_ms=0, zero_ms=ZERO_WALL, plans=((4, plan_hash(SEALED)),))
ROW = HeatLane(
    heat="3",
    date="2027-05-08",
    start_ms=0,
    workout="quayside",
    lane=4,
    bib="27",
    judge="kb",
)


def claim(*covers: Ref, source: Source = "live") -> Claim:
    return Claim(judge="kb", covers=covers, source=source)


def write(
    log: Path,
    name: str,
    *bodies: Body,
    lane: int = 4,
    heat: str = "3",
    plans: Sequence[bytes] = (SEALED,),
) -> None:
    """A book of these entries, made in the order of the books' names."""
    wall = ZERO_WALL + 1000 * ord(name)
    book = sqlite.create(log, name, event="E", heat=heat, wall=wall)
    entries = [
        Entry(
            book=name,
            number=number,
            lane=None if isinstance(body, Go) else lane,
            at=None if isinstance(body, Claim) else number * 1000,
            wall=wall + number,
            who="kb",
            set=None,
            body=body,
        )
        for number, body in enumerate(bodies, 1)
    ]
    book.append(entries, plans if GO in bodies else ())
    book.close()


def today(_row: HeatLane, _day: Sequence[Entry]) -> Plan:
    return PLAN


def read(log: Path, heat: str | None = None) -> EventRead:
    return read_lanes(log, heat, rows=[ROW], resolve=today)


def only(found: EventRead) -> LaneRead:
    (lane,) = found.lanes
    assert found.wrong == ()
    return lane


def test_a_lane_nothing_was_said_about_waits_by_the_files_plan(tmp_path: Path) -> None:
    lane = only(read(tmp_path / "log"))
    assert lane == LaneRead(heat="3", number=4, runs=(), run=None, lane=empty(PLAN))
    assert lane.scored


def test_a_lane_is_read_by_its_sealed_plan_whatever_the_files_say(
    tmp_path: Path,
) -> None:
    write(tmp_path, "a", claim(), GO, Rep(), Rep())
    lane = only(read(tmp_path))
    assert (lane.lane.plan.name, lane.lane.work.good) == ("As sealed", 2)
    assert lane.run == lane.runs[0]


def test_a_claimed_lane_before_go_is_read_by_the_files_plan(tmp_path: Path) -> None:
    write(tmp_path, "a", claim())
    lane = only(read(tmp_path))
    assert (lane.lane.plan, lane.lane.judge) == (PLAN, "kb")


def test_the_log_code_names_every_book_that_was_read_and_stands(tmp_path: Path) -> None:
    write(tmp_path, "a", claim(), GO, Rep(), Rep())
    write(tmp_path, "b", claim(Ref("a", 3)), Rep())
    lane = only(read(tmp_path))
    assert lane.lane.work.good == 2
    result = verify_code(tmp_path, lane.log_code)
    assert [(p.book, p.number) for p in result.pieces] == [("a", 3), ("b", 2)]


def test_a_disputed_lane_is_shown_and_not_scored(tmp_path: Path) -> None:
    write(tmp_path, "a", claim(), GO, Rep())
    write(tmp_path, "b", claim(Ref("a", 3)), Rep())
    write(tmp_path, "c", claim(Ref("a", 3)))
    lane = only(read(tmp_path))
    assert (lane.run, lane.scored, lane.lane.work.good) == (None, False, 1)


def test_a_second_judge_alone_is_shown_and_not_scored(tmp_path: Path) -> None:
    write(tmp_path, "a", claim(source="second"), GO, Rep())
    lane = only(read(tmp_path))
    assert (lane.run, lane.scored, lane.lane.work.good) == (None, False, 1)


def test_an_absence_said_before_anybody_claimed_the_lane_is_read(
    tmp_path: Path,
) -> None:
    write(tmp_path, "a", Absent())
    assert only(read(tmp_path)).lane == replace(empty(PLAN), absent=True)


def test_a_lane_that_only_the_log_knows_is_read_from_it(tmp_path: Path) -> None:
    write(tmp_path, "a", claim(), GO, Rep())
    found = read_lanes(tmp_path)
    assert only(found).lane.work.good == 1
    moved = read_lanes(tmp_path, rows=[replace(ROW, lane=5)], resolve=today)
    assert [(one.number, one.lane.work.good) for one in moved.lanes] == [(5, 0), (4, 1)]


def test_a_lane_that_nobody_started_and_no_file_knows_is_named(tmp_path: Path) -> None:
    write(tmp_path, "a", claim())
    assert read_lanes(tmp_path) == EventRead(
        lanes=(),
        wrong=("heat 3, lane 4 is in the log, but neither in heats.csv nor started",),
        day={"3": ()},
    )


def test_one_heat_alone_can_be_read(tmp_path: Path) -> None:
    write(tmp_path, "a", claim(), GO, Rep())
    write(tmp_path, "b", claim(), GO, Rep(), heat="2")
    assert [one.heat for one in read(tmp_path).lanes] == ["3", "2"]
    assert [one.heat for one in read(tmp_path, "2").lanes] == ["2"]


def test_a_damaged_book_is_named_and_the_others_are_read(tmp_path: Path) -> None:
    write(tmp_path, "a", claim(), GO, Rep())
    (tmp_path / "b.sqlite").write_bytes(b"odd")
    found = read(tmp_path)
    assert [one.lane.work.good for one in found.lanes] == [1]
    (wrong,) = found.wrong
    assert wrong.startswith("b.sqlite: ")


def test_a_plan_that_cannot_be_made_is_not_passed_over(tmp_path: Path) -> None:
    def refused(_row: HeatLane, _day: Sequence[Entry]) -> Plan:
        raise InputError([Problem(file="heats.csv", line=1, what="no such division")])

    with pytest.raises(InputError, match="no such division"):
        read_lanes(tmp_path, rows=[ROW], resolve=refused)


def test_of_what_is_past_a_damaged_book_is_read_as_far_as_it_holds(
    tmp_path: Path,
) -> None:
    write(tmp_path, "a", claim(), GO, Rep(), Rep(), Rep())
    tamper(tmp_path / "a.sqlite", "UPDATE entry SET data = x'00' WHERE number = 4")
    whole = read_lanes(tmp_path)
    assert (whole.lanes, len(whole.wrong)) == ((), 1)

    past = read_lanes(tmp_path, past=True)

    assert past.wrong == whole.wrong
    (lane,) = past.lanes
    assert lane.lane.work.good == 1


def test_of_what_is_past_a_lane_that_never_started_is_none(tmp_path: Path) -> None:
    write(tmp_path, "a", claim())
    assert read_lanes(tmp_path).wrong == (
        "heat 3, lane 4 is in the log, but neither in heats.csv nor started",
    )
    assert read_lanes(tmp_path, past=True).lanes == ()
