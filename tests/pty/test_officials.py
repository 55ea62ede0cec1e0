"""A judge, a head judge and a television, three processes: one order, one board."""

from __future__ import annotations

import signal
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Freeze
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from tests.pty.terminal import Terminal
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def event(tmp_path: Path) -> Path:
    return write_event(tmp_path / "event")


def test_a_freeze_of_the_head_judge_is_obeyed_and_the_board_shows_what_goes_on(
    event: Path,
) -> None:
    with (
        Terminal(("floor", ".", "--heat", "1", "--lane", "1"), folder=event) as floor,
        Terminal(("head", "."), folder=event) as head,
        Terminal(("board", "."), folder=event, size=(160, 45)) as board,
    ):
        floor.wait_for("Not started")
        head.wait_for("27 Ines Varga")
        board.wait_for("27 Ines Varga")
        floor.send("g")
        floor.wait_for("y starts")
        floor.send("y")
        head.wait_for("countdown")
        head.wait_for("works")
        floor.send(" ")
        floor.wait_for("rep 1")
        board.wait_for("front squat 1 of 3")
        head.send("f")
        head.wait_for("FREEZE all lanes: why?")
        head.send("a cable\r")
        head.wait_for("FREEZE is told to every desk")
        floor.wait_for(lambda text: "frozen" in text.lower())
        head.wait_for("frozen")
        board.wait_for("frozen")
        head.send("u3")
        board.wait_for("front squat 1 of 3")
        floor.send("0")
        head.wait_for("STOP")
        board.wait_for("stopped")
        board.send("q")
        assert board.ended() == 0
        head.signal(signal.SIGTERM)
        assert head.ended() == 128 + signal.SIGTERM
    assert not list(event.glob("log/*_l0_*-wal"))
    freezes = [
        entry.body
        for copy in read_all(load_event(event).log)
        for entry in copy.entries
        if isinstance(entry.body, Freeze)
    ]
    assert [(one.why, one.copies is None) for one in freezes] in (
        [("a cable", True), ("a cable", False)],
        [("a cable", False), ("a cable", True)],
    )
