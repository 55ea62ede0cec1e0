"""What is served by now: whoever is added to an event's lists has a desk at once."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.errors import InputError
from judgekit.files.walkins import LISTS, as_written
from judgekit.web.desks import served, with_lanes

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from pathlib import Path

    from judgekit.files.eventfolder import EventFolder
    from judgekit.web.desks import Served

    _Stamps = tuple[tuple[int, int, int], ...]


class Lists:
    """An event's people and heats, and the desks for them, read again as they change.

    Its workouts and settings are those of the start. A list that cannot be read, as
    while somebody writes in it, changes nothing until it can.
    """

    def __init__(self, folder: EventFolder, heats: Sequence[str] = ()) -> None:
        self.folder = folder
        self.desks = served(folder, heats)
        self._heats = heats
        self._stamps = _stamps(folder.folder)
        # Each desk by its id, as its judge had it first: PINs go by that.
        self._first = {desk.id: desk for desk in self.desks}
        # Of desks that had all lanes of their heat when they were first opened, which.
        self._had_all: dict[str, tuple[int, ...]] = {}
        self._opened: set[str] = set()
        self._alone = asyncio.Lock()

    async def look(self) -> None:
        """Read the lists again if their files have changed."""
        async with self._alone:
            stamps = _stamps(self.folder.folder)
            if stamps == self._stamps:
                return
            try:
                found = await asyncio.to_thread(as_written, self.folder)
            except (InputError, OSError):
                return
            self._stamps = stamps
            self.folder = found
            self.desks = tuple(map(self._kept, served(found, self._heats)))

    def opens(self, desk: Served) -> None:
        """Remember, as a desk is opened for the first time, whether it had them all."""
        if desk.id in self._opened:
            return
        self._opened.add(desk.id)
        if desk.lanes and _lanes(self.folder, desk.heat) == set(desk.lanes):
            self._had_all[desk.id] = desk.lanes

    def as_left(self, desk: Served, elsewhere: Collection[int]) -> Served:
        """A desk with the lanes that it had when it was left, whoever opens it now.

        Who walks in is taken in at the desk that has all lanes of the heat, even if
        that is one; so it has all of its judge's lanes still, but for those that came
        later and are judged at a desk of their own, `elsewhere`.
        """
        had = self._had_all.get(desk.id)
        if had is None:
            return desk
        rows = self.folder.lanes(desk.heat)
        judges = {row.judge for row in rows if row.lane in desk.lanes}
        its = {row.lane for row in rows if row.judge in judges}
        return with_lanes(desk, sorted(its - set(elsewhere).difference(had)))

    def _kept(self, desk: Served) -> Served:
        """A desk that got more lanes keeps its PIN: its judge knows that one."""
        first = self._first.setdefault(desk.id, desk)
        if first.judge != desk.judge:
            first = self._first[desk.id] = desk
        grown = set(first.lanes) <= set(desk.lanes)
        return replace(desk, pin=first.pin) if grown else desk


def _lanes(folder: EventFolder, heat: str) -> set[int]:
    return {row.lane for row in folder.lanes(heat)}


def _stamps(folder: Path) -> _Stamps:
    """What changes whenever one of the lists does."""
    return tuple(_stamp(folder / name) for name in LISTS)


def _stamp(path: Path) -> tuple[int, int, int]:
    try:
        found = path.stat()
    except OSError:
        return 0, 0, 0
    return found.st_ino, found.st_mtime_ns, found.st_size
