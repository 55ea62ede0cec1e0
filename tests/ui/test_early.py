"""A Floor before its log is read: nothing is counted, no press is lost."""

from __future__ import annotations

import signal
import threading
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import pytest
from textual.events import Paste

from judgekit.core.entry import Go, Ignored, NoRep, Rep, Session, Stop
from judgekit.core.errors import BookError
from judgekit.core.lane import empty
from judgekit.desk import Coming
from judgekit.ui import start
from judgekit.ui.app import NOT_OPENED, FloorApp
from judgekit.ui.screens import heard
from judgekit.ui.start import run_floor
from tests.ui.fake_desk import LANE, Floor, grounds, text, until

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable

    from textual.pilot import Pilot

    from judgekit.desk import Desk

SIZE = (80, 24)


@pytest.fixture(autouse=True)
def _at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is heard the moment it is pressed, by the clock that stands still."""
    monkeypatch.setattr(heard, "monotonic", lambda: 0.0)


@dataclass
class SlowBook:
    """A desk whose log is read when the test says so, and as far as it says."""

    floor: Floor
    error: BaseException | None = None
    go_on: threading.Event = field(default_factory=threading.Event)
    begun: threading.Event = field(default_factory=threading.Event)
    percent: int = 0
    coming: Coming = field(init=False)
    app: FloorApp = field(init=False)

    def __post_init__(self) -> None:
        self.coming = Coming(
            self._open, planned={LANE: empty(self.floor.plan)}, clock=self.floor.clock
        )
        self.app = FloorApp(self.coming)

    def _open(self, tell: Callable[[int], None]) -> tuple[Desk, None]:
        tell(self.percent)
        self.begun.set()
        self.go_on.wait()
        if self.error is not None:
            raise self.error
        return self.floor.desk, None

    @asynccontextmanager
    async def shown(self) -> AsyncIterator[Pilot[None]]:
        """Its Floor, with the log being read."""
        try:
            async with self.app.run_test(size=SIZE) as pilot:
                await until(pilot, self.begun.is_set)
                yield pilot
        finally:
            self.go_on.set()
            self.coming.handed_over()
            self.coming.close()

    async def read(self, pilot: Pilot[None]) -> None:
        """The log is read, and what was pressed meanwhile is decided."""
        self.go_on.set()
        await until(pilot, lambda: self.app._given is self.floor.desk)
        await until(pilot, lambda: not self.floor.desk.at_stake)
        await pilot.pause()

    async def tap(self, pilot: Pilot[None], *keys: str) -> None:
        """Keys two seconds apart, each stamped when it is pressed."""
        for key in keys:
            await self.floor.tap(pilot, key)


def under_way() -> SlowBook:
    """A heat at zero, with one rep in its log."""
    floor = Floor()
    floor.go()
    floor.act(Rep())
    return SlowBook(floor)


async def test_the_plan_stands_there_and_nothing_is_counted_until_the_log_is_read() -> (
    None
):
    book = under_way()
    book.percent = 40
    async with book.shown() as pilot:
        await until(pilot, lambda: "Reading the log, 40 %" in text(book.app))
        seen = text(book.app)
        assert "Ines Varga" in seen
        assert "FRONT SQUAT, TOES TO BAR, ROW" in seen
        assert "space good rep" in seen
        assert "█" not in seen
        assert "of 3" not in seen
        assert "saved" not in seen
        await book.read(pilot)
        assert "Reading" not in text(book.app)
        assert "of 3" in text(book.app)
        assert "Opened again: 1 rep, the clock ran on." in text(book.app)


async def test_keys_pressed_meanwhile_are_decided_in_order_with_their_own_times() -> (
    None
):
    book = under_way()
    async with book.shown() as pilot:
        await book.tap(pilot, "space", "d", "space")
        assert book.floor.good == 1
        assert "3 kept" in text(book.app)
        await book.read(pilot)
        assert "saved" in text(book.app)
        await book.tap(pilot, "space")
    judged = [e for e in book.floor.book.entries() if isinstance(e.body, Rep | NoRep)]
    assert [type(e.body) for e in judged] == [Rep, Rep, NoRep, Rep, Rep]
    assert [e.at for e in judged] == [2000, 4000, 6000, 8000, 10_000]


async def test_stop_is_shown_at_the_press_and_counts_with_its_time() -> None:
    book = under_way()
    async with book.shown() as pilot:
        await book.tap(pilot, "0")
        assert "STOP. Reading the log" in text(book.app)
        turned = {*grounds(book.app)}
        await book.tap(pilot, "space")
        await book.read(pilot)
        assert "STOPPED at 0:04, 1 held" in text(book.app)
        assert {*grounds(book.app)} == turned
    [stop] = [e for e in book.floor.book.entries() if isinstance(e.body, Stop)]
    assert stop.at == 4000


async def test_a_go_pressed_meanwhile_keeps_its_time() -> None:
    book = SlowBook(Floor())
    async with book.shown() as pilot:
        await book.tap(pilot, "space", "g", "y")
        pressed = book.floor.clock.boot_now
        book.floor.clock.pass_(3000)
        await book.read(pilot)
        assert "seconds to go" in text(book.app)
    [go] = [b for b in book.floor.bodies() if isinstance(b, Go)]
    assert go.boot_ms == pressed + 10_000
    assert not [b for b in book.floor.bodies() if isinstance(b, Rep)]


async def test_a_lesson_before_go_is_the_first_that_is_read() -> None:
    book = SlowBook(Floor())
    async with book.shown() as pilot:
        await book.tap(pilot, "space")
        await book.read(pilot)
        assert "adds one to the count" in text(book.app)


async def test_pasted_text_counts_nothing_then_either() -> None:
    book = under_way()
    async with book.shown() as pilot:
        book.app.screen.post_message(Paste("   "))
        await until(pilot, lambda: len(book.coming.kept) == 1)
        await book.read(pilot)
        assert book.floor.good == 1
    [body] = [b for b in book.floor.bodies() if isinstance(b, Ignored)]
    assert body.why == "was pasted"


async def test_closing_is_asked_and_answered_while_the_log_is_read() -> None:
    book = under_way()
    async with book.shown() as pilot:
        await book.tap(pilot, "space", "q", "y")
        book.go_on.set()
        await until(pilot, lambda: book.app.return_code == 0)
    assert book.floor.good == 2
    assert book.floor.bodies()[-1] == Session(start=False, why="closed by the judge")


async def test_a_signal_meanwhile_writes_what_was_pressed_and_ends() -> None:
    book = under_way()
    async with book.shown() as pilot:
        await book.tap(pilot, "space")
        book.app._signalled(signal.SIGTERM)
        await until(pilot, lambda: "Closing, saving" in text(book.app))
        await book.tap(pilot, "space")
        book.go_on.set()
        await until(pilot, lambda: book.app.return_code is not None)
    assert book.app.return_code == 128 + signal.SIGTERM
    assert book.floor.good == 2
    assert book.floor.bodies()[-1] == Session(start=False, why="ended by SIGTERM")


async def test_a_refused_opening_ends_the_floor() -> None:
    book = under_way()
    book.error = BookError("b1.sqlite: it is damaged")
    async with book.shown() as pilot:
        book.go_on.set()
        await until(pilot, lambda: book.app.return_code == NOT_OPENED)


def test_a_refusal_is_raised_once_the_floor_is_gone_and_lost_keys_are_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book = under_way()
    book.error = BookError("b1.sqlite: it is damaged")
    book.go_on.set()
    monkeypatch.setattr(start, "_ready", lambda: True)

    def run(app: FloorApp, *, mouse: bool) -> None:
        book.coming.kept += ["space", "space"]
        book.coming.start()
        app._return_code = NOT_OPENED

    monkeypatch.setattr(FloorApp, "run", run)
    with pytest.raises(BookError, match="it is damaged"):
        run_floor(book.coming)
    assert capsys.readouterr().err == (
        "2 presses could not be saved: the log was not opened. "
        "Write down what was counted.\n"
    )


def test_what_was_kept_outlives_a_screen_that_fails(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    book = under_way()
    monkeypatch.setattr(start, "_ready", lambda: True)
    begun: list[FloorApp] = []

    def run(app: FloorApp, *, mouse: bool) -> None:
        begun.append(app)
        if len(begun) == 1:
            app._given.kept.append("a key")  # type: ignore[union-attr]
            raise ValueError
        app._return_code = 0

    monkeypatch.setattr(FloorApp, "run", run)
    assert run_floor(book.coming) == 1
    assert [app._given for app in begun] == [book.coming, book.coming]
    assert [*book.coming.kept] == ["a key"]
