"""Review in a real terminal: it is drawn, it is left, and a signal ends it."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import judged_event
from tests.pty.terminal import Terminal

if TYPE_CHECKING:
    from collections.abc import Mapping

# The logs are read only once the test has made this file.
HELD = """
import os, time
from pathlib import Path
import judgekit.cli.review as review
was = review._read
def read(*given):
    while not Path(os.environ["READS"]).exists():
        time.sleep(0.01)
    return was(*given)
review._read = read
"""
READING = "Reading the logs"


def held(folder: Path) -> Mapping[str, str]:
    """The environment of a program that reads no log before `folder` has "go"."""
    (folder / "sitecustomize.py").write_text(HELD, encoding="utf-8")
    root = os.fspath(Path(__file__).parents[2])
    path = os.pathsep.join([os.fspath(folder), root])
    return {"PYTHONPATH": path, "READS": os.fspath(folder / "go")}


def test_review_is_drawn_turned_and_left(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    with Terminal(("review", ".", "--ascii"), folder=event) as terminal:
        terminal.wait_for("faults by movement and fault")
        terminal.wait_for("Front squat, DEPTH")
        terminal.send("\t\t")
        terminal.wait_for("no-reps on a time line")
        terminal.send("q")
        assert terminal.process.wait() == 0


def test_a_signal_ends_review(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    with Terminal(("review", "."), folder=event) as terminal:
        terminal.wait_for("faults by movement and fault")
        terminal.signal(signal.SIGTERM)
        assert terminal.process.wait() == 128 + signal.SIGTERM


def test_keys_typed_while_logs_are_read_are_kept_and_not_shown(tmp_path: Path) -> None:
    event, site = judged_event(tmp_path), tmp_path / "site"
    site.mkdir()
    with Terminal(("review", "."), folder=event, env=held(site)) as terminal:
        terminal.wait_for(READING)
        assert not terminal.echoes()
        terminal.send("\x1b[B\t\t27\r")
        (site / "go").touch()
        text = terminal.wait_for("no-reps on a time line, 27")
        assert READING not in text
        assert b"^[" not in terminal.raw
        terminal.send("q")
        assert terminal.process.wait() == 0
        assert terminal.echoes()


def test_two_arrows_that_come_at_once_move_two_rows(tmp_path: Path) -> None:
    event, site = judged_event(tmp_path), tmp_path / "site"
    site.mkdir()
    given = ("review", ".")
    with Terminal(given, folder=event, env=held(site), size=(60, 7)) as terminal:
        terminal.wait_for(READING)
        terminal.send("\x1b[B\x1b[B")
        (site / "go").touch()
        terminal.wait_for(lambda text: "few: under" in text.split("\n")[2])


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_while_logs_are_read_leaves_the_terminal_as_it_was(
    tmp_path: Path, number: signal.Signals
) -> None:
    event, site = judged_event(tmp_path), tmp_path / "site"
    site.mkdir()
    with Terminal(("review", "."), folder=event, env=held(site)) as terminal:
        terminal.wait_for(READING)
        terminal.signal(number)
        assert terminal.ended() == 128 + number
        assert terminal.echoes()


def test_an_event_that_cannot_be_read_is_said_where_it_is_read(tmp_path: Path) -> None:
    with Terminal(("review", "nowhere"), folder=tmp_path) as terminal:
        assert terminal.ended() == 2
        assert "nowhere" in terminal.text()
        assert READING not in terminal.text()
        assert terminal.echoes()
