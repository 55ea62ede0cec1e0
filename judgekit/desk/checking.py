"""The lane check at a desk: what is open in a lane, and why it may go all the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.checkitems import items
from judgekit.core.lanecheck import LaneCheck, checks_in

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.checkitems import Gear
    from judgekit.core.entry import Entry
    from judgekit.core.press import Draft
    from judgekit.desk.sitting import Sitting


class Checking:
    """What was answered about the lanes of one sitting.

    `gear` is None where the event has no lane check: then nothing is ever open.
    """

    def __init__(self, sitting: Sitting, gear: Gear | None) -> None:
        self._sitting = sitting
        self._gear = gear

    @property
    def on(self) -> bool:
        """Whether the event has a lane check."""
        return self._gear is not None

    def of(self, number: int, earlier: Sequence[Entry] = ()) -> LaneCheck | None:
        """The check of a lane as it stands; `earlier` are this day's other heats'."""
        if self._gear is None:
            return None
        lane = self._sitting.states[number]
        now = checks_in(lane.entries)
        known = {e.ref for e in now}
        before = (
            e for e in self._sitting.checks if e.lane == number and e.ref not in known
        )
        return LaneCheck(
            items=items(lane.plan, now, self._gear),
            now=now,
            earlier=(*earlier, *before),
        )

    def going(
        self, lanes: Iterable[int], why: str
    ) -> list[tuple[int | None, Draft]] | None:
        """What is logged before go; None if a reason is due and none is given."""
        drafts: list[tuple[int | None, Draft]] = []
        for number in lanes:
            check = self.of(number)
            left = check.going(why) if check is not None else None
            if left is not None:
                drafts.append((number, self._sitting.draft(None, left)))
        return None if drafts and not why else drafts
