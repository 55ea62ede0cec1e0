"""The disk fills up while a judge counts: what is seen, and that nothing is lost."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from tests.pty.terminal import Terminal
from tests.small_disk import fill, small_disk
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.small_disk import Mount

FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
GAP_S = 0.085


@pytest.fixture
def mount(tmp_path: Path) -> Iterator[Mount]:
    with small_disk(tmp_path / "small") as mounted:
        yield mounted


def begun(disk: Path) -> Path:
    """A heat that has begun half a minute ago."""
    event = write_event(disk / "event")
    workout = event / "workouts" / "quayside.toml"
    workout.write_text(WORKOUT.replace("[3, 2]", "[500, 2]"), encoding="utf-8")
    clock = SystemClock()
    desk, _ = open_desk(load_event(event), Wish(heat="1", lanes=(1,)), clock)
    desk.call_go(boot_ms=clock.boot_ms() - 30_000)
    desk.close()
    return event


def reps(event: Path) -> int:
    [copy] = read_all(event / "log")
    return sum(isinstance(entry.body, Rep) for entry in copy.entries)


def test_with_room_kept_the_heat_goes_on_and_the_judge_is_told(mount: Mount) -> None:
    disk = mount("size=20m")
    event = begun(disk)
    with Terminal(FLOOR, folder=event) as floor:
        floor.wait_for("cap 10:00")
        floor.send(" ")
        floor.wait_for("rep 1 ")
        kept = next_file(event / "log", ".reserve")
        fill(disk)
        seen = 1
        while kept.exists():
            seen += 1
            time.sleep(GAP_S)  # sooner would be a held key
            floor.send(" ")
            floor.wait_for(f"rep {seen} ")
        floor.wait_for("The disk is full. Some room was kept for this")
        for number in range(seen + 1, seen + 4):
            time.sleep(GAP_S)  # sooner would be a held key
            floor.send(" ")
            floor.wait_for(f"rep {number} ")
    assert reps(event) == seen + 3


def test_without_any_room_presses_wait_until_there_is_some(mount: Mount) -> None:
    disk = mount("size=12m")
    event = begun(disk)
    with Terminal(FLOOR, folder=event) as floor:
        floor.wait_for("cap 10:00")
        rest = fill(disk)
        presses = 0
        while "NOT SAVED" not in "\n".join(floor.screen.display):
            presses += 1
            time.sleep(2 * GAP_S)  # sooner would be a held key
            floor.send(" ")
        floor.wait_for("the disk is full")
        for _ in range(3):
            presses += 1
            time.sleep(GAP_S)  # sooner would be a held key
            floor.send(" ")
        floor.wait_for("waiting")
        rest.unlink()
        floor.wait_for(f"rep {presses} ")
    assert reps(event) == presses


def next_file(folder: Path, end: str) -> Path:
    """The file of that kind, once it is there."""
    limit = time.monotonic() + 30
    while time.monotonic() < limit:
        for path in folder.glob(f"*{end}"):
            return path
        time.sleep(0.05)
    raise AssertionError(f"no {end} in {folder}")
