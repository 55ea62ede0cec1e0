"""Serving an event from its first page to the last: addresses, secrets, the end."""

from __future__ import annotations

import asyncio
import re
import signal
import socket
from collections.abc import Mapping
from typing import TYPE_CHECKING

from aiohttp import web

from judgekit.core.errors import JudgekitError
from judgekit.core.values import dataclass
from judgekit.web import link
from judgekit.web.gate import Gate, new_pins
from judgekit.web.lists import Lists
from judgekit.web.server import House, Server
from judgekit.web.sheets import SheetPages

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from judgekit.files.eventfolder import EventFolder

_SIGNALS = tuple(
    getattr(signal, name)
    for name in ("SIGINT", "SIGTERM", "SIGHUP")
    if hasattr(signal, name)
)
# Longer than a desk takes to close with its page.
_CLOSING_S = 10.0
_ORIGIN = re.compile(r"https?://[A-Za-z0-9.\-\[\]:]+")
_NO_NETWORK = (
    "This computer is in no network that it could name an address of: join one, or say "
    "with --address which address the phones reach."
)


class ServeError(JudgekitError):
    """What keeps the pages from being served as asked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """How to serve: where, under which more names, and how many screens.

    Without `network` nobody but this computer itself is served.
    """

    network: bool = False
    address: str = ""
    port: int
    origins: tuple[str, ...] = ()
    sessions: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What the coach has to know: the link, for other devices where it is for them."""

    link: str
    others: str
    pins: Mapping[str, str]


def serve(
    folder: EventFolder,
    heats: Sequence[str],
    wanted: Wanted,
    tell: Callable[[Opened], None],
    tell_more: Callable[[Mapping[str, str]], None],
) -> None:
    """Serve until a signal ends it; then every desk is closed as by its judge.

    `tell_more` is told the PINs of desks that come later.
    """
    address = _address(wanted)
    for origin in wanted.origins:
        if not _ORIGIN.fullmatch(origin):
            raise ServeError(
                f"--origin {origin} is no origin: it looks like https://desks.example"
            )
    lists = Lists(folder, heats)
    # Desks of several lanes stand before the single lanes, in the coach's list.
    named = sorted(dict.fromkeys(d.pin for d in lists.desks if d.pin), key=_is_one_lane)
    pins = new_pins(named)
    token = link.new_token()
    sockets = _listening(address, wanted.port)
    port = int(sockets[0].getsockname()[1])
    names = (link.LOOPBACK, "localhost", *filter(None, [address]))
    house = House(
        name=folder.event.name,
        origins=frozenset((*(link.origin(n, port) for n in names), *wanted.origins)),
        most=wanted.sessions,
        port=port,
        others=_for_others(address, port, wanted.origins),
    )
    opened = Opened(
        link=link.link(link.LOOPBACK, port, token),
        others=link.link(address, port, token) if address else "",
        pins=pins,
    )
    server = Server(house, lists, Gate(token, pins), SheetPages(lists))
    server.tell = tell_more
    asyncio.run(_serve(server, sockets, lambda: tell(opened)))


def _for_others(address: str, port: int, origins: Sequence[str]) -> str:
    """Under which name other devices reach what is served; empty if under none."""
    found = (link.origin(address, port), *origins) if address else origins
    return next((one for one in found if not link.is_this_computer(one)), "")


def _is_one_lane(pin: str) -> bool:
    return pin.startswith("lane ")


def _address(wanted: Wanted) -> str:
    """The address that other devices reach; empty where they are not served."""
    if not wanted.network and not wanted.address:
        return ""
    found = wanted.address or link.own_address()
    if not found:
        raise ServeError(_NO_NETWORK)
    if problem := link.address_problem(found):
        raise ServeError(problem)
    return found


def _listening(address: str, port: int) -> list[socket.socket]:
    """Sockets at this computer itself, and at that one address of it, on one port."""
    sockets = [_bound(link.LOOPBACK, port)]
    if address and address != link.LOOPBACK:
        try:
            sockets.append(_bound(address, sockets[0].getsockname()[1]))
        except ServeError:
            sockets[0].close()
            raise
    return sockets


def _bound(address: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((address, port))
    except OSError as error:
        made.close()
        raise ServeError(
            f"{address}, port {port}: {error.strerror}; another server may have it, "
            "or --port or --address is none of this computer's"
        ) from None
    return made


async def _serve(
    server: Server, sockets: Sequence[socket.socket], ready: Callable[[], None]
) -> None:
    over = asyncio.Event()
    loop = asyncio.get_running_loop()
    for number in _SIGNALS:
        loop.add_signal_handler(number, over.set)
    runner = web.AppRunner(
        server.application(), access_log=None, shutdown_timeout=_CLOSING_S
    )
    await runner.setup()
    try:
        for one in sockets:
            await web.SockSite(runner, one).start()
        ready()
        await over.wait()
    finally:
        await runner.cleanup()
