"""Every way to end a Floor from outside: drained, noted in the log, 128 + n."""

from __future__ import annotations

import signal
import time
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep, Session
from judgekit.ui.ending import SIGNALS
from tests.pty import terminal as terminals
from tests.pty.failing import FLOOR, bodies, failing, under_way
from tests.pty.terminal import PATIENCE_S, Terminal

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.folder import EventFolder

# The disk stops answering once the mark is there; nothing but a kill frees the desk.
HANGING = """
import threading
import judgekit.store.sqlite as sqlite
was = sqlite.SqliteBook.append
def append(self, entries, plans=()):
    if MARK.exists():
        threading.Event().wait()
    was(self, entries, plans)
sqlite.SqliteBook.append = append
"""


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path)


def reps(folder: EventFolder) -> int:
    return sum(isinstance(body, Rep) for body in bodies(folder))


@pytest.mark.parametrize("number", SIGNALS)
def test_a_signal_drains_the_desk_and_is_the_exit_code(
    folder: EventFolder, number: signal.Signals
) -> None:
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("of 5000")
        terminal.send(" ")
        terminal.wait_for("rep 2")
        terminal.send(" ")
        terminal.signal(number)
        assert terminal.ended() == 128 + number
    assert reps(folder) >= 2
    assert bodies(folder)[-1] == Session(start=False, why=f"ended by {number.name}")


def test_a_signal_ends_a_floor_whose_terminal_takes_nothing(
    folder: EventFolder,
) -> None:
    """What was pressed before is in the log, though nothing can be painted."""
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("of 5000")
        terminal.stall()
        # More than a terminal holds back, and more than the program keeps for it.
        for columns in range(120, 180):
            terminal.resize(columns, 40)
            time.sleep(0.02)  # each of them is drawn
        terminal.send(" ")
        time.sleep(0.2)  # the key is on its way into the program
        terminal.signal(signal.SIGTERM)
        assert terminal.process.wait(PATIENCE_S) == 128 + signal.SIGTERM
    assert reps(folder) == 2
    assert bodies(folder)[-1] == Session(start=False, why="ended by SIGTERM")


def test_a_closed_terminal_ends_the_program(folder: EventFolder) -> None:
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("of 5000")
        terminal.send(" ")
        terminal.wait_for("rep 2")
        terminal.hang_up()
        assert terminal.ended() == 128 + signal.SIGHUP
    assert bodies(folder)[-2:] == [Rep(), Session(start=False, why="ended by SIGHUP")]


def test_a_closed_terminal_that_sends_no_signal_leaves_no_ghost(
    folder: EventFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The terminal is nobody's controlling one, so no signal says that it went."""
    launch = "import os,sys;os.execv(sys.argv[1],sys.argv[1:])"
    monkeypatch.setattr(terminals, "_LAUNCH", launch)
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("of 5000")
        terminal.hang_up()
        assert terminal.ended() == 128 + signal.SIGHUP
    assert bodies(folder)[-1] == Session(start=False, why="ended by SIGHUP")


def test_a_disk_that_never_answers_keeps_no_process_alive(folder: EventFolder) -> None:
    with failing(folder, HANGING) as terminal:
        terminal.wait_for("of 5000")
        (folder.folder.parent / "site" / "failed").touch()
        terminal.send(" ")
        terminal.wait_for("NOT SAVED")
        terminal.signal(signal.SIGTERM)
        assert terminal.ended() == 128 + signal.SIGTERM
        assert "1 press was not saved: the disk did not answer." in terminal.text()
    assert reps(folder) == 1
