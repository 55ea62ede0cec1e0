"""A short rehearsal in a real terminal, from go to what is printed on leaving."""

from __future__ import annotations

import signal
from typing import TYPE_CHECKING

from judgekit.review.performing import script
from judgekit.store.practice import rehearsed
from judgekit.ui.screens.rehearsal import COUNTDOWN
from tests.pty.terminal import Terminal
from tests.rehearsing import athlete, rehearsal

if TYPE_CHECKING:
    from pathlib import Path


def test_a_judge_rehearses_and_is_told_how_it_went(tmp_path: Path) -> None:
    found = rehearsal("air-squat", reps=2)
    reps = script(found.plan, athlete(found, reps=2, seed=3, percent=40))
    assert reps[0].says != reps[1].says
    given = ["rehearse", "--card", "air-squat", "--reps", "2", "--seed", "3"]
    with Terminal([*given, "--speed", "0.4"], folder=tmp_path) as terminal:
        terminal.wait_for("Call what you read here")
        terminal.send("g")
        terminal.wait_for("y starts")
        terminal.send("y")
        for one in reps:
            terminal.wait_for(one.says[:60])
            fault = found.plan.cards[0].fault(one.fault)
            terminal.send(fault.key if fault is not None else " ")
            terminal.wait_for("✓ good" if fault is None else "✗ NO REP")
        terminal.wait_for("q leaves")
        terminal.send("q")
        assert terminal.ended() == 0
        printed = bytes(terminal.raw).decode()
    assert "\n2 of 2 right, 100 %" in printed.replace("\r", "")
    (marked,) = rehearsed(tmp_path / "judgekit-practice")
    assert marked.marks.percent == 100
    assert {path.name for path in tmp_path.iterdir()} == {"judgekit-practice"}


def test_a_rehearsal_that_a_signal_ends_is_kept_as_far_as_it_came(
    tmp_path: Path,
) -> None:
    given = ["rehearse", "--card", "air-squat", "--seed", "3", "--speed", "0.2"]
    with Terminal(given, folder=tmp_path) as terminal:
        terminal.wait_for("Call what you read here")
        terminal.send("g")
        terminal.wait_for("y starts")
        terminal.send("y")
        # The athlete begins a moment after zero, and a rep not begun is none to call.
        terminal.wait_for(
            lambda text: "space good rep" in text and COUNTDOWN not in text
        )
        terminal.send(" ")
        terminal.wait_for("✓ good")
        terminal.signal(signal.SIGTERM)
        assert terminal.ended() == 128 + signal.SIGTERM
    (marked,) = rehearsed(tmp_path / "judgekit-practice")
    assert len(marked.marks.verdicts) == 1
