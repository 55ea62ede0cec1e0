"""Where no screen can be drawn it is said in words; where one can, frames are short."""

from __future__ import annotations

import io
import signal
import subprocess
import sys
from typing import TYPE_CHECKING

from judgekit.core.entry import Session
from judgekit.ui.start import run_floor, terminal_problem
from tests.ui.fake_desk import LANE, Floor

if TYPE_CHECKING:
    import pytest


class Screen(io.StringIO):
    """A stream that may be a terminal."""

    def __init__(self, *, terminal: bool = True, writes: str = "utf-8") -> None:
        super().__init__()
        self._terminal = terminal
        self._writes = writes

    def isatty(self) -> bool:
        return self._terminal

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return self._writes


def test_a_terminal_in_utf_8_is_fine() -> None:
    found = [terminal_problem(Screen(), Screen(writes=w)) for w in ("utf-8", "UTF8")]
    assert found == ["", ""]


def test_errors_sent_elsewhere_leave_nothing_to_draw_on() -> None:
    problem = terminal_problem(Screen(), Screen(terminal=False))
    assert "on a terminal, and this is none" in problem
    assert terminal_problem(Screen(terminal=False), Screen()) == problem


def test_a_terminal_that_is_not_utf_8_is_named_with_the_remedy() -> None:
    assert terminal_problem(Screen(), Screen(writes="iso8859-1")) == (
        "This terminal writes iso8859-1, not UTF-8: set PYTHONUTF8=1, or choose a "
        "UTF-8 locale."
    )


def test_without_a_terminal_the_desk_is_closed_and_the_exit_code_is_two(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    floor = Floor()
    monkeypatch.setattr(sys, "stdin", Screen(terminal=False))
    assert run_floor(floor.desk, LANE) == 2
    assert "run it without sending" in capsys.readouterr().out
    assert floor.bodies()[-1] == Session(start=False, why="no usable terminal")


def test_frames_are_short_unless_the_user_chose() -> None:
    code = (
        "import sys, judgekit.ui.start as s; s._ready();"
        "from textual.constants import MAX_FPS; print(MAX_FPS)"
    )
    shown = [
        subprocess.run(
            [sys.executable, "-c", code],
            env=env,
            capture_output=True,
            text=True,
            check=True,
        ).stdout.splitlines()[-1]
        for env in ({}, {"TEXTUAL_FPS": "30"})
    ]
    assert shown == ["240", "30"]


def test_the_entry_point_costs_no_textual_until_a_screen_is_drawn() -> None:
    code = "import judgekit.ui.start, sys; print('textual' in sys.modules)"
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "False"


async def test_a_signal_writes_the_sessions_end_and_gives_its_exit_code() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=(80, 24)) as pilot:
        await floor.tap(pilot, "space")
        floor.app._signalled(signal.SIGTERM)
        await pilot.pause()
    assert floor.app.return_code == 128 + signal.SIGTERM
    assert floor.bodies()[-1] == Session(start=False, why="ended by SIGTERM")


async def test_an_abnormal_end_prints_no_local_variable(
    capsys: pytest.CaptureFixture[str],
) -> None:
    floor = Floor()
    try:
        async with floor.app.run_test(size=(80, 24)) as pilot:
            secret = "hunter2"  # noqa: S105 - what must not be printed
            floor.app._handle_exception(ValueError(secret))
            await pilot.pause()
    except ValueError:
        pass
    printed = capsys.readouterr()
    assert floor.app.return_code == 1
    assert "hunter2" not in printed.out + printed.err
    assert "judgekit ended: ValueError" in printed.out + printed.err
