"""The server: a list of desks, a page for each, and a process behind each open page.

Everything is refused unless it comes from a page of ours, by somebody who came with the
link; what can write asks for its PIN, too. Nothing is started before all that is known.
"""

from __future__ import annotations

import asyncio
from contextlib import suppress
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

import textual_serve
from aiohttp import web
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from judgekit.core.values import dataclass
from judgekit.web.link import is_this_computer
from judgekit.web.sessions import ELSEWHERE, Session, Sessions
from judgekit.web.sheets import shown

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable, Mapping

    from judgekit.ui.athletecodes import Code
    from judgekit.web.desks import Served
    from judgekit.web.gate import Gate
    from judgekit.web.lists import Lists
    from judgekit.web.sheets import SheetPages

    Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]

_OURS = Path(__file__).parent / "static"
_THEIRS = Path(textual_serve.__file__).parent / "static"
# Every file that is sent, by the name it is asked for: no folder is ever listed.
_STATIC = {
    "enter.js": _OURS / "enter.js",
    "desk.js": _OURS / "desk.js",
    "page.css": _OURS / "page.css",
    "textual.js": _THEIRS / "js" / "textual.js",
    "xterm.css": _THEIRS / "css" / "xterm.css",
    "mono.ttf": _THEIRS / "fonts" / "RobotoMono-VariableFont_wght.ttf",
}
_HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # A page without a referrer would post its forms without an origin, too.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
    "font-src 'self'; img-src 'self' data:; "
    "connect-src 'self' ws://{host} wss://{host}; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
# A page is silent for no longer than this and half of it; then its lane is free again.
_HEARTBEAT_S = 10.0
# How soon a screen knows the sheet of somebody who came late.
_LOOK_S = 2.0
_BODY_MOST, _MESSAGE_MOST = 2048, 65536
_TRY_AGAIN = 'Wrong PIN. It stands on the coach\'s list, beside "{pin}".'


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """Under which names it is served, to whom, and how many screens there may be.

    `others` is the one that other devices reach it under; empty if none do.
    """

    name: str
    origins: frozenset[str]
    most: int
    port: int
    others: str = ""

    @property
    def hosts(self) -> frozenset[str]:
        """The names that a request may come under: no other site's name leads here."""
        return frozenset(origin.partition("://")[2] for origin in self.origins)

    @property
    def cookie(self) -> str:
        """Another server of this machine, on another port, has another cookie."""
        return f"judgekit-{self.port}"


