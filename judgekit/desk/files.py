"""What a heat's files say to a desk: who stands in a lane, and the plan of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.errors import BookError
from judgekit.core.setup import bib_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.people import HeatLane
    from judgekit.core.plan import Plan
    from judgekit.files.eventfolder import EventFolder


class Files:
    """One heat of an event's folder, as a desk asks about it."""

    def __init__(self, folder: EventFolder, heat: str) -> None:
        self._folder = folder
        self._heat = heat

    def plan_of(self, lane: int, day: Sequence[Entry]) -> Plan:
        """The plan of a lane after the day's entries; InputError if it has none."""
        return self._folder.plan_of(row_of(self._folder, self._heat, lane), day)

    def bib_in(self, lane: int, day: Sequence[Entry]) -> str:
        """Whose bib stands in a lane by then; BookError where there is no lane."""
        return bib_in(row_of(self._folder, self._heat, lane), day)


def row_of(folder: EventFolder, heat: str, lane: int) -> HeatLane:
    """The heat list's row of a lane; BookError where there is none."""
    rows = folder.lanes(heat)
    for row in rows:
        if row.lane == lane:
            return row
    known = ", ".join(str(row.lane) for row in rows) or "none"
    raise BookError(f"heat {heat} has no lane {lane} in heats.csv; it has {known}")
