"""What is served by now: whoever is added to an event's lists has a desk at once."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.errors import InputError
from judgekit.files.walkins import LISTS, as_written
from judgekit.web.desks import served

if TYPE_CHECKING:
    from collections.abc import Sequence
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
        # Each desk as it was first, by its id: PINs go by that.
        self._first = {desk.id: desk for desk in self.desks}
        self._began = {heat: _lanes(folder, heat) for heat in folder.heat_names()}
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

    def come_back_to(self, desk: Served) -> Served:
        """A desk as a page that lost its line finds it again.

        Who walked in was taken in at the desk that had all lanes of the heat, even if
        that was one; so it has all lanes still.
        """
        now = _lanes(self.folder, desk.heat)
        if not desk.lanes or self._began.get(desk.heat) != set(desk.lanes):
            return desk
        whole = (one for one in self.desks if one.heat == desk.heat)
        same = next((one for one in whole if set(one.lanes) == now), desk)
        return replace(desk, arguments=same.arguments)

    def _kept(self, desk: Served) -> Served:
        """A desk that got more lanes keeps its PIN: its judge knows that one."""
        first = self._first.setdefault(desk.id, desk)
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
