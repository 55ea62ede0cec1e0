"""Killed at any instant: every rep that was painted is in the book, and comes back."""

from __future__ import annotations

import re
import signal
import time
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep, Session
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from tests.pty.storm import storm
from tests.pty.terminal import Terminal
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.folder import EventFolder

FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
_REP = re.compile(r"\brep (\d+)\b")
# Longer than the autorepeat guard, so that every press counts.
GAP_S = 0.085


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    """A heat under way for 20 s, with one long set."""
    event = write_event(tmp_path / "event")
    path = event / "workouts" / "quayside.toml"
    one = WORKOUT.replace("rounds = 2", "rounds = 1").replace("[3, 2]", "5000")
    path.write_text(one, encoding="utf-8")
    loaded = load_event(event)
    clock = SystemClock()
    desk, _ = open_desk(loaded, Wish(heat="1", lanes=(1,)), clock)
    desk.call_go(boot_ms=clock.boot_ms() - 30_000)
    desk.close()
    return loaded


def painted(text: str) -> int:
    """The highest rep shown among the last entries."""
    return max((int(n) for n in _REP.findall(text)), default=0)


def in_book(folder: EventFolder) -> int:
    copies = read_all(folder.log)
    return sum(isinstance(e.body, Rep) for copy in copies for e in copy.entries)


def test_two_hundred_kills_lose_no_judgement_that_was_painted(tmp_path: Path) -> None:
    """Killed in the work, in the very write, while opening, in go and countdown."""
    seeds = (1, 2)
    with ThreadPoolExecutor(len(seeds)) as pool:
        storms = [
            pool.submit(storm, tmp_path / str(seed), 200 // len(seeds), seed)
            for seed in seeds
        ]
        tallies = [one.result() for one in storms]
    assert sum(tally.total for tally in tallies) == 200
    for tally in tallies:
        assert set(tally.kills) == {"keys", "write", "start", "go"}
        assert tally.entries > tally.total


def wait_for_count(terminal: Terminal, count: int) -> None:
    """The Floor stands there, with the newest rep among its last entries."""
    terminal.wait_for(lambda text: "of 5000" in text and painted(text) == count)


def judge(terminal: Terminal, reps: int) -> None:
    """So many reps, then three no-reps, each after the one before was painted."""
    terminal.wait_for("of 5000")
    for number in range(1, reps + 1):
        terminal.send(" ")
        wait_for_count(terminal, number)
        time.sleep(GAP_S)  # the pace of a finger: sooner would be a held key
    for number in (1, 2, 3):
        terminal.send("d")
        terminal.wait_for(f"no-reps {number}")
        time.sleep(GAP_S)


def test_a_crash_right_after_the_last_key_loses_nothing(folder: EventFolder) -> None:
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        judge(terminal, 37)
        terminal.signal(signal.SIGKILL)
        terminal.ended()
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("no-reps 3")
        terminal.send(" ")
        terminal.wait_for("rep 38")
    assert in_book(folder) == 38


def test_a_closed_terminal_window_ends_the_desk_in_order(folder: EventFolder) -> None:
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        judge(terminal, 7)
        terminal.hang_up()
        assert terminal.ended() == 128 + signal.SIGHUP
    assert in_book(folder) == 7
    [copy] = read_all(folder.log)
    last = copy.entries[-1].body
    assert isinstance(last, Session)
    assert (last.start, last.why) == (False, "ended by SIGHUP")


def test_ctrl_c_does_not_end_a_heat(folder: EventFolder) -> None:
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        judge(terminal, 7)
        terminal.send("\x03")
        terminal.wait_for("does nothing")
        terminal.send(" ")
        terminal.wait_for("rep 8")
        terminal.send("q")
        terminal.wait_for("y closes")
        time.sleep(GAP_S)  # the space after a space, however quick the screen is
        terminal.send(" ")
        terminal.wait_for("rep 9")
        terminal.send("q")
        terminal.wait_for("y closes")
        terminal.send("y")
        assert terminal.ended() == 0


def test_a_second_desk_on_the_lane_is_told_who_holds_it(folder: EventFolder) -> None:
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        judge(terminal, 7)
        with Terminal(FLOOR, folder=folder.folder) as other:
            other.wait_for(f"process {terminal.process.pid}")
            assert other.ended() == 2
        terminal.send(" ")
        terminal.wait_for("rep 8")
