"""The log's file is deleted or replaced while a judge counts: nothing is lost."""

from __future__ import annotations

import shutil
import signal
import time
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from tests.pty.terminal import Terminal
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
GAP_S = 0.085


def delete_folder(log: Path) -> None:
    shutil.rmtree(log)


def replace_file(log: Path) -> None:
    [path] = log.glob("*.sqlite")
    letter = log / "letter"
    letter.write_bytes(b"a letter")
    letter.replace(path)


@pytest.fixture
def event(tmp_path: Path) -> Path:
    """A heat that has begun half a minute ago."""
    found = write_event(tmp_path / "event")
    workout = found / "workouts" / "quayside.toml"
    workout.write_text(WORKOUT.replace("[3, 2]", "[500, 2]"), encoding="utf-8")
    clock = SystemClock()
    desk, _ = open_desk(load_event(found), Wish(heat="1", lanes=(1,)), clock)
    desk.call_go(boot_ms=clock.boot_ms() - 30_000)
    desk.close()
    return found


@pytest.mark.parametrize(
    ("befall", "says"),
    [
        (delete_folder, "The log's file was gone: it was written anew"),
        (replace_file, "Something changed the log's file: it was written anew"),
    ],
)
def test_the_judge_is_told_and_every_rep_is_there_after_a_kill(
    event: Path, befall: Callable[[Path], None], says: str
) -> None:
    with Terminal(FLOOR, folder=event) as floor:
        floor.wait_for("cap 10:00")
        for number in range(1, 4):
            floor.send(" ")
            floor.wait_for(f"rep {number} ")
            time.sleep(GAP_S)  # sooner would be a held key
        befall(event / "log")
        # Nobody presses, and the judge is told all the same.
        floor.wait_for(says)
        for number in range(4, 7):
            floor.send(" ")
            floor.wait_for(f"rep {number} ")
            time.sleep(GAP_S)  # sooner would be a held key
        floor.signal(signal.SIGKILL)
        floor.ended()
    [copy] = read_all(event / "log")
    assert sum(isinstance(entry.body, Rep) for entry in copy.entries) == 6
