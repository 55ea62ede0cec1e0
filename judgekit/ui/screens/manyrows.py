"""The picture of several lanes: rows made anew only where they can have changed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.state import Lane
from judgekit.core.status import class_over_ms
from judgekit.core.values import dataclass
from judgekit.ui.manykeys import TWO
from judgekit.ui.views.floor import CLASS_OVER, floor_view
from judgekit.ui.views.many import (
    Choosing,
    LaneRow,
    clock_of,
    early_rows,
    lane_row,
    many_view,
    own_start,
)
from judgekit.ui.views.phase import Now

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.desk import Coming, Desk
    from judgekit.ui.manykeys import ManyKeys
    from judgekit.ui.screens.early import Early
    from judgekit.ui.screens.heard import Standing
    from judgekit.ui.views.floor import FloorView
    from judgekit.ui.views.many import ManyView

_SECOND_MS = 1000
_LISTED = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class _Made:
    """A row, and what it was made of: the lane, the second, and the rest."""

    lane: Lane
    second: int | None
    of: tuple[object, ...]
    row: LaneRow


class Picture:
    """Making twelve rows with each key would cost more than painting them."""

    def __init__(self, keys: ManyKeys, standing: Standing) -> None:
        self._keys = keys
        self._standing = standing
        self._made: dict[int, _Made] = {}
        # What of the equipment several lanes have to share, in words.
        self.shared = ""

    def view(self, desk: Desk, front: int, now_of: Callable[[int], Now]) -> ManyView:
        """All lanes of a desk; `front` is the lane that stands for them."""
        view = many_view(
            [self._row(desk, number, now_of(number)) for number in desk.lanes],
            self._front(desk, front, now_of),
            Choosing(
                pages=(self._keys.page + 1, self._keys.pages),
                chosen=self._keys.chosen,
                asks=self._asks(),
                last=self._keys.last_lane(desk.clock.boot_ms()),
                answers=self._keys.first_to_answer,
                reported=desk.lane(front).plan.watching == "reported",
            ),
            self.shared,
        )
        if len(desk.lanes) != TWO:
            return view
        pair = (floor_view(desk.lane(number), now_of(number)) for number in desk.lanes)
        return replace(view, pair=tuple(pair))

    def _front(self, desk: Desk, front: int, now_of: Callable[[int], Now]) -> FloorView:
        """The lane that stands for all, under the heat's own clock and cap."""
        now = now_of(front)
        view = replace(floor_view(desk.lane(front), now), clock=clock_of(now.heat_ms))
        lanes = [desk.lane(number) for number in desk.lanes]
        if any(class_over_ms(lane) is not None for lane in lanes):
            return replace(view, cap=CLASS_OVER)
        on_time = next((lane for lane in lanes if not own_start(lane)), None)
        if on_time is None or not own_start(desk.lane(front)):
            return view
        return replace(view, cap=floor_view(on_time, now).cap)

    def early(self, coming: Coming, early: Early) -> ManyView:
        """All planned lanes while their log is read."""
        lanes = [coming.lane(number) for number in coming.lanes]
        read = f"Reading the log, {early.percent} %."
        return many_view(
            early_rows(lanes, self._keys.digit_of),
            floor_view(lanes[0], Now(heat_ms=None, second=coming.second)),
            Choosing(
                pages=(1, self._keys.pages),
                asks=f"STOP. {read}" if early.stopped else f"{read} Keys are kept",
            ),
        )

    def forget(self, number: int) -> None:
        """Make a lane's row anew: something in it goes between two seconds."""
        self._made.pop(number, None)

    def _row(self, desk: Desk, number: int, now: Now) -> LaneRow:
        lane = desk.lane(number)
        key = self._keys.digit_of(number)
        second = None if now.heat_ms is None else now.heat_ms // _SECOND_MS
        items = 0 if lane.started else open_items(desk, number)
        of = key, items, now.stop_ms, now.waiting, now.stopped_days
        made = self._made.get(number)
        same = made is not None and made.lane is lane
        if made is None or not same or (made.second, made.of) != (second, of):
            row = lane_row(lane, now, key, items)
            made = _Made(lane=lane, second=second, of=of, row=row)
            self._made[number] = made
        to = self._standing.lost.get(number)
        if to is None:
            return made.row
        return replace(made.row, kind="over", says=(f"- {to} judges", "- lost"))

    def _asks(self) -> str:
        waiting = self._keys.waiting
        if not waiting:
            return ""
        if self._keys.asks_stop:
            return "STOP, all frozen. Whose? Press a digit"
        keys = " ".join(one.words for one in waiting[-_LISTED:])
        if self._keys.types:
            return f"{keys}   How many? enter, then its lane"
        if self._keys.waits_for_more:
            return f"{keys}   Which lane? A digit; w again: all"
        return f"{keys}   Which lane? Press its digit; escape drops it"


def open_items(desk: Desk, number: int) -> int:
    """How many items of a lane's check are open and unexplained."""
    check = desk.lane_check(number)
    return 0 if check is None else len(check.unexplained)
