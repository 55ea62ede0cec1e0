"""Killed at any instant: every rep that was painted is in the book, and comes back."""

from __future__ import annotations

import random
import re
import signal
import time
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, log_folder, open_desk
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
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
    copies = read_all(log_folder(folder))
    return sum(isinstance(e.body, Rep) for copy in copies for e in copy.entries)


def test_twenty_kills_lose_no_rep_that_was_painted(folder: EventFolder) -> None:
    chance = random.Random(20)  # noqa: S311 - instants, not secrets
    before = 0
    for _ in range(20):
        with Terminal(FLOOR, folder=folder.folder) as terminal:
            shown = f"{before} of 5000" if before else "of 5000"
            terminal.wait_for(lambda text, shown=shown: shown in text or before == 0)
            terminal.wait_for("of 5000")
            sent = chance.randrange(2, 9)
            for _ in range(sent):
                terminal.send(" ")
                time.sleep(GAP_S)  # the pace of the keys, not a wait for the program
            time.sleep(chance.random() * 0.06)
            terminal.signal(signal.SIGKILL)
            terminal.ended()
            seen = max(painted(terminal.text()), before)
        kept = in_book(folder)
        assert seen <= kept <= before + sent
        before = kept
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for(lambda text: painted(text) == before)
