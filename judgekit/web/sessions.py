"""Sessions: one page, one process, and never more of them than the machine carries."""

from __future__ import annotations

import asyncio
import json
from contextlib import asynccontextmanager, suppress
from time import monotonic
from typing import TYPE_CHECKING

from aiohttp import WSMsgType

from judgekit.ui.athletecodes import packed
from judgekit.web.child import Child, Ended

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable, Mapping

    from aiohttp import web

    from judgekit.ui.athletecodes import Code
    from judgekit.web.desks import Served

    _Codes = Callable[[], Awaitable[Mapping[str, Code]]]

# Why a session was closed, for the page: it knows what to say and whether to come back.
CLOSED, ELSEWHERE, FAILED, SHUT = 4000, 4001, 4002, 4003
# A page that takes nothing for so long is not there any more.
TAKES_S = 5.0
_LEAST, _MOST = (10, 4), (500, 300)
_TYPED_MOST = 4096
# As far as a page's numbers are whole ones.
_LATEST_MS = 2**53


class Sessions:
    """Which screens are open. At most `most` at a time, an `alone` one once."""

    def __init__(self, most: int) -> None:
        self.most = most
        self._open: list[Session] = []
        # Who opened an `alone` desk last: nobody else comes back to it by itself.
        self._owners: dict[str, str] = {}

    def __len__(self) -> int:
        return len(self._open)

    def has_room(self, desk: Served) -> bool:
        """Whether one more can be opened; one that gives way makes room for itself."""
        return len(self._open) - min(1, len(self._giving_way(desk))) < self.most

    def _giving_way(self, desk: Served) -> list[Session]:
        """Whoever has a desk open that only one page may have open."""
        return [one for one in self._open if desk.alone and one.desk.id == desk.id]

    def may_return(self, desk: Served, visitor: str) -> bool:
        """Whether a page that lost its line still has the desk to come back to."""
        return not desk.alone or self._owners.get(desk.id, visitor) == visitor

    def lanes_elsewhere(self, desk: Served) -> set[int]:
        """The lanes of its heat that other desks have open."""
        others = (one.desk for one in self._open if one.desk.id != desk.id)
        return {lane for one in others if one.heat == desk.heat for lane in one.lanes}

    @asynccontextmanager
    async def place(self, session: Session, visitor: str) -> AsyncIterator[None]:
        """Hold a place for a session; one that it takes the lane from ends first."""
        desk = session.desk
        self._owners[desk.id] = visitor
        before = self._giving_way(desk)
        self._open.append(session)
        try:
            await asyncio.gather(*(one.close(ELSEWHERE) for one in before))
            yield
        finally:
            await session.close(SHUT)
            self._open.remove(session)

    async def tell_codes(self) -> None:
        """Tell every screen the codes of those who stand in its lanes by now."""
        await asyncio.gather(*(one.tell_codes() for one in self._open))

    async def close(self) -> None:
        """End them all, as the server ends."""
        await asyncio.gather(*(one.close(SHUT) for one in self._open))


