"""Review in a real terminal: it is drawn, it is left, and a signal ends it."""

from __future__ import annotations

import signal
from typing import TYPE_CHECKING

from tests.cli.running import judged_event
from tests.pty.terminal import Terminal

if TYPE_CHECKING:
    from pathlib import Path


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
