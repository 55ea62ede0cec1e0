"""A server in the test's own process, whose screens have no process behind them."""

from __future__ import annotations

import asyncio
from contextlib import asynccontextmanager
from typing import TYPE_CHECKING, Any

from aiohttp import web
from aiohttp.test_utils import TestClient, TestServer

from judgekit.files.folder import load_event
from judgekit.web.child import Child, Ended
from judgekit.web.gate import Gate
from judgekit.web.lists import Lists
from judgekit.web.server import House, Server
from judgekit.web.sheets import SheetPages
from tests.small_event import write_event

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
    from pathlib import Path

    import pytest

TOKEN = "the-token-of-this-test"  # noqa: S105 - nobody's secret
PINS = {"lane 1": "0417", "lane 2": "8250", "head judge": "3361"}
_PIN_OF = {"lane-1-2": "lane 2", "head": "head judge"}
HOST = "desks.test:8720"
ORIGIN = f"http://{HOST}"
# A client whose requests come under the server's name, from its own pages.
Client = TestClient[web.Request, web.Application]


class FakeScreen:
    """A screen: what it was told, and when it is over."""

    def __init__(self, arguments: Sequence[str], size: tuple[int, int]) -> None:
        self.arguments = tuple(arguments)
        self.size = size
        self.typed: list[str] = []
        self.told: list[dict[str, Any]] = []
        # Apart, as drawing them takes its time: each time that it was told any.
        self.codes: list[str] = []
        self._over: asyncio.Future[Ended] = asyncio.get_running_loop().create_future()

    async def type(self, text: str) -> None:
        self.typed.append(text)

    async def tell(self, **meta: object) -> None:
        if meta["type"] == "codes":
            self.codes.append(str(meta["codes"]))
        else:
            self.told.append(meta)

    def ends(self, code: int, says: str = "") -> None:
        """It ends by itself."""
        self._over.set_result(Ended(code=code, says=says))

    async def end(self) -> Ended:
        if not self.is_over:
            self.ends(129)
        return await self.ended()

    async def ended(self) -> Ended:
        return await asyncio.shield(self._over)

    @property
    def is_over(self) -> bool:
        return self._over.done()


def fake_screens(monkeypatch: pytest.MonkeyPatch) -> list[FakeScreen]:
    """Begin fake screens from now on; the list has each that was begun."""
    begun: list[FakeScreen] = []

    async def start(
        arguments: Sequence[str],
        size: tuple[int, int],
        paint: Callable[[bytes], Awaitable[None]],
    ) -> FakeScreen:
        begun.append(FakeScreen(arguments, size))
        await paint(b"painted")
        return begun[-1]

    monkeypatch.setattr(Child, "start", start)
    return begun


@asynccontextmanager
async def visiting(
    tmp_path: Path,
    *,
    most: int = 4,
    name: str = "Quayside Saturday",
    host: str = HOST,
    others: str = "",
    told: dict[str, str] | None = None,
) -> AsyncIterator[Client]:
    """A client of a server, whose requests come from its own pages.

    It serves the event that is there, the small one where there is none.
    `host` is the name it comes under, `others` the one that phones reach it under;
    `told` gets the PINs that are made after the start.
    """
    event = tmp_path / "event"
    folder = load_event(event if event.exists() else write_event(event), shown="event")
    house = House(
        name=name,
        origins=frozenset(filter(None, (f"http://{host}", others))),
        most=most,
        port=8720,
        others=others,
    )
    lists = Lists(folder)
    server = Server(house, lists, Gate(TOKEN, dict(PINS)), SheetPages(lists))
    if told is not None:
        server.tell = told.update
    lines = {"Host": host, "Origin": f"http://{host}"}
    client = TestClient(TestServer(server.application()), headers=lines)
    await client.start_server()
    try:
        yield client
    finally:
        await client.close()


async def enter(client: Client, *desks: str) -> None:
    """Come with the link, and show those desks' PINs."""
    assert (await client.post("/enter", data=TOKEN)).status == 204
    for desk in desks:
        pin = PINS[_PIN_OF.get(desk, "lane 1")]
        answer = await client.post(f"/desk/{desk}", data={"pin": pin})
        assert (answer.status, answer.url.path) == (200, f"/desk/{desk}")


async def until(holds: Callable[[], bool]) -> None:
    """Let the server work until that holds; an AssertionError if it never does."""
    for _ in range(1000):
        if holds():
            return
        await asyncio.sleep(0.01)
    raise AssertionError("it never came to hold")
