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
from time import monotonic
from typing import TYPE_CHECKING

import segno

from judgekit.reports.names import beside_bib, shown_name
from judgekit.ui.athletecodes import Code
from judgekit.web.child import command

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.people import Athlete
    from judgekit.files.eventfolder import EventFolder
    from judgekit.web.desks import Served

# Beside the books of the log: no book is called so, and no backup copies it.
_FILE = "sheets.key"
_SECRET_BYTES, _LINK_BYTES = 32, 18
# Whoever reads a page again and again gets the one of a moment ago.
_KEPT_S = 15.0
_BEGINS = b"<!DOCTYPE html>"


class SheetPages:
    """Which link is whose, and the pages, made when they are asked for."""

    def __init__(self, folder: EventFolder) -> None:
        self._event = str(folder.folder.resolve())
        self._folder = folder
        secret = _secret(folder.log)
        self._links = {one.bib: _link(secret, one.bib) for one in folder.athletes}
        self._whose = {link: bib for bib, link in self._links.items()}
        self._kept: dict[str, tuple[float, bytes]] = {}
        self._alone = asyncio.Lock()

    def links(self, desk: Served, origin: str) -> list[tuple[Athlete, str]]:
        """Who stands in a desk's lanes by heats.csv, each with the own link.

        Of a team each member has one.
        """
        heat, lanes = _lanes_of(desk)
        listed = [row.bib for row in self._folder.lanes(heat) if row.lane in lanes]
        found = [
            one
            for bib in listed
            for one in self._folder.athletes
            if bib in (one.bib, one.team)
        ]
        return [(one, f"{origin}/sheet/{self._links[one.bib]}") for one in found]

    def codes(self, desk: Served, origin: str) -> dict[str, Code]:
        """The same by bib with their codes, for the screen of the desk."""
        return {
            one.bib: Code(link=link, rows=squares(link))
            for one, link in self.links(desk, origin)
        }

    async def page(self, link: str) -> bytes | None:
        """The sheet behind a link: None if there is no such link, empty if it fails."""
        bib = self._whose.get(link)
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


def squares(link: str) -> tuple[str, ...]:
    """A QR code as rows of 0 and 1, as small as it can be: 1 is dark."""
    made = segno.make(link, error="l", micro=False)
    return tuple("".join(map(str, row)) for row in made.matrix)


def code(link: str) -> str:
    """A QR code as a picture for a page: black on white, whatever is around it."""
    made = segno.make(link, error="m")
    return made.svg_inline(scale=6, border=4, dark="#000", light="#fff", omitsize=True)


def shown(one: Athlete) -> str:
    return beside_bib(one.bib, shown_name(one.name, one.show, one.bib))


def _link(secret: bytes, bib: str) -> str:
    made = hmac.digest(secret, b"sheet\n" + bib.encode(), "sha256")[:_LINK_BYTES]
    return base64.urlsafe_b64encode(made).decode()


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


def _lanes_of(desk: Served) -> tuple[str, frozenset[int]]:
    """The heat and the lanes that a desk judges; none if it judges nothing."""
    given = dict(
        argument.removeprefix("--").split("=", 1)
        for argument in desk.arguments
        if argument.startswith(("--heat=", "--lane="))
    )
    return given.get("heat", ""), frozenset(_numbers(given.get("lane", "")))


def _numbers(listed: str) -> Iterator[int]:
    """Lanes as a desk's arguments have them: "4", "1-12", "1,2,5"."""
    for part in filter(None, listed.split(",")):
        first, _, last = part.partition("-")
        yield from range(int(first), int(last or first) + 1)
