"""What was looked at in a lane earlier this day: in the heats before this one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.errors import JudgekitError
from judgekit.core.lanecheck import checks_in
from judgekit.store.folder import read_all

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.files.eventfolder import EventFolder


def last_checks(folder: EventFolder, heat: str, lane: int) -> tuple[Entry, ...]:
    """What the newest earlier heat of the day says about that lane's check.

    Heats are read from this one back, until one was checked. A log that cannot be
    read vouches for nothing.
    """
    here = next(row for row in folder.heats if (row.heat, row.lane) == (heat, lane))
    before = [
        row
        for row in folder.heats
        if (row.lane, row.date) == (lane, here.date) and row.start_ms < here.start_ms
    ]
    for row in sorted(before, key=lambda row: row.start_ms, reverse=True):
        try:
            copies = read_all(folder.log, row.heat)
        except JudgekitError:
            return ()
        said = checks_in(e for copy in copies for e in copy.entries if e.lane == lane)
        if said:
            return tuple(sorted(said, key=lambda e: (e.wall, e.book, e.number)))
    return ()