class Server:
    """The pages and their sessions."""

    def __init__(
        self, house: House, lists: Lists, gate: Gate, sheets: SheetPages
    ) -> None:
        self.house = house
        self._lists = lists
        self._sheets = sheets
        self.sessions = Sessions(house.most)
        self._gate = gate
        # Who is told of PINs that were made after the start.
        self.tell: Callable[[Mapping[str, str]], None] = lambda _: None
        self._pages = Environment(
            loader=PackageLoader("judgekit.web", "pages"),
            autoescape=True,
            undefined=StrictUndefined,
        )

    def application(self) -> web.Application:
        """The routes, behind what every request must hold."""
        made = web.Application(middlewares=[self._guarded], client_max_size=_BODY_MOST)
        made.add_routes(
            [
                web.get("/", self._list),
                web.get("/alive", self._alive),
                web.post("/enter", self._enter),
                web.get("/desk/{id}", self._desk),
                web.post("/desk/{id}", self._pin),
                web.get("/desk/{id}/sheet", self._codes),
                web.post("/desk/{id}/sheet", self._pin),
                web.get("/sheet/{link}", self._sheet),
                web.get("/ws/{id}", self._open),
                web.get("/ws/{id}/{how:over|back}", self._open),
                web.get("/static/{name}", self._static),
            ]
        )
        made.cleanup_ctx.append(self._looking)
        made.on_shutdown.append(self._end)
        return made

    async def _end(self, _: web.Application) -> None:
        await self.sessions.close()

    # --- who is in the lists ----------------------------------------------------------

    async def _look(self) -> tuple[Served, ...]:
        """The desks for the lists as they are by now, each that asks with its PIN."""
        await self._lists.look()
        desks = self._lists.desks
        if made := self._gate.learn(desk.pin for desk in desks if desk.pin):
            self.tell(made)
        return desks

    async def _looking(self, _: web.Application) -> AsyncIterator[None]:
        """As long as it serves, look now and then: nobody may ask for long."""
        task = asyncio.create_task(self._look_on())
        yield
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task

    async def _look_on(self) -> None:
        told = self._lists.folder
        while True:
            await asyncio.sleep(_LOOK_S)
            await self._look()
            if self._lists.folder is not told:
                told = self._lists.folder
                await self.sessions.tell_codes()

    # --- who asks ---------------------------------------------------------------------

    @web.middleware
    async def _guarded(
        self, request: web.Request, handler: Handler
    ) -> web.StreamResponse:
        try:
            if request.host not in self.house.hosts:
                raise web.HTTPMisdirectedRequest(text="This server has another name.")
            if not self._comes_from_us(request):
                raise web.HTTPForbidden(text="Another site's page asked for this.")
            answer = await handler(request)
        except web.HTTPException as refused:
            refused.headers.update(self._headers(request))
            raise
        if not answer.prepared:
            answer.headers.update(self._headers(request))
        return answer

    def _headers(self, request: web.Request) -> dict[str, str]:
        host = request.host if request.host in self.house.hosts else "127.0.0.1"
        return {**_HEADERS, "Content-Security-Policy": _POLICY.format(host=host)}

    def _comes_from_us(self, request: web.Request) -> bool:
        """Browsers say whose page asks; what changes or starts anything must."""
        origin = request.headers.get("Origin")
        if origin is not None:
            return origin in self.house.origins
        return request.method == "GET" and not request.path.startswith("/ws/")

    def _visitor(self, request: web.Request) -> str:
        return request.cookies.get(self.house.cookie, "")

    async def _asked(self, request: web.Request) -> Served:
        """The desk that is asked for, by somebody who came with the link."""
        if not self._gate.knows(self._visitor(request)):
            raise web.HTTPUnauthorized(
                text=self._page("enter.html"), content_type="text/html"
            )
        wanted = request.match_info["id"]
        desk = next((one for one in await self._look() if one.id == wanted), None)
        if desk is None:
            raise web.HTTPNotFound(text="There is no such desk.")
        return desk

    def _as_left(self, desk: Served) -> Served:
        return self._lists.as_left(desk, self.sessions.lanes_elsewhere(desk))

    # --- pages ------------------------------------------------------------------------

    def _page(self, name: str, **given: object) -> str:
        return self._pages.get_template(name).render(event=self.house.name, **given)

    def _html(self, name: str, status: int = 200, **given: object) -> web.Response:
        text = self._page(name, **given)
        return web.Response(text=text, status=status, content_type="text/html")

    async def _list(self, request: web.Request) -> web.Response:
        if not self._gate.knows(self._visitor(request)):
            return self._html("enter.html", 401)
        groups: dict[str, list[Served]] = {}
        for desk in await self._look():
            groups.setdefault(desk.group, []).append(desk)
        return self._html("list.html", groups=groups)

    async def _alive(self, _: web.Request) -> web.Response:
        return web.Response(status=204)

    async def _enter(self, request: web.Request) -> web.Response:
        visitor = self._gate.enter(await request.text())
        if not visitor:
            raise web.HTTPUnauthorized(text="The link is not of this server.")
        answer = web.Response(status=204)
        answer.set_cookie(
            self.house.cookie,
            visitor,
            httponly=True,
            samesite="Strict",
            secure=request.headers.get("Origin", "").startswith("https:"),
        )
        return answer

    async def _desk(self, request: web.Request) -> web.Response:
        desk = await self._asked(request)
        if not self._gate.may_open(self._visitor(request), desk.pin):
            return self._html("pin.html", desk=desk, says="")
        if not self.sessions.has_room(desk):
            return self._html("full.html", 503, desk=desk, most=self.sessions.most)
        return self._html("desk.html", desk=desk)

    async def _pin(self, request: web.Request) -> web.Response:
        """The page whose PIN was asked for, once it is right."""
        desk = await self._asked(request)
        visitor, now = self._visitor(request), monotonic()
        pin = str((await request.post()).get("pin", ""))
        if self._gate.may_open(visitor, desk.pin) or self._gate.try_pin(
            visitor, desk.pin, pin, now
        ):
            of = "/sheet" if request.path.endswith("/sheet") else ""
            raise web.HTTPSeeOther(f"/desk/{desk.id}{of}")
        locked = round(self._gate.locked_s(desk.pin, now))
        if locked:
            says = f"Too many wrong PINs: {desk.pin} takes none for {locked} s."
            return self._html("pin.html", 429, desk=desk, says=says)
        return self._html(
            "pin.html", 403, desk=desk, says=_TRY_AGAIN.format(pin=desk.pin)
        )

    async def _codes(self, request: web.Request) -> web.Response:
        """For whoever judges there: the code of each athlete's own sheet."""
        desk = await self._asked(request)
        if not self._gate.may_open(self._visitor(request), desk.pin):
            return self._html("pin.html", desk=desk, says="")
        desk = self._as_left(desk)
        phones = self._for_phones(request)
        found = self._sheets.links(desk.heat, desk.lanes, phones or self._here(request))
        links = [link for _, link in found]
        drawn = await self._sheets.pictures(links) if phones else [""] * len(links)
        codes = [
            # A picture of ours.
            (shown(one), link, Markup(picture))  # noqa: S704
            for (one, link), picture in zip(found, drawn, strict=True)
        ]
        return self._html("codes.html", desk=desk, codes=codes, reached=bool(phones))

    def _here(self, request: web.Request) -> str:
        """Under which name the page was asked for."""
        return next(
            origin
            for origin in sorted(self.house.origins)
            if origin.partition("://")[2] == request.host
        )

    def _for_phones(self, request: web.Request) -> str:
        """Under which name a phone reaches a sheet; empty if under none.

        A page that this computer opened under its own name for itself says nothing.
        """
        here = self._here(request)
        return self.house.others if is_this_computer(here) else here

    def _codes_at(
        self, request: web.Request, desk: Served
    ) -> Callable[[], Awaitable[Mapping[str, Code]]]:
        """The codes for a screen, whenever they are asked for.

        Whoever came into the heat since it was opened may stand at this very desk.
        """
        phones = self._for_phones(request)
        others = {row.lane for row in self._lists.folder.lanes(desk.heat)}
        others.difference_update(desk.lanes)

        async def now() -> Mapping[str, Code]:
            there = {row.lane for row in self._lists.folder.lanes(desk.heat)}
            return await self._sheets.codes(desk.heat, there - others, phones)

        return now

    async def _sheet(self, request: web.Request) -> web.Response:
        """The sheet of whoever has its link; it needs no other."""
        page = await self._sheets.page(request.match_info["link"])
        if page is None:
            raise web.HTTPNotFound(text="There is no such sheet.")
        if not page:
            raise web.HTTPServiceUnavailable(text="There is no sheet yet: come again.")
        return web.Response(body=page, content_type="text/html", charset="utf-8")

    async def _static(self, request: web.Request) -> web.StreamResponse:
        path = _STATIC.get(request.match_info["name"])
        if path is None:
            raise web.HTTPNotFound(text="There is no such file.")
        return web.FileResponse(path, headers=self._headers(request))

    # --- screens ----------------------------------------------------------------------

    async def _open(self, request: web.Request) -> web.StreamResponse:
        desk = await self._asked(request)
        if not self._gate.may_open(self._visitor(request), desk.pin):
            raise web.HTTPForbidden(text="The PIN of this desk comes first.")
        if not self.sessions.has_room(desk):
            raise web.HTTPServiceUnavailable(text="No room for another screen.")
        socket = web.WebSocketResponse(
            heartbeat=_HEARTBEAT_S, max_msg_size=_MESSAGE_MOST
        )
        if not socket.can_prepare(request).ok:
            raise web.HTTPUpgradeRequired(text="Only a page opens a screen.")
        how = request.match_info.get("how", "")
        visitor = self._visitor(request)
        if how == "back" and not self.sessions.may_return(desk, visitor):
            await socket.prepare(request)
            await socket.close(code=ELSEWHERE)
            return socket
        self._lists.opens(desk)
        desk = self._as_left(desk)
        session = Session(
            desk,
            socket,
            request.transport,
            over=how == "over",
            codes=self._codes_at(request, desk),
        )
        async with self.sessions.place(session, visitor):
            await socket.prepare(request)
            await session.run(_size(request))
        return socket


def _size(request: web.Request) -> tuple[int, int]:
    """Columns and rows of the page, or the usual ones."""
    try:
        return int(request.query["width"]), int(request.query["height"])
    except (KeyError, ValueError):
        return 80, 24
