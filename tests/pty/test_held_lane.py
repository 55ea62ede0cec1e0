"""Two programs on one lane: the second is told who holds it, and loses nothing."""

from __future__ import annotations

import signal
import time
from typing import TYPE_CHECKING

from judgekit.core.entry import Rep
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from judgekit.store.verify import verify_folder
from tests.pty.terminal import Terminal
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
GAP_S = 0.085


def test_a_lane_that_is_held_is_refused_and_free_once_its_holder_is_killed(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    workout = event / "workouts" / "quayside.toml"
    workout.write_text(WORKOUT.replace("[3, 2]", "[500, 2]"), encoding="utf-8")
    loaded = load_event(event)
    clock = SystemClock()
    desk, _ = open_desk(loaded, Wish(heat="1", lanes=(1,)), clock)
    desk.call_go(boot_ms=clock.boot_ms() - 30_000)
    desk.close()

    with Terminal(FLOOR, folder=event) as first:
        first.wait_for("cap 10:00")
        for number in range(1, 11):
            first.send(" ")
            first.wait_for(f"rep {number} ")
            time.sleep(GAP_S)  # sooner would be a held key
        with Terminal(FLOOR, folder=event) as second:
            second.send("   ")
            second.wait_for(f"process {first.process.pid}")
            second.wait_for("--take-over")
            assert second.ended() == 2
        first.signal(signal.SIGKILL)
        first.ended()
    with Terminal(FLOOR, folder=event) as second:
        second.wait_for("rep 10 ")
        second.send(" ")
        second.wait_for("rep 11 ")

    [copy] = read_all(loaded.log)
    assert sum(isinstance(entry.body, Rep) for entry in copy.entries) == 11
    assert [one.broken for one in verify_folder(loaded.log)] == [None]