class Session:
    """A page's connection and the process behind it; they end together.

    `over` carries on from a desk that still has the lane open elsewhere, `codes` gives
    those of the sheets of its athletes as they are at the moment.
    """

    def __init__(
        self,
        desk: Served,
        socket: web.WebSocketResponse,
        transport: asyncio.Transport | None = None,
        *,
        over: bool = False,
        codes: _Codes,
    ) -> None:
        self.desk = desk
        self._arguments = desk.arguments if not over else desk.arguments_over
        self._codes = codes
        # Where somebody has a sheet it is told, too, that there is no code of it.
        self._told = "" if desk.lanes else packed({})
        self._telling = asyncio.Lock()
        self._socket = socket
        self._transport = transport
        self._child: Child | None = None
        self._gives_way = False
        self._begins = asyncio.Lock()

    async def run(self, size: tuple[int, int]) -> None:
        """Carry what is pressed to the process, until either of the two is gone."""
        async with self._begins:
            if self._gives_way:
                # Another page asked for the lane before this one had begun.
                await self._take_leave(ELSEWHERE)
                return
            self._child = await Child.start(self._arguments, clamped(size), self._paint)
        watch = asyncio.create_task(self._watch(self._child))
        # Codes take a while to be drawn; what is pressed meanwhile does not wait.
        telling = asyncio.create_task(self.tell_codes())
        try:
            async for message in self._socket:
                if message.type == WSMsgType.TEXT:
                    await self._heard(self._child, message.data)
        finally:
            telling.cancel()
            await self._child.end()
            await watch

    async def close(self, code: int) -> None:
        """Tell the page why, and end the process."""
        self._gives_way = True
        async with self._begins:
            if self._child is not None:
                await self._take_leave(code)
                await self._child.end()

    async def tell_codes(self) -> None:
        """Tell the process the codes as they are by now, if it knows others."""
        async with self._telling:
            codes = packed(await self._codes())
            if self._child is None or codes == self._told:
                return
            self._told = codes
            with suppress(TimeoutError, ConnectionError):
                telling = self._child.tell(type="codes", codes=codes)
                await asyncio.wait_for(telling, TAKES_S)

    async def _watch(self, child: Child) -> None:
        """Tell the page once the process has ended by itself."""
        ended = await child.ended()
        if not self._socket.closed:
            await self._in_time(self._socket.send_str(_told(ended)))
            await self._take_leave(FAILED if ended.code else CLOSED)

    async def _take_leave(self, code: int) -> None:
        await self._in_time(self._socket.close(code=code))

    async def _in_time(self, sending: Awaitable[object]) -> None:
        """A page that does not answer is cut off: it must hold nothing up."""
        try:
            await asyncio.wait_for(sending, TAKES_S)
        except (TimeoutError, ConnectionError, RuntimeError):
            if self._transport is not None:
                self._transport.abort()

    async def _paint(self, data: bytes) -> None:
        await asyncio.wait_for(self._socket.send_bytes(data), TAKES_S)

    # --- what the page says -----------------------------------------------------------

    async def _heard(self, child: Child, data: str) -> None:
        """One message; whatever is none of ours does nothing."""
        try:
            match json.loads(data):
                case ["stdin", str(text)] if len(text) <= _TYPED_MOST:
                    await child.type(text)
                case ["resize", {"width": int(width), "height": int(height)}]:
                    columns, rows = clamped((width, height))
                    await child.tell(type="resize", width=columns, height=rows)
                case ["tap", {"x": int(x), "y": int(y), **more}] if _on_screen(x, y):
                    # A page that does not know our clock yet says no time.
                    at = more.get("at", _now_ms())
                    if isinstance(at, int) and 0 <= at <= _LATEST_MS:
                        await child.tell(type="tap", x=x, y=y, at=at)
                case ["clock", int(sent)]:
                    await self._socket.send_json(["clock", [sent, _now_ms()]])
                case _:
                    pass
        except (ValueError, RecursionError, ConnectionError):
            # Not JSON, or the page has gone: the loop over its messages ends by itself.
            return


def _on_screen(x: int, y: int) -> bool:
    return 0 <= x < _MOST[0] and 0 <= y < _MOST[1]


def _now_ms() -> int:
    return round(monotonic() * 1000)


def clamped(size: tuple[int, int]) -> tuple[int, int]:
    """Columns and rows that a screen can be drawn in."""
    columns, rows = (
        min(max(one, least), most)
        for one, least, most in zip(size, _LEAST, _MOST, strict=True)
    )
    return columns, rows


def _told(ended: Ended) -> str:
    """What the page is told of an end; a lane that is held says how to go on."""
    held = "--take-over" in ended.says
    says = ended.says.partition("\nClose that desk")[0] if held else ended.says
    return json.dumps(["ended", {"says": says, "held": held}])
