"""A screen or a program that stands still: presses keep their times, or are doubted."""

from __future__ import annotations

import signal
import time
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Gap, Go, Ignored, Rep
from judgekit.desk import SystemClock
from judgekit.store.folder import read_all
from tests.pty.failing import FLOOR, failing, under_way
from tests.pty.terminal import Terminal

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.files.folder import EventFolder

STALL_S = 2.0
# The key x keeps the event loop busy, as a slow drawing or a stuck terminal would.
BUSY = f"""
import time
was = floor.JudgeScreen.on_key
def on_key(self, event):
    if event.key == "x":
        time.sleep({STALL_S})
        return
    was(self, event)
floor.JudgeScreen.on_key = on_key
"""


# The key x keeps the event loop busy until the test has seen the horn go by.
HELD_UP = """
import time
GOES_ON = MARK.with_name("goes-on")
was = floor.JudgeScreen.on_key
def on_key(self, event):
    if event.key == "x":
        MARK.touch()
        while not GOES_ON.exists():
            time.sleep(0.01)
        return
    was(self, event)
floor.JudgeScreen.on_key = on_key
"""
CAP_MS = 45_000


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path)


def entries(folder: EventFolder) -> list[Entry]:
    return [e for copy in read_all(folder.log) for e in copy.entries]


def zero_ms(folder: EventFolder) -> int:
    return next(e.body.boot_ms for e in entries(folder) if isinstance(e.body, Go))


def test_keys_pressed_while_the_screen_stands_still_keep_their_own_times(
    folder: EventFolder,
) -> None:
    """Nearer to when they were sent than to when the screen could handle them."""
    clock = SystemClock()
    with failing(folder, BUSY) as terminal:
        terminal.wait_for("of 5000")
        time.sleep(2.2)  # the heartbeat begins once the first screen stands
        terminal.send("x")
        sent = []
        for _ in range(3):
            time.sleep(0.3)  # the pace of the keys, not a wait for the program
            sent.append(clock.boot_ms())
            terminal.send(" ")
        terminal.wait_for("The screen stood still for")
        terminal.wait_for("rep 4")
        terminal.signal(signal.SIGTERM)
        terminal.ended()
    zero = zero_ms(folder)
    reps = [e for e in entries(folder) if isinstance(e.body, Rep)][1:]
    late = [zero + (e.at or 0) - ms for e, ms in zip(reps, sent, strict=True)]
    assert max(late) < 1000 * STALL_S / 4, late
    assert not any(isinstance(e.body, Gap) for e in entries(folder))


def test_a_key_read_after_the_program_was_stopped_is_doubted_in_the_log(
    folder: EventFolder,
) -> None:
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("of 5000")
        terminal.signal(signal.SIGSTOP)
        time.sleep(0.2)  # until the signal has stopped every thread
        terminal.send(" ")
        time.sleep(1.5)  # for so long the program is stopped
        terminal.signal(signal.SIGCONT)
        terminal.wait_for("stood still for")
        terminal.wait_for("rep 2")
        terminal.signal(signal.SIGTERM)
        assert terminal.ended() == 128 + signal.SIGTERM
    (gap,) = [e for e in entries(folder) if isinstance(e.body, Gap)]
    reps = [e for e in entries(folder) if isinstance(e.body, Rep)]
    assert [e.number for e in reps][1:] == [gap.number + 1]
    assert isinstance(gap.body, Gap)
    assert gap.body.off_ms > 1000


def test_a_press_made_before_the_cap_and_handled_after_it_counts(
    tmp_path: Path,
) -> None:
    folder = under_way(tmp_path, cap="0:45")
    site, clock = tmp_path / "site", SystemClock()
    with failing(folder, HELD_UP) as terminal:
        terminal.wait_for("cap 0:45")
        terminal.send("x")
        while not (site / "failed").exists():
            time.sleep(0.01)
        terminal.send(" ")
        sent = clock.boot_ms() - zero_ms(folder)
        while clock.boot_ms() - zero_ms(folder) <= CAP_MS + 100:
            time.sleep(0.05)
        (site / "goes-on").touch()
        terminal.wait_for("rep 2")
        terminal.signal(signal.SIGTERM)
        terminal.ended()
    _, rep = (e for e in entries(folder) if isinstance(e.body, Rep))
    assert sent < CAP_MS
    assert (rep.at or 0) < CAP_MS
    assert not any(isinstance(e.body, Ignored) for e in entries(folder))
