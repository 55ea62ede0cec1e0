"""A tally into a book: whole or not at all, and the same every time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import BookError, InputError
from judgekit.core.lane import fold
from judgekit.core.looking import sealed_plan
from judgekit.core.runs import counting, runs_of
from judgekit.core.score import score
from judgekit.desk.transcribing import read_tally, transcribe
from judgekit.files import tally
from judgekit.files.folder import EventFolder, load_event
from judgekit.store.folder import read_all
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.state import Lane


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return load_event(write_event(tmp_path / "event"))


def write(folder: EventFolder, text: str, again: str = "") -> Path:
    row = folder.lanes("1")[0]
    parsed = tally.parse(text, "lane.tally")
    return transcribe(
        folder, row, parsed, text.encode(), shown="lane.tally", again=again
    )


def test_a_tally_scores_as_it_was_written(folder: EventFolder) -> None:
    write(folder, TALLY)
    copies = read_all(folder.log, "1")
    run = counting(runs_of({c.id: c.entries for c in copies}, 1))
    assert run is not None
    plan = copies[0].plans[sealed_plan(run.entries, 1)]
    result = score(fold(plan, run.entries))
    assert (result.status, result.shown) == ("finished", "0:33")
    assert result.provisional == ()


def test_the_same_tally_makes_the_same_bytes(tmp_path: Path) -> None:
    hashes = []
    for name in ("one", "two"):
        event = load_event(write_event(tmp_path / name))
        write(event, TALLY)
        copy = read_all(event.log)[0]
        hashes.append((copy.id, copy.hashes))
    assert hashes[0] == hashes[1]


def test_wall_time_is_the_heats_start_in_the_events_zone(folder: EventFolder) -> None:
    write(folder, TALLY)
    entries = read_all(folder.log)[0].entries
    # 2027-05-08 10:00 in Berlin is 08:00 UTC; the rep at 0:03.0.
    assert entries[2].wall == 1_809_763_203_000


def test_every_refused_line_is_told_and_there_is_no_book(folder: EventFolder) -> None:
    text = (
        "0:00 is 99\n0:00 go\n0:03 rep x9\n0:05 no-rep elbows\n0:07 rep\n"
        "0:09 horn yes\n"
    )
    with pytest.raises(InputError) as wrong:
        write(folder, text)
    assert [p.line for p in wrong.value.problems] == [1, 3, 4, 6]
    assert read_all(folder.log) == ()


def test_a_lane_with_entries_needs_a_reason_for_another_run(
    folder: EventFolder,
) -> None:
    write(folder, TALLY)
    with pytest.raises(BookError, match="--again"):
        write(folder, TALLY)
    write(folder, TALLY, again="wrong tally typed")
    copies = read_all(folder.log)
    runs = runs_of({c.id: c.entries for c in copies}, 1)
    assert [run.why for run in runs] == ["", "wrong tally typed"]


def test_another_athlete_before_go_is_judged_by_another_plan(
    folder: EventFolder,
) -> None:
    path = write(folder, "0:00 is 31\n0:00 go\n0:03 rep\n")
    copy = read_all(folder.log)[0]
    assert path.stem == copy.id
    assert [plan.bib for plan in copy.plans.values()] == ["31"]


def test_another_athlete_after_go_seals_another_plan(folder: EventFolder) -> None:
    write(folder, "0:00 go\n0:03 rep\n0:05 is 31\n0:07 rep\n")
    copy = read_all(folder.log)[0]
    assert [plan.bib for plan in copy.plans.values()] == ["27", "31"]
    assert copy.plans[sealed_plan(copy.entries, 1)].bib == "31"


def on_paper(folder: EventFolder, text: str) -> Lane:
    row = folder.lanes("1")[0]
    parsed = tally.parse(text, "p", folder.plan_of(row, ()))
    return read_tally(folder, row, parsed, text.encode(), shown="p").lane


def test_totals_from_paper_are_called_at_the_cap_and_signed(
    folder: EventFolder,
) -> None:
    lane = on_paper(folder, "round 1: all\nround 2: 1\nsigned athlete, judge\n")
    kinds = [entry.body.kind for entry in lane.entries]
    assert kinds[-3:] == ["time", "accept", "accept"]
    made = score(lane)
    assert (made.status, made.detail) == ("capped", "6 of 9, 3 short")
    assert made.provisional == ()
    assert lane.closed


def test_the_clock_of_a_late_starter_is_called_later(folder: EventFolder) -> None:
    lane = on_paper(folder, "0:00 go\n0:30 go +0:30\nround 1: all\n")
    (called,) = [e for e in lane.entries if e.body.kind == "time"]
    assert called.at == 630_000
    assert score(lane).status == "capped"


def test_who_withdrew_is_not_called_at_the_cap(folder: EventFolder) -> None:
    lane = on_paper(folder, "round 1: 3, 1\n4:00  withdraw sore wrist\n")
    assert [e.body.kind for e in lane.entries][-1] == "withdraw"
    assert score(lane).status == "withdrawn"


def test_paper_that_lacks_a_time_says_which(folder: EventFolder) -> None:
    with pytest.raises(InputError) as wrong:
        on_paper(folder, "round 1: all\nround 2: all\n")
    (problem,) = wrong.value.problems
    assert (problem.line, problem.what) == (2, "the paper lacks a time")
    assert "such as 7:41" in problem.right


def test_every_line_of_paper_that_cannot_stand_is_told(folder: EventFolder) -> None:
    with pytest.raises(InputError) as wrong:
        on_paper(folder, "round 1: 4, 3\nshallow 2\nround 1: 1\n11:00\n")
    assert [p.line for p in wrong.value.problems] == [1, 1, 4]
