"""Pads of a Floor of several lanes: one chooses the lane, the others are about it.

An act that comes first waits for its lane's pad, as one by a key waits for a digit.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.ui.actions import ALL_PAD
from judgekit.ui.views.pads import (
    GOOD_ROWS,
    LESS,
    MORE,
    SMALL_ROWS,
    Pad,
    PadRow,
    lane_grid,
    lane_pad,
    panel_board,
    thumb,
    thumb_row,
    upper_board,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.ui.views.floor import CallRow, FloorView
    from judgekit.ui.views.many import LaneRow, ManyView
    from judgekit.ui.views.pads import Board, PadKind
    from judgekit.ui.widgets.laying import Over

# What takes an act back for which no lane was named.
_DROP = Pad(key="escape", says=("DROP", "IT"), kind="call")
_ALL = Pad(key=ALL_PAD, says=("all lanes",))
# Own keys of two lanes: the left one's, then the right one's.
_TWO_NO_REPS, _TWO_GOOD = ("x", "."), ("z", ",")


def many_board(
    view: ManyView,
    front: FloorView,
    calls: Sequence[CallRow],
    over: Over,
    page: str,
    *,
    asks: bool = False,
) -> Board:
    """The pads of the moment; `front` is the Floor of the lane that they are about.

    `asks`: a question stands that YES answers.
    """
    asked = panel_board(front, over)
    if asked:
        return asked
    if view.chosen is None and front.phase in ("stopped", "absent", "over", "accepted"):
        # None of these words is about all the lanes.
        front = replace(front, phase="work", hint=())
    each = lane_grid([_lane(row, view) for row in sorted(view.rows, key=_number)])
    upper = upper_board(calls, over, page, (_ALL,))
    if view.pair:
        more = *upper, thumb_row(front, page, asks=asks), *_of_two(view)
    else:
        more = *upper, *thumb(front, page, asks=asks)
    return *each, *(map(_with_drop, more) if view.asks else more)


def _with_drop(row: PadRow) -> PadRow:
    """What takes the waiting acts back is where MORE is: no other pad moves."""
    pads = (_DROP if pad.key in (MORE, LESS) else pad for pad in row.pads)
    return replace(row, pads=tuple(pads))


def _of_two(view: ManyView) -> Board:
    """Good rep and no rep for each of two lanes, in the lane's own half."""
    numbers = sorted(row.lane for row in view.rows)
    no_reps = (
        Pad(key=key, says=(f"NO REP {number}",), kind="call")
        for key, number in zip(_TWO_NO_REPS, numbers, strict=True)
    )
    good = (
        Pad(key=key, says=(f"GOOD REP {number}",), kind="good")
        for key, number in zip(_TWO_GOOD, numbers, strict=True)
    )
    return (
        PadRow(pads=tuple(no_reps), rows=SMALL_ROWS),
        PadRow(pads=tuple(good), rows=GOOD_ROWS),
    )


def _number(row: LaneRow) -> int:
    return row.lane


def _lane(row: LaneRow, view: ManyView) -> Pad:
    """A lane by its number and who is in it; lit while it is asked for, or chosen."""
    kind: PadKind = "stop" if row.phase == "stopped" else "plain"
    if row.lane == view.chosen or view.asks:
        kind = "ask"
    return lane_pad(row.lane, row.athlete[-1], kind)
