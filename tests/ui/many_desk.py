"""A Floor of several lanes on a desk without threads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from judgekit.core.entry import Claim
from judgekit.core.lane import empty
from judgekit.core.plan import Plan
from judgekit.desk import Desk, Seat
from judgekit.files.folder import EventFolder
from judgekit.store.memory import MemoryBook
from judgekit.ui.app import FloorApp
from judgekit.ui.screens.many import ManyScreen
from tests.desk.fakes import FakeClock
from tests.support import for_time
from tests.ui.fake_desk import InlineDesk

if TYPE_CHECKING:
    from textual.pilot import Pilot

    from judgekit.core.press import Act
    from judgekit.core.state import Lane

NAMES = (
    *("Ines Varga", "Bo Lindt", "Zoé Marr", "Ana Ruiz", "Cy Ohm", "Dag Holm"),
    *("Eva Brook", "Finn Askew", "Gil Noor", "Hana Weiss", "Ivo Tamm", "Jo Alder"),
)


def plans_for(plan: Plan, many: int, first: int = 1) -> tuple[Plan, ...]:
    """The same work for so many lanes, each with its own athlete."""
    return tuple(
        replace(plan, lane=first + n, bib=str(20 + n), name=NAMES[n % len(NAMES)])
        for n in range(many)
    )


@dataclass
class ClassFloor:
    """Several lanes, their desk, and the app over it."""

    many: int = 12
    plan: Plan = field(default_factory=for_time)
    plans: Sequence[Plan] = ()
    folder: EventFolder | None = None
    pads: bool = False
    clock: FakeClock = field(default_factory=FakeClock)
    book: MemoryBook = field(
        default_factory=lambda: MemoryBook("b", event="E", heat="3", wall=0)
    )
    desk: Desk = field(init=False)
    app: FloorApp = field(init=False)

    def __post_init__(self) -> None:
        by_lane = {p.lane: p for p in self.plans or plans_for(self.plan, self.many)}
        seat = Seat(
            heat="3",
            lanes={number: empty(plan) for number, plan in by_lane.items()},
            resolve=lambda number, _day: by_lane[number],
            who="kb",
        )
        self.desk = InlineDesk(seat, self.book, self.clock)
        self.desk.begin([(number, Claim(judge="kb")) for number in by_lane])
        self.app = FloorApp(self.desk, folder=self.folder, pads=self.pads)

    @property
    def screen(self) -> ManyScreen:
        assert isinstance(self.app.screen, ManyScreen)
        return self.app.screen

    def lane(self, number: int) -> Lane:
        return self.desk.lane(number)

    def good(self) -> list[int]:
        """What counts in each lane."""
        return [self.desk.lane(number).work.good for number in self.desk.lanes]

    def go(self) -> None:
        """Go, and the countdown passed: the clock stands at zero."""
        self.desk.call_go(boot_ms=self.clock.boot_now)
        self.clock.pass_(10_000)

    def act(self, number: int, *acts: Act, after: int = 2000) -> None:
        """Presses that do not come through the keys."""
        for act in acts:
            self.clock.pass_(after)
            self.desk.submit(number, act, boot_ms=self.clock.boot_now)

    async def tap(self, pilot: Pilot[None], *keys: str, after: int = 200) -> None:
        """Keys, each so long after the one before."""
        for key in keys:
            self.clock.pass_(after)
            await pilot.press(key)
            await pilot.pause()
