"""Heats as somebody who looks on has them, made of lanes under a judge's keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.desk.onlooker import HeatSeen, Zero
from judgekit.store.reading import LaneRead
from judgekit.ui.views.heats import Moment
from tests.support import ZERO_WALL, Played

if TYPE_CHECKING:
    from judgekit.core.state import Lane

BOOT = "boot"


def read(lane: Lane) -> LaneRead:
    return LaneRead(
        heat=lane.plan.heat, number=lane.plan.lane, runs=(), run=None, lane=lane
    )


def heat(
    name: str, *lanes: Played, late: int = 0, planned: int = ZERO_WALL
) -> HeatSeen:
    """A heat whose zero is the fixed one of `Played`, if any of its lanes has begun."""
    begun = any(one.lane.started for one in lanes)
    walls = [e.wall for one in lanes for e in one.entries]
    return HeatSeen(
        heat=name,
        planned_ms=planned - late,
        lanes=tuple(read(one.lane) for one in lanes),
        zero=Zero(boot=BOOT, boot_ms=0, wall_ms=ZERO_WALL) if begun else None,
        last_ms=max(walls, default=0),
    )


def at(seconds: float) -> Moment:
    """So many seconds after zero."""
    ms = round(seconds * 1000)
    return Moment(boot=BOOT, boot_now=ms, wall_now=ZERO_WALL + ms)
