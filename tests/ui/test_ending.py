"""Whatever hangs, a Floor's process ends: by the desk if it can, hard if not."""

from __future__ import annotations

import os
import signal
import threading
from dataclasses import dataclass, field

import pytest

from judgekit.ui.ending import SIGNALS, Ending, ended_by

SOON_S = 30.0


@dataclass
class Desk:
    """A desk that closes at once, or never."""

    hangs: bool = False
    at_stake: int = 0
    closed: list[str] = field(default_factory=list)
    called: threading.Event = field(default_factory=threading.Event)
    freed: threading.Event = field(default_factory=threading.Event)

    def close(self, why: str = "") -> None:
        self.closed.append(why)
        self.called.set()
        if self.hangs:
            self.freed.wait(SOON_S)


@dataclass
class Hard:
    """Notes the hard end that would have come."""

    ended: list[tuple[int, str]] = field(default_factory=list)
    came: threading.Event = field(default_factory=threading.Event)

    def __call__(self, code: int, words: str) -> None:
        self.ended.append((code, words))
        self.came.set()


@pytest.mark.parametrize("number", SIGNALS)
def test_a_signal_asks_the_screen_to_leave_and_closes_the_desk(
    number: signal.Signals,
) -> None:
    desk, hard, left = Desk(), Hard(), list[int]()
    before = signal.getsignal(number)
    with Ending(desk, gone=lambda: False, hard=hard) as ending:
        ending.leave = left.append
        os.kill(os.getpid(), number)
        os.kill(os.getpid(), number)
        assert desk.called.wait(SOON_S)
        ending._over = True
    assert (left, ending.number) == ([number], number)
    assert desk.closed == [f"ended by {number.name}"]
    assert signal.getsignal(number) is before


@pytest.mark.parametrize(
    ("at_stake", "words"),
    [(0, ""), (1, "1 press was not saved"), (3, "3 presses were not saved")],
)
def test_a_desk_that_hangs_is_left_and_what_is_lost_is_said(
    at_stake: int, words: str
) -> None:
    desk, hard = Desk(hangs=True, at_stake=at_stake), Hard()
    with Ending(desk, gone=lambda: False, hard=hard, grace_s=0.0):
        os.kill(os.getpid(), signal.SIGTERM)
        assert hard.came.wait(SOON_S)
    desk.freed.set()
    ((code, said),) = hard.ended
    assert code == 128 + signal.SIGTERM
    assert said.partition(":")[0] == words


def test_a_screen_that_hangs_after_the_desk_closed_is_left_too() -> None:
    """The watch goes on beyond the last screen, until the process is over."""
    desk, hard = Desk(), Hard()
    with Ending(desk, gone=lambda: False, hard=hard, grace_s=0.3):
        os.kill(os.getpid(), signal.SIGHUP)
        assert desk.called.wait(SOON_S)
    assert hard.came.wait(SOON_S)
    assert hard.ended == [(128 + signal.SIGHUP, "")]


def test_a_terminal_that_has_gone_ends_the_process_without_any_signal() -> None:
    desk, hard, left = Desk(), Hard(), list[int]()
    with Ending(desk, gone=lambda: True, hard=hard) as ending:
        ending.leave = left.append
        assert desk.called.wait(SOON_S)
        ending._over = True
    assert (left, desk.closed) == ([signal.SIGHUP], ["ended by SIGHUP"])


def test_a_floor_that_is_closed_by_its_judge_is_left_alone() -> None:
    desk, hard = Desk(), Hard()
    with Ending(desk, gone=lambda: False, hard=hard, grace_s=0.0) as ending:
        assert not ending.is_near()
    for watch in [t for t in threading.enumerate() if t.name == "ending"]:
        watch.join(SOON_S)
    assert (desk.closed, hard.ended) == ([], [])


def test_before_another_screen_is_begun_the_terminal_is_looked_at() -> None:
    ending = Ending(Desk(), gone=lambda: True, hard=Hard())
    assert ending.is_near()
    assert ending.number == signal.SIGHUP
    assert ended_by(ending.number) == "ended by SIGHUP"
