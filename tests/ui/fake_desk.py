"""A Floor on a desk without threads: each press is worked off before it returns."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from judgekit.core.checkitems import Gear
from judgekit.core.entry import Claim
from judgekit.core.lane import fold
from judgekit.core.lanecheck import checks_in
from judgekit.core.plan import Plan
from judgekit.desk import Desk, Seat
from judgekit.files.folder import EventFolder
from judgekit.store.memory import MemoryBook
from judgekit.ui.app import FloorApp
from tests.desk.fakes import FakeClock
from tests.external.test_wcag_contrast import contrast
from tests.support import for_time

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from textual.app import App
    from textual.pilot import Pilot

    from judgekit.core.entry import Body
    from judgekit.core.press import Act
    from judgekit.core.state import Lane

LANE = 4


class InlineDesk(Desk):
    """A desk whose consumer is the caller."""

    def submit(self, number: int, act: Act, *, boot_ms: int, key: str = "") -> None:
        super().submit(number, act, boot_ms=boot_ms, key=key)
        self.work_off()

    def call_go(self, *, boot_ms: int, why: str = "") -> None:
        super().call_go(boot_ms=boot_ms, why=why)
        self.work_off()

    def call_late_go(self, number: int, *, boot_ms: int) -> None:
        super().call_late_go(number, boot_ms=boot_ms)
        self.work_off()


@dataclass
class Floor:
    """One lane, its desk, and the app over it."""

    plan: Plan = field(default_factory=for_time)
    times: str = ""
    folder: EventFolder | None = None
    clock: FakeClock = field(default_factory=FakeClock)
    gear: Gear | None = None
    pads: bool = False
    book: MemoryBook = field(
        default_factory=lambda: MemoryBook("b", event="E", heat="3", wall=0)
    )
    desk: Desk = field(init=False)
    app: FloorApp = field(init=False)

    def __post_init__(self) -> None:
        kept = self.book.entries()
        seat = Seat(
            heat="3",
            lanes={LANE: fold(self.plan, kept)},
            past=tuple(kept),
            resolve=lambda _number, _day: self.plan,
            who="kb",
            gear=self.gear,
            checks=checks_in(kept),
        )
        self.desk = InlineDesk(seat, self.book, self.clock)
        self.desk.begin([] if kept else [(LANE, Claim(judge="kb"))])
        self.app = FloorApp(
            self.desk,
            folder=self.folder,
            times=lambda _lane: self.times,
            pads=self.pads,
        )

    @property
    def lane(self) -> Lane:
        return self.desk.lane(LANE)

    @property
    def good(self) -> int:
        return self.lane.work.good

    def go(self) -> None:
        """Go, and the countdown passed: the clock stands at zero."""
        self.desk.call_go(boot_ms=self.clock.boot_now)
        self.clock.pass_(10_000)

    def act(self, act: Act, *, after: int = 2000) -> None:
        """A press that does not come through the keys."""
        self.clock.pass_(after)
        self.desk.submit(LANE, act, boot_ms=self.clock.boot_now)

    async def tap(self, pilot: Pilot[None], *keys: str, after: int = 2000) -> None:
        """Keys, each so long after the one before."""
        for key in keys:
            self.clock.pass_(after)
            await pilot.press(key)
            await pilot.pause()

    def again(self) -> Floor:
        """The same log at another desk, as it is after the program was closed."""
        kept = MemoryBook("b", event="E", heat="3", wall=0)
        kept.append(self.book.entries(), [])
        return replace(self, book=kept)

    async def ended(self) -> int | None:
        """The exit code, once the desk is closed."""
        assert self.app._ending is not None
        await self.app._ending
        return self.app.return_code

    def bodies(self) -> list[Body]:
        """What the book holds, in order."""
        return [entry.body for entry in self.book.entries()]


def rows(app: App[Any]) -> list[str]:
    """What is on the screen, row by row."""
    strips = app.screen._compositor.render_strips()
    return ["".join(segment.text for segment in strip).rstrip() for strip in strips]


def text(app: App[Any]) -> str:
    """What is on the screen."""
    return "\n".join(rows(app))


def grounds(app: FloorApp) -> Iterator[str]:
    """The background colour of every cell, as it would be drawn."""
    for strip in app.screen._compositor.render_strips():
        for segment in strip:
            style = segment.style
            if style is not None and style.bgcolor is not None:
                behind = style.color if style.reverse else style.bgcolor
                yield behind.name if behind is not None else style.bgcolor.name


def faint(app: App[Any]) -> list[str]:
    """Every drawn text that WCAG 2.2 calls too faint (under 4.5 to 1), as drawn."""
    found = []
    for strip in app.screen._compositor.render_strips():
        for segment in strip:
            style = segment.style
            if style is None or not segment.text.strip():
                continue
            if style.color is None or style.bgcolor is None:
                continue
            front, back = style.color.get_truecolor(), style.bgcolor.get_truecolor()
            if contrast(front.hex, back.hex) < 4.5:
                found.append(segment.text)
    return found


async def until(pilot: Pilot[None], holds: Callable[[], bool]) -> None:
    """Let the screen work until that holds; an AssertionError if it never does."""
    for _ in range(600):
        if holds():
            return
        await pilot.pause(0.02)
    raise AssertionError("it never came to hold")
