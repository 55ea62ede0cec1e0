"""Where no screen can be drawn it is said in words; where one can, frames are short."""

from __future__ import annotations

import asyncio
import io
import signal
import subprocess
import sys
import threading
from typing import TYPE_CHECKING

from judgekit.core.entry import Recall, Rep, Session
from judgekit.desk import Desk, SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.desk.pen import Pen
from judgekit.files.folder import load_event
from judgekit.ui import app as ui_app
from judgekit.ui import start
from judgekit.ui.app import FloorApp
from judgekit.ui.start import run_floor, terminal_problem
from tests.desk.fakes import FailingBook
from tests.small_event import write_event
from tests.ui.fake_desk import LANE, Floor

if TYPE_CHECKING:
    from pathlib import Path

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
    assert run_floor(floor.desk) == 2
    assert "start it without sending" in capsys.readouterr().out
    assert floor.bodies()[-1] == Session(start=False, why="no usable terminal")


def test_presses_that_a_dead_disk_cost_are_told_and_the_exit_code_is_one(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "_ready", lambda: True)
    monkeypatch.setattr(Pen, "pause", staticmethod(lambda _: None))
    book = FailingBook(0)
    floor = Floor(book=book)
    floor.go()
    book.failures = 1000

    def judge_two(app: FloorApp, *, mouse: bool) -> None:
        for _ in range(2):
            Desk.submit(floor.desk, LANE, Rep(), boot_ms=floor.clock.boot_now)
        app._return_code = 0

    monkeypatch.setattr(FloorApp, "run", judge_two)
    assert run_floor(floor.desk) == 1
    assert capsys.readouterr().err == (
        "2 presses could not be saved: the log ends before them. "
        "Write down what was counted.\n"
    )


def test_the_screen_is_told_which_time_this_desk_opened_the_lane(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    monkeypatch.setattr(start, "_ready", lambda: True)
    seen: list[str] = []

    def look(app: FloorApp, *, mouse: bool) -> None:
        seen.append(app._times(1))
        app._return_code = 0

    monkeypatch.setattr(FloorApp, "run", look)
    for again in ("", "", "the clock failed"):
        wish = Wish(heat="1", lanes=(1,), again=again)
        desk, _ = open_desk(folder, wish, SystemClock())
        assert run_floor(desk, folder=folder) == 0
    assert seen == ["", "", "second time, because the clock failed"]


def test_a_recall_at_this_desk_makes_another_time_here_and_when_opened_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    monkeypatch.setattr(start, "_ready", lambda: True)
    seen: list[str] = []

    def recall(app: FloorApp, *, mouse: bool) -> None:
        seen.append(app._times(1))
        desk = app._desk
        if len(seen) == 1:
            now = desk.clock.boot_ms()
            desk.call_go(boot_ms=now)
            desk.submit(1, Recall(why="false start"), boot_ms=now + 10)
            desk.work_off()
            seen.append(app._times(1))
        app._return_code = 0

    monkeypatch.setattr(FloorApp, "run", recall)
    for _ in range(2):
        desk, _ = open_desk(folder, Wish(heat="1", lanes=(1,)), SystemClock())
        assert run_floor(desk, folder=folder) == 0
    again = "second time, after a recall"
    assert seen == ["", again, again]


def test_a_second_judges_count_is_no_other_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    monkeypatch.setattr(start, "_ready", lambda: True)
    seen: list[str] = []

    def look(app: FloorApp, *, mouse: bool) -> None:
        seen.append(app._times(1))
        app._return_code = 0

    monkeypatch.setattr(FloorApp, "run", look)
    wish = Wish(heat="1", lanes=(1,), second=True, again="asked for")
    desk, _ = open_desk(folder, wish, SystemClock())
    assert run_floor(desk, folder=folder) == 0
    assert seen == [""]


def test_the_first_paint_does_not_wait_for_what_a_log_needs() -> None:
    code = (
        "import sys, judgekit.ui.start as s; s.import_screens();"
        "log = ('sqlite3', 'msgspec', 'filelock', 'judgekit.store.codec');"
        "print('judgekit.ui.app' in sys.modules, [m for m in log if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout == "True []\n"


def test_the_floor_does_not_wait_for_what_the_scorecard_needs() -> None:
    code = (
        "import sys, judgekit.ui.start as s; s.import_screens();"
        "later = [m for m in sys.modules if 'scorecard' in m or 'review' in m];"
        "print('judgekit.ui.app' in sys.modules, later)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout == "True []\n"


async def test_what_the_scorecard_needs_is_there_soon_after_the_first_paint(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[str] = []
    there = threading.Event()

    def note(name: str) -> None:
        asked.append(name)
        there.set()

    monkeypatch.setattr(ui_app, "import_module", note)
    floor = Floor()
    async with floor.app.run_test():
        assert await asyncio.to_thread(there.wait, 60)
    assert asked == ["judgekit.ui.screens.scorecard"]


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
        floor.app._signalled(signal.SIGHUP)
        assert await floor.ended() == 128 + signal.SIGTERM
    assert floor.bodies()[-1] == Session(start=False, why="ended by SIGTERM")


async def test_an_abnormal_end_prints_nothing_and_names_what_failed(
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
    assert (floor.app.return_code, floor.app.failed) == (1, "ValueError")
    assert printed.out + printed.err == ""


# --- a screen that fails -------------------------------------------------------------


def screens_that(
    monkeypatch: pytest.MonkeyPatch, *ends: Exception | str | int | None
) -> tuple[Floor, list[FloorApp]]:
    """A Floor whose screens end like that, one after the other."""
    monkeypatch.setattr(start, "_ready", lambda: True)
    floor = Floor()
    begun: list[FloorApp] = []

    def run(app: FloorApp, *, mouse: bool) -> None:
        begun.append(app)
        end = ends[len(begun) - 1]
        if isinstance(end, Exception):
            raise end
        if isinstance(end, str):
            app.failed = end
            app._return_code = 1
        else:
            app._return_code = end

    monkeypatch.setattr(FloorApp, "run", run)
    return floor, begun


def test_a_screen_that_failed_is_begun_again_at_the_same_desk(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    floor, begun = screens_that(monkeypatch, "ValueError", KeyError("x"), None, 0)
    assert run_floor(floor.desk) == 1
    assert [app.standing.back.partition(" and")[0] for app in begun] == [
        "The screen failed (it ended by itself)"
    ] * 4
    assert all(app.standing is begun[0].standing for app in begun)
    assert floor.bodies()[-1] == Session(start=False, why="the screen ended")
    said = capsys.readouterr().err
    assert said.startswith("The screen failed (it ended by itself). Every judgement")


def test_a_screen_that_fails_too_often_is_not_begun_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor, begun = screens_that(monkeypatch, *["ValueError"] * 9)
    assert run_floor(floor.desk) == 1
    assert len(begun) == 4


def test_failures_long_apart_never_end_the_heat(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor, begun = screens_that(monkeypatch, *["ValueError"] * 9, 0)
    hours = iter(range(0, 100_000, 3600))
    monkeypatch.setattr(start, "monotonic", lambda: next(hours))
    assert run_floor(floor.desk) == 1
    assert len(begun) == 10


def test_a_screen_before_the_one_that_counts_hears_no_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor, _ = screens_that(monkeypatch, "ValueError", 0)
    heard: list[object] = []
    floor.desk.listen(heard.append)
    assert run_floor(floor.desk) == 1
    assert heard == []
