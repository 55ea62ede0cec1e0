"""The head judge's view by fingers alone: lanes, orders, reasons, rulings."""

from __future__ import annotations

from contextlib import asynccontextmanager
from dataclasses import dataclass
from time import monotonic
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Dispute, Freeze, Recall, Rep, Rule, Unfreeze
from judgekit.core.plan import SetKey
from judgekit.core.ruling import RepsInSet, TimeBy
from judgekit.desk.headdesk import HeadDesk
from judgekit.desk.onlooker import Onlooker
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import EventFolder, load_event
from judgekit.store.folder import read_all
from judgekit.ui.screens.padhead import PadHead
from judgekit.ui.watch_app import WatchApp
from judgekit.ui.webdriver import Cut, Tapped
from tests.desk.fakes import FakeClock
from tests.small_event import write_event
from tests.ui.fake_desk import text, until
from tests.ui.fingers import finger, pads

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable
    from pathlib import Path

    from textual.pilot import Pilot

    from judgekit.core.entry import Body
    from judgekit.core.press import Act

PHONE, TABLET = (40, 39), (145, 46)


class Now:
    """A lookout whose jobs are done at once."""

    tell: Callable[..., None] | None = None

    def start(self, tell: Callable[..., None]) -> None:
        self.tell = tell

    def soon(self, job: Callable[[], None]) -> None:
        job()

    def close(self, why: str = "") -> None: ...


@dataclass
class Head:
    """The app, and what moves its clock."""

    app: WatchApp
    clock: FakeClock
    folder: EventFolder

    def said(self, kind: type[Body]) -> list[tuple[int | None, Body]]:
        """The lane and the words of each entry of a kind."""
        found = [e for copy in read_all(self.folder.log) for e in copy.entries]
        return [(e.lane, e.body) for e in found if isinstance(e.body, kind)]


@asynccontextmanager
async def looking_on(
    tmp_path: Path, *acts: Act, size: tuple[int, int] = PHONE
) -> AsyncIterator[tuple[Head, Pilot[None]]]:
    """The view of heat 1, whose lanes are under way at one desk."""
    folder = load_event(write_event(tmp_path / "event"))
    clock = FakeClock()
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1, 2)), clock)
    desk.call_go(boot_ms=clock.boot_now)
    desk.work_off()
    clock.pass_(30_000)
    for act in (Rep(), Rep(), *acts):
        clock.pass_(2000)
        desk.submit(1, act, boot_ms=clock.boot_now)
        desk.work_off()
    onlooker = Onlooker(folder)
    onlooker.look()
    official = HeadDesk(folder, clock)
    lookout = Now()
    app = WatchApp(lambda: PadHead(folder, lookout, official, clock))  # type: ignore[arg-type]
    try:
        async with app.run_test(size=size) as pilot:
            await until(pilot, lambda: lookout.tell is not None)
            assert lookout.tell is not None
            lookout.tell(onlooker.heats, "")
            head = Head(app, clock, folder)
            wide = size == TABLET
            await until(pilot, lambda: app.screen.has_class("-wide") == wide)
            await until(pilot, lambda: "EMERGENCY" in pads(head))
            yield head, pilot
    finally:
        official.close()
        desk.close()


@pytest.mark.parametrize("size", [PHONE, TABLET])
async def test_a_lane_is_chosen_and_frozen_for_a_reason_that_is_ready(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with looking_on(tmp_path, size=size) as (head, pilot):
        assert "arrows lane" not in text(head.app)
        await finger(head, pilot, "2 Zoé", "FREEZE LANE 2", "equipment broke")
        assert head.said(Freeze) == []
        await finger(head, pilot, "ENTER")
        assert head.said(Freeze) == [(2, Freeze(why="equipment broke"))]
        await finger(head, pilot, "WORK GOES ON", "1 lane 2: held presses do not count")
        assert head.said(Unfreeze) == [(2, Unfreeze(by_mistake=False))]


async def test_recall_needs_a_reason_and_two_pads(tmp_path: Path) -> None:
    async with looking_on(tmp_path) as (head, pilot):
        await finger(head, pilot, "RECALL ALL", "ENTER")
        assert "Say why" in text(head.app)
        await finger(head, pilot, "f", "DEL", *"bar", "space", "7", "ENTER")
        bodies = {body for _, body in head.said(Recall)}
        assert bodies == {Recall(why="bar 7")}


async def test_a_ruling_is_written_on_pads_and_asked_about(tmp_path: Path) -> None:
    async with looking_on(tmp_path) as (head, pilot):
        await finger(head, pilot, "RULE ON LANE 1", "time", *"+0:30", "space")
        await finger(head, pilot, *"left", "ENTER")
        assert head.said(Rule) == []
        await finger(head, pilot, "YES")
        effect = TimeBy(by_ms=30_000)
        assert head.said(Rule) == [(1, Rule(effect=effect, why="left"))]


async def test_a_dispute_is_lit_where_one_waits_and_answered(tmp_path: Path) -> None:
    first = SetKey(1, 1, 1)
    asks = Dispute(about="one more", by="athlete", claims=RepsInSet(set=first, by=1))
    async with looking_on(tmp_path, asks) as (head, pilot):
        await finger(
            head, pilot, "DISPUTE", "1 granted as asked", "seen by me", "ENTER"
        )
        [(lane, ruled)] = head.said(Rule)
        assert lane == 1
        assert isinstance(ruled, Rule)
        assert (ruled.effect, ruled.why) == (RepsInSet(set=first, by=1), "seen by me")


async def test_a_touch_beside_the_pads_orders_nothing(tmp_path: Path) -> None:
    async with looking_on(tmp_path) as (head, pilot):
        head.app.post_message(Tapped(3, 3, monotonic()))
        await pilot.pause()
        await finger(head, pilot, "CLOSE VIEW", "NO")
        assert head.app.return_code is None
        assert "EMERGENCY" in pads(head)


async def test_a_page_that_is_gone_ends_the_view(tmp_path: Path) -> None:
    async with looking_on(tmp_path) as (head, pilot):
        head.app.post_message(Cut())
        await until(pilot, lambda: head.app.return_code is not None)
        assert head.app.return_code == 129
