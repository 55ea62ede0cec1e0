"""The rows of lanes, of which only those are made anew that can have changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.ui.views.many import LaneRow, lane_row

if TYPE_CHECKING:
    from judgekit.ui.views.phase import Now

_SECOND_MS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class _Made:
    """A row, and what it was made of: the lane, the second, and the rest."""

    lane: Lane
    second: int | None
    of: tuple[object, ...]
    row: LaneRow


class LaneRows:
    """Making twelve rows with each key would cost more than painting them."""

    def __init__(self) -> None:
        self._made: dict[int, _Made] = {}

    def row(self, lane: Lane, now: Now, key: str, open_items: int) -> LaneRow:
        """A lane's row; what a second can change is looked at once a second."""
        number = lane.plan.lane
        second = None if now.heat_ms is None else now.heat_ms // _SECOND_MS
        of = key, open_items, now.stop_ms, now.waiting
        made = self._made.get(number)
        if (
            made is None
            or made.lane is not lane
            or (made.second, made.of) != (second, of)
        ):
            row = lane_row(lane, now, key, open_items)
            made = _Made(lane=lane, second=second, of=of, row=row)
            self._made[number] = made
        return made.row

    def forget(self, number: int) -> None:
        """Make a lane's row anew: something in it goes between two seconds."""
        self._made.pop(number, None)
