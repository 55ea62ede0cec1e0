"""A lane check in a real terminal: refused, measured again, accepted, and killed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.checkentry import Check, Unchecked
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from judgekit.store.verify import verify_folder
from tests.pty.terminal import Terminal
from tests.small_event import EVENT, WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
OWN = "target-burpee-to-target"


@pytest.fixture
def event(tmp_path: Path) -> Path:
    folder = write_event(tmp_path / "event")
    # Every key counts, however quick: held keys are not the matter here.
    settings = 'lane-check = "on"\nrepeat = "0 s"'
    checked = EVENT.replace('lane-check = "off"', settings)
    (folder / "event.toml").write_text(checked, encoding="utf-8")
    aimed = WORKOUT.replace("toes-to-bar", "burpee-to-target")
    (folder / "workouts" / "quayside.toml").write_text(aimed, encoding="utf-8")
    return folder


def kept(event: Path) -> list[Check | Unchecked]:
    entries = [e for copy in read_all(event / "log") for e in copy.entries]
    return [e.body for e in entries if isinstance(e.body, Check | Unchecked)]


def answer(terminal: Terminal, key: str, shows: str) -> None:
    terminal.send(key)
    terminal.wait_for(shows)


def type_value(terminal: Terminal, value: str) -> None:
    """As fast as a hand: each key once the one before stands on the screen."""
    for end in range(1, len(value) + 1):
        answer(terminal, value[end - 1], f"measures: {value[:end].rstrip()}")
    terminal.send("\r")


def test_a_target_short_by_a_centimetre_is_refused_and_mended_before_go(
    event: Path,
) -> None:
    with Terminal(FLOOR, folder=event) as terminal:
        terminal.wait_for("enter lane check")
        answer(terminal, "\r", "7 of 7 open")
        for left in (6, 5, 4):
            answer(terminal, " ", f"{left} of 7 open")
        type_value(terminal, "2.25 m")
        terminal.wait_for("2.25 m is 1 cm under 2.26 m; raise it and measure again.")
        assert "4 of 7 open" in terminal.text()
        type_value(terminal, "2.26 m")
        terminal.wait_for("Burpee to target own mark: 2.26 m fits.")
        for left in (2, 1):
            answer(terminal, " ", f"{left} of 7 open")
        # What is answered is on the disk: the window is closed in the middle of it.
        terminal.process.kill()
        terminal.ended()
    assert all(verify_folder(event / "log"))
    with Terminal(FLOOR, folder=event) as terminal:
        terminal.wait_for("enter lane check")
        answer(terminal, "\r", "1 of 7 open")
        answer(terminal, " ", "all answered")
        answer(terminal, "\r", "Not started")
        answer(terminal, "g", "y starts")
        answer(terminal, "y", "seconds to go")
    assert [(c.item, c.answer, c.value) for c in kept(event) if isinstance(c, Check)][
        3:5
    ] == [(OWN, "refused", "2.25 m"), (OWN, "measured", "2.26 m")]
    assert not any(isinstance(body, Unchecked) for body in kept(event))


def test_the_next_heat_of_the_lane_is_told_what_has_not_changed(event: Path) -> None:
    with Terminal(FLOOR, folder=event) as terminal:
        terminal.wait_for("enter lane check")
        answer(terminal, "\r", "7 of 7 open")
        for left in (6, 5, 4, 3, 2, 1):
            answer(terminal, " ", f"{left} of 7 open")
        answer(terminal, " ", "all answered")
        answer(terminal, "\r", "Not started")
        answer(terminal, "q", "y closes")
        terminal.send("y")
        assert terminal.ended() == 0
    again = ("floor", ".", "--heat", "2", "--lane", "1")
    with Terminal(again, folder=event) as terminal:
        terminal.wait_for("enter lane check")
        answer(terminal, "\r", "a all 2 unchanged")
        answer(terminal, "a", "As planned, unchanged: Safety, Clock.")
        answer(terminal, "\r", "Not started")
        answer(terminal, "g", "5 items of the lane check open")
        answer(terminal, "y", "5 ITEMS OPEN, why go?")
        answer(terminal, "2", "seconds to go")
    *_, last = kept(event)
    assert isinstance(last, Unchecked)
    assert last.why == "checked by the lane crew"
    assert load_event(event).gear is not None
