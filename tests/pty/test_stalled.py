"""A terminal that takes nothing for a while: no key and no time is lost."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep
from judgekit.desk import SystemClock
from judgekit.store.folder import read_all
from tests.pty.failing import FLOOR, under_way
from tests.pty.terminal import Terminal

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.folder import EventFolder

# A held key is sooner than this after itself.
GAP_S = 0.3
# Other programs share the machine; a stamp made on handling would be seconds off.
NEAR_MS = 250


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path)


def walls(folder: EventFolder) -> list[int]:
    """The wall time of each rep, as its press was stamped."""
    [copy] = read_all(folder.log)
    return [e.wall for e in copy.entries if isinstance(e.body, Rep)]


def send(terminal: Terminal, many: int) -> list[int]:
    """Presses at a finger's pace, and when each was made."""
    made = []
    for _ in range(many):
        made.append(SystemClock().wall_ms())
        terminal.send(" ")
        time.sleep(GAP_S)  # the pace of the keys
    return made


def test_keys_are_stamped_right_while_the_terminal_takes_nothing(
    folder: EventFolder,
) -> None:
    """For six seconds, in which the program's own queue of paintings fills up."""
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("of 5000")
        before = len(walls(folder))
        terminal.stall()
        made = send(terminal, 20)
        terminal.flow()
        terminal.wait_for(f"rep {before + len(made)}")
    stamped = walls(folder)[before:]
    assert len(stamped) == len(made)
    off = [abs(at - sent) for at, sent in zip(stamped, made, strict=True)]
    assert max(off) < NEAR_MS, off
