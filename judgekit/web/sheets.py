"""Athletes' own sheets: a link for each that nobody can guess, and the page behind it.

A link is made from the bib and a secret that lies beside the event's log, so it is the
same one after the server has started again. A page is made by a process of its own, one
at a time: what somebody reads on a phone must cost no judge a key.
"""

from __future__ import annotations

import asyncio
import base64
import hmac
import os
import secrets
from functools import lru_cache
from time import monotonic
from typing import TYPE_CHECKING

import segno

from judgekit.reports.names import beside_bib, shown_name
from judgekit.ui.athletecodes import Code
from judgekit.web.child import command

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable
    from pathlib import Path

    from judgekit.core.people import Athlete
    from judgekit.web.lists import Lists

# Beside the books of the log: no book is called so, and no backup copies it.
_FILE = "sheets.key"
_SECRET_BYTES, _LINK_BYTES = 32, 18
# Whoever reads a page again and again gets the one of a moment ago.
_KEPT_S = 15.0
_BEGINS = b"<!DOCTYPE html>"
# So many codes are kept, as each takes longer to draw than a key may wait.
_DRAWN_MOST = 2000


class SheetPages:
    """Which link is whose, and the pages, made when they are asked for."""

    def __init__(self, lists: Lists) -> None:
        self._event = str(lists.folder.folder.resolve())
        self._lists = lists
        self._secret = _secret(lists.folder.log)
        self._kept: dict[str, tuple[float, bytes]] = {}
        self._alone = asyncio.Lock()
        # Screens that ask at once wait for each other, so that none is drawn twice.
        self._drawing = asyncio.Lock()

    def links(
        self, heat: str, lanes: Collection[int], origin: str
    ) -> list[tuple[Athlete, str]]:
        """Who stands in lanes by heats.csv, each with the own link.

        Of a team each member has one.
        """
        folder = self._lists.folder
        listed = [row.bib for row in folder.lanes(heat) if row.lane in lanes]
        found = [
            one
            for bib in listed
            for one in folder.athletes
            if bib in (one.bib, one.team)
        ]
        return [(one, f"{origin}/sheet/{self._link(one.bib)}") for one in found]

    async def codes(
        self, heat: str, lanes: Collection[int], origin: str
    ) -> dict[str, Code]:
        """The same by bib with their codes, for a screen; none without an origin."""
        found = self.links(heat, lanes, origin) if origin else []

        def draw() -> dict[str, Code]:
            return {one.bib: Code(link=link, rows=squares(link)) for one, link in found}

        async with self._drawing:
            return await asyncio.to_thread(draw)

    async def pictures(self, links: Iterable[str]) -> list[str]:
        """Their codes as pictures for a page."""

        def draw() -> list[str]:
            return [code(link) for link in links]

        async with self._drawing:
            return await asyncio.to_thread(draw)

    def _link(self, bib: str) -> str:
        made = hmac.digest(self._secret, b"sheet\n" + bib.encode(), "sha256")
        return base64.urlsafe_b64encode(made[:_LINK_BYTES]).decode()

    def _whose(self, link: str) -> str | None:
        given = link.encode(errors="replace")
        return next(
            (
                one.bib
                for one in self._lists.folder.athletes
                if hmac.compare_digest(self._link(one.bib).encode(), given)
            ),
            None,
        )

    async def page(self, link: str) -> bytes | None:
        """The sheet behind a link: None if there is no such link, empty if it fails."""
        bib = self._whose(link)
        if bib is None:
            return None
        async with self._alone:
            made, page = self._kept.get(bib, (-_KEPT_S, b""))
            if monotonic() - made >= _KEPT_S:
                page = await self._made(bib)
                self._kept[bib] = monotonic(), page
        return page

    async def _made(self, bib: str) -> bytes:
        process = await asyncio.create_subprocess_exec(
            *command(("athlete", "--format", "html", "--", self._event, bib)),
            stdin=asyncio.subprocess.DEVNULL,
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.DEVNULL,
        )
        page, _ = await process.communicate()
        return page if page.startswith(_BEGINS) else b""


@lru_cache(maxsize=_DRAWN_MOST)
def squares(link: str) -> tuple[str, ...]:
    """A QR code as rows of 0 and 1, as small as it can be: 1 is dark."""
    made = segno.make(link, error="l", micro=False)
    return tuple("".join(map(str, row)) for row in made.matrix)


@lru_cache(maxsize=_DRAWN_MOST)
def code(link: str) -> str:
    """A QR code as a picture for a page: black on white, whatever is around it."""
    made = segno.make(link, error="m")
    return made.svg_inline(scale=6, border=4, dark="#000", light="#fff", omitsize=True)


def shown(one: Athlete) -> str:
    return beside_bib(one.bib, shown_name(one.name, one.show, one.bib))


def _secret(log: Path) -> bytes:
    """The event's secret, made when it is first asked for.

    Where nothing can be written the links last as long as this server.
    """
    made = secrets.token_bytes(_SECRET_BYTES)
    path = log / _FILE
    try:
        log.mkdir(exist_ok=True)
        try:
            file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        except FileExistsError:
            found = path.read_bytes()
            return found if len(found) == _SECRET_BYTES else made
        with os.fdopen(file, "wb") as writing:
            writing.write(made)
    except OSError:
        return made
    return made
