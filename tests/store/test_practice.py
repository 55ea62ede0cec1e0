from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Recall, Rep
from judgekit.desk.practising import open_practice
from judgekit.review.performing import script
from judgekit.store.practice import FORMAT, Performance, keep, rehearsed
from tests.desk.fakes import FakeClock
from tests.rehearsing import athlete, rehearsal
from tests.support import ZERO_WALL

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.review.performing import Performed


def shown_to(
    folder: Path, judge: str, clock: FakeClock, *, recalled: bool = False
) -> tuple[Performed, ...]:
    """One rehearsal of three reps under a judge who counts everything."""
    found = rehearsal("air-squat", reps=3)
    performed = script(found.plan, athlete(found, reps=3, seed=2))
    desk = open_practice(folder, found.plan, judge, clock)
    if recalled:
        desk.call_go(boot_ms=clock.boot_now)
        clock.pass_(12_000)
        desk.submit(1, Rep(), boot_ms=clock.boot_now)
        desk.submit(1, Recall(), boot_ms=clock.boot_now)
        desk.work_off()
    desk.call_go(boot_ms=clock.boot_now)
    clock.pass_(10_000)
    zero = clock.boot_now
    for one in performed:
        desk.submit(1, Rep(), boot_ms=zero + one.at_ms + 900)
    clock.pass_(60_000)
    desk.close("over")
    shown = Performance(format=FORMAT, seed=2, percent=100, performed=performed)
    keep(folder, desk.book_id, shown)
    return performed


def test_what_was_rehearsed_is_marked_anew_from_its_book(tmp_path: Path) -> None:
    folder, clock = tmp_path / "practice", FakeClock()
    performed = shown_to(folder, "kb", clock)
    (found,) = rehearsed(folder)
    good = sum(1 for one in performed if not one.fault)
    assert (found.judge, *found.cards) == ("kb", "air-squat")
    assert found.shown.performed == performed
    assert (found.marks.right, found.marks.count("missed")) == (good, 3 - good)
    assert 0 < good < 3


def test_what_was_called_before_a_recall_is_no_call(tmp_path: Path) -> None:
    shown_to(tmp_path, "kb", FakeClock(), recalled=True)
    shown_to(tmp_path, "kb", FakeClock(wall_now=2 * ZERO_WALL))
    recalled, plain = rehearsed(tmp_path)
    assert recalled.marks == plain.marks


def test_rehearsals_come_oldest_first(tmp_path: Path) -> None:
    clock = FakeClock()
    for judge in ("one", "two", "three"):
        shown_to(tmp_path, judge, clock)
    assert [one.judge for one in rehearsed(tmp_path)] == ["one", "two", "three"]


def test_where_nothing_was_rehearsed_there_is_nothing(tmp_path: Path) -> None:
    assert rehearsed(tmp_path / "nowhere") == rehearsed(tmp_path) == ()


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff",
        b"[" * 100_000,
        b"[]",
        b'{"format":1}',
        json.dumps({"format": 2, "seed": 2, "percent": 100, "performed": []}).encode(),
    ],
)
def test_what_cannot_be_read_is_left_out(tmp_path: Path, data: bytes) -> None:
    clock = FakeClock()
    shown_to(tmp_path, "kb", clock)
    (path,) = tmp_path.glob("*.shown.json")
    path.write_bytes(data)
    shown_to(tmp_path, "mo", clock)
    assert [one.judge for one in rehearsed(tmp_path)] == ["mo"]


def test_a_book_without_what_was_shown_is_left_out(tmp_path: Path) -> None:
    clock = FakeClock()
    plan = rehearsal("air-squat", reps=3).plan
    open_practice(tmp_path, plan, "kb", clock).close("at once")
    assert rehearsed(tmp_path) == ()
    shown = Performance(format=FORMAT, seed=1, percent=50, performed=())
    (book,) = tmp_path.glob("*.sqlite")
    # There was no go: no rules were fixed, and nothing can be marked.
    keep(tmp_path, book.stem, replace(shown, seed=2))
    assert rehearsed(tmp_path) == ()
