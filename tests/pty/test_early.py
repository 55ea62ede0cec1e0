"""A Floor whose log is still being read: keys, signals, a refusal, a terminal gone."""

from __future__ import annotations

import shutil
import signal
import time
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep, Session
from judgekit.store import sqlite
from judgekit.store.folder import read_all
from tests.bench.heat import GOODS, GOODS_GAP_S, Shape, reps_in, write_heat
from tests.pty.failing import FLOOR, bodies, failing, under_way
from tests.pty.terminal import Terminal

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.folder import EventFolder

# The log is read only once the test has made this file; another one says it has begun.
HELD = """
import time
import judgekit.desk.opening as opening
was = opening.read_log
def read_log(*given):
    MARK.with_name("begun").touch()
    while not MARK.exists():
        time.sleep(0.01)
    return was(*given)
opening.read_log = read_log
"""
READING = "Reading the log"


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path)


def release(folder: EventFolder) -> None:
    (folder.folder.parent / "site" / "failed").touch()


def test_keys_pressed_while_a_long_log_is_read_all_count(tmp_path: Path) -> None:
    shape = Shape(rounds=300, reps=60, judged=20_000, quick=True)
    event = write_heat(tmp_path / "event", shape)
    before = reps_in(event)
    with Terminal(FLOOR, folder=event) as terminal:
        terminal.wait_for(READING)
        for key in GOODS * 2:
            terminal.send(key)
            while not terminal.read_all():
                pass
            time.sleep(GOODS_GAP_S)  # the pace of a hand: sooner would be a paste
        terminal.wait_for(lambda text: READING not in text and "waiting" not in text)
        terminal.signal(signal.SIGTERM)
        assert terminal.ended() == 128 + signal.SIGTERM
    assert reps_in(event) == before + 2 * len(GOODS)


@pytest.mark.parametrize("how", ["SIGTERM", "SIGHUP", "window"])
def test_an_end_while_the_log_is_read_keeps_what_was_pressed(
    folder: EventFolder, how: str
) -> None:
    with failing(folder, HELD) as terminal:
        terminal.wait_for(READING)
        terminal.send(" ")
        terminal.wait_for("1 kept")
        if how == "window":
            terminal.hang_up()
        else:
            terminal.signal(signal.Signals[how])
            terminal.wait_for("Closing, saving")
        release(folder)
        number = signal.SIGTERM if how == "SIGTERM" else signal.SIGHUP
        assert terminal.ended() == 128 + number
    found = bodies(folder)
    assert sum(isinstance(body, Rep) for body in found) == 2
    assert found[-1] == Session(start=False, why=f"ended by {number.name}")


def test_a_log_that_is_never_read_does_not_keep_the_program(
    folder: EventFolder,
) -> None:
    with failing(folder, HELD) as terminal:
        terminal.wait_for(READING)
        terminal.send(" ")
        terminal.wait_for("1 kept")
        terminal.signal(signal.SIGTERM)
        assert terminal.ended() == 128 + signal.SIGTERM
        assert "1 press was not saved" in terminal.text()


def test_a_refused_log_is_told_in_words_once_the_floor_is_gone(
    folder: EventFolder,
) -> None:
    [copy] = read_all(folder.log)
    wall = copy.entries[0].wall
    elsewhere = folder.folder / "elsewhere"
    twin = sqlite.create(elsewhere, copy.id, event="Other", heat="1", wall=wall)
    twin.close()
    shutil.move(twin.path, folder.log / "copy.sqlite")
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        assert terminal.ended() == 2
        said = terminal.raw.decode()
    told = said[said.rindex("\x1b[?1049l") :]
    assert f"are two different logs {copy.id}" in told
    assert READING not in told
    assert sqlite.read(copy.path).last == copy.last
