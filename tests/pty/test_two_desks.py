"""Two desks of one heat, two processes: one go, one recall."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Go
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from tests.pty.terminal import Terminal
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def event(tmp_path: Path) -> Path:
    return write_event(tmp_path / "event")


def lane(number: int) -> tuple[str, ...]:
    return ("floor", ".", "--heat", "1", "--lane", str(number))


def test_go_and_recall_at_one_desk_are_go_and_recall_at_the_other(event: Path) -> None:
    with (
        Terminal(lane(1), folder=event) as one,
        Terminal(lane(2), folder=event) as two,
    ):
        one.wait_for("Not started")
        two.wait_for("Not started")
        one.send("g")
        one.wait_for("y starts")
        one.send("y")
        one.wait_for("seconds to go")
        two.wait_for("seconds to go")
        two.send("w")
        two.wait_for("recall the start")
        menu = two.text().splitlines()
        [line] = [text for text in menu if "recall the start" in text]
        two.send(line.split("recall")[0].split()[-1])
        two.wait_for("RECALL all lanes?")
        two.send("1")
        two.wait_for("Not started")
        one.wait_for("Not started")
    gos = [
        entry.body
        for copy in read_all(load_event(event).log)
        for entry in copy.entries
        if isinstance(entry.body, Go)
    ]
    assert len(gos) == 2
    assert gos[0].boot_ms == gos[1].boot_ms
    assert sorted(go.copies is None for go in gos) == [False, True]
