"""The Floor while its log is still being read: what was planned, and how far it is.

Nothing on it is counted: which set is under way, and the clock, only the log knows.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.phase import Now

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane
    from judgekit.ui.views.floor import FloorView

_HINT = ("space good rep", "backspace take back", "0 STOP")
_KEPT = "Keys are kept, and taken in order"


def early_view(
    lane: Lane, *, percent: int, kept: int, stopped: bool, second: bool
) -> FloorView:
    """The Floor of a planned lane with so much of its log read and so many keys kept.

    `stopped` once STOP was pressed: that is shown at the press.
    """
    names = _names(lane.plan)
    read = f"Reading the log, {percent} %."
    return replace(
        floor_view(lane, Now(heat_ms=None, second=second)),
        phase="stopped" if stopped else "before go",
        clock="",
        cap="",
        place=("",),
        movement=tuple(", ".join(names[:many]) for many in range(len(names), 0, -1)),
        no_reps=("",),
        big="",
        beside="",
        done=0,
        target=0,
        following=("",),
        calls=(),
        large=("STOP",) if stopped else (),
        banner=f"STOP. {read}" if stopped else f"{read} {_KEPT}",
        banner_kind="alarm" if stopped else "tell",
        hint=_HINT,
        saved=f"{kept} kept" if kept else "",
        small=read,
    )


def _names(plan: Plan) -> Sequence[str]:
    """Each movement of the workout once, in the order in which they come."""
    moves = (move.card for part in plan.parts for move in part.movements)
    named = {card.id: card.name.upper() for card in plan.cards}
    return [named[card] for card in dict.fromkeys(moves)]
