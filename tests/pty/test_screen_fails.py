"""A screen that fails comes back to the same count, and the exit code tells of it."""

from __future__ import annotations

import re
import signal
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep, Session
from tests.pty.failing import FLOOR, SECRET, bodies, failing, under_way
from tests.pty.terminal import Terminal

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.folder import EventFolder

FAILURES = {
    "a handler": """
was = floor.JudgeScreen.on_key
def on_key(self, event):
    if event.key == "x":
        fail()
    was(self, event)
floor.JudgeScreen.on_key = on_key
""",
    "a render": """
was = face.Face.render_lines
def render_line(self, y):
    fail()
    return was(self, y)
face.Face.render_lines = render_line
""",
    "a compose": """
was = floor.FloorScreen.compose
def compose(self):
    fail()
    return was(self)
floor.FloorScreen.compose = compose
""",
    "a timer": """
was = floor.JudgeScreen.on_mount
def on_mount(self):
    self.set_timer(0.3, fail)
    was(self)
floor.JudgeScreen.on_mount = on_mount
""",
    "a worker": """
was = floor.JudgeScreen.on_mount
def on_mount(self):
    async def work():
        fail()
    self.run_worker(work())
    was(self)
floor.JudgeScreen.on_mount = on_mount
""",
    "the app": """
was = app.FloorApp.on_mount
def on_mount(self):
    fail()
    was(self)
app.FloorApp.on_mount = on_mount
""",
}
ALWAYS = """
def compose(self):
    fail(once=False)
floor.FloorScreen.compose = compose
"""


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path)


@pytest.mark.parametrize("where", FAILURES)
def test_the_screen_comes_back_to_the_same_count_whatever_fails(
    folder: EventFolder, where: str
) -> None:
    with failing(folder, FAILURES[where]) as terminal:
        if where == "a handler":
            terminal.wait_for("of 5000")
            terminal.send("x")
        terminal.wait_for("The screen failed (ValueError) and came back")
        terminal.wait_for("rep 1")
        terminal.send(" ")
        terminal.wait_for("rep 2")
        terminal.send("q")
        terminal.wait_for("y closes")
        terminal.send("y")
        assert terminal.ended() == 1
        said = terminal.raw.decode(errors="replace")
    assert SECRET not in said
    assert "Traceback" not in said
    assert sum(isinstance(b, Rep) for b in bodies(folder)) == 2
    assert bodies(folder)[-1] == Session(start=False, why="closed by the judge")


def test_a_screen_that_always_fails_ends_in_words(folder: EventFolder) -> None:
    with failing(folder, ALWAYS) as terminal:
        assert terminal.ended() == 1
        text = terminal.text()
        said = terminal.raw.decode(errors="replace")
    assert "The screen failed (ValueError). Every judgement that was shown is" in text
    assert SECRET not in said
    assert "Traceback" not in said
    # No Floor ever stood, so no desk was opened behind it.
    assert bodies(folder)[-1] == Session(start=False)


@pytest.mark.parametrize(
    "keys",
    [b"\x1b[32;1:2u", b"\x1b[99999999999u", b"\xff\xfe", b"\x1b[32;1;55555555555u"],
)
def test_bytes_that_are_no_key_cost_no_count(folder: EventFolder, keys: bytes) -> None:
    """Some of them end the thread that reads keys; the next key counts again."""
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("of 5000")
        terminal.send(keys)
        terminal.wait_for(lambda text: "came back" in text or "does nothing" in text)
        terminal.send(" ")
        terminal.wait_for("rep 2")
        terminal.signal(signal.SIGTERM)
        assert terminal.ended() == 128 + signal.SIGTERM
    assert "Traceback" not in re.sub(rb"\x1b\[[^m]*m", b"", terminal.raw).decode(
        errors="replace"
    )
