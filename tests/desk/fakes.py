"""Clocks that stand still until they are told, and a desk on a book in memory."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from judgekit.core.entry import Claim
from judgekit.core.errors import BookError
from judgekit.core.lane import empty, fold
from judgekit.core.plan import Plan
from judgekit.desk import Desk, News, Seat
from judgekit.store.memory import MemoryBook
from tests.support import ZERO_WALL, for_time

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.press import Act


@dataclass
class FakeClock:
    """Three clocks; `pass_` moves all of them, `sleep` all but the awake one."""

    boot: str = "boot-1"
    boot_now: int = 1_000_000
    awake_now: int = 1_000_000
    wall_now: int = ZERO_WALL - 10_000

    def boot_ms(self) -> int:
        return self.boot_now

    def awake_ms(self) -> int:
        return self.awake_now

    def wall_ms(self) -> int:
        return self.wall_now

    def pass_(self, ms: int) -> None:
        self.boot_now += ms
        self.awake_now += ms
        self.wall_now += ms

    def sleep(self, ms: int) -> None:
        self.boot_now += ms
        self.wall_now += ms

    def step_wall(self, ms: int) -> None:
        self.wall_now += ms


class FailingBook(MemoryBook):
    """A book that refuses so many appends before it works again."""

    def __init__(self, failures: int) -> None:
        super().__init__("b", event="E", heat="3", wall=0)
        self.failures = failures

    def append(self, entries: Sequence[Entry], plans: Sequence[bytes] = ()) -> None:
        if self.failures:
            self.failures -= 1
            raise BookError("no space left on the disk")
        super().append(entries, plans)


@dataclass
class Sitting:
    """A desk without threads: every press is worked off at once."""

    plans: dict[int, Plan] = field(default_factory=lambda: {4: for_time()})
    book: MemoryBook = field(
        default_factory=lambda: MemoryBook("b", event="E", heat="3", wall=0)
    )
    clock: FakeClock = field(default_factory=FakeClock)
    news: list[News] = field(default_factory=list)
    carry_on: bool = False
    since: int = 0
    only: int | None = None

    def __post_init__(self) -> None:
        states = {
            n: fold(p, self._kept(n)) if self.carry_on else empty(p)
            for n, p in self.plans.items()
        }
        seat = Seat(
            heat="3",
            lanes=states,
            resolve=lambda n, _day: self.plans[n],
            who="kb",
            past=tuple(self.book.entries()),
        )
        self.desk = Desk(seat, self.book, self.clock)
        self.desk.listen(self.news.append)
        claims = [] if self.carry_on else [(n, Claim(judge="kb")) for n in self.plans]
        self.desk.begin(claims)

    def _kept(self, lane: int) -> list[Entry]:
        """A lane's entries of the run that is carried on (`since`), if it had any."""
        if self.only not in (None, lane):
            return []
        entries = self.book.entries()[self.since :]
        return [e for e in entries if e.lane in (None, lane)]

    def go(self) -> None:
        """Go, and the countdown passed: the clock stands at zero."""
        self.desk.call_go(boot_ms=self.clock.boot_now)
        self.desk.work_off()
        self.clock.pass_(10_000)

    def press(self, act: Act, *, after: int = 0, lane: int | None = None) -> None:
        self.clock.pass_(after)
        number = lane or min(self.plans)
        self.desk.submit(number, act, boot_ms=self.clock.boot_now)
        self.desk.work_off()

    def good(self, lane: int | None = None) -> int:
        return self.desk.lane(lane or min(self.plans)).work.good
