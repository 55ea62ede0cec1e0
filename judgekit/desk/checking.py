"""The lane check at a desk: what is open in a lane, and why it may go all the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.checkentry import Check
from judgekit.core.checkitems import REACH, items
from judgekit.core.lanecheck import LaneCheck

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
        known = [e for e in self._sitting.checks if e.lane == number]
        run = lane.entries
        now = tuple(e for e in known if e in run or (_is_of(e, run) and _stays(e)))
        before = tuple(e for e in known if e not in now)
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


def _stays(entry: Entry) -> bool:
    """Whether a recall leaves it: all but a reach and the marks that it makes.

    What a reach comes to is decided from the run's own entries.
    """
    body = entry.body
    if not isinstance(body, Check):
        return True
    return body.item != REACH and " above reach " not in body.planned


def _is_of(entry: Entry, run: Sequence[Entry]) -> bool:
    """Whether it was said in this run, or in its book since it was claimed.

    A recall sends everybody back; what was looked at stays looked at.
    """
    first = run[0] if run else None
    if first is not None and entry.book == first.book:
        return entry.number > first.number
    return entry in run
