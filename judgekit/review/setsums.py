"""What sets tell together: one rule of which sets count, for every report of them.

How long a rep takes is the middle of the sets' paces, as few slow sets say little of
it. What was rested is their mean, as the middle of many unbroken sets and some long
pauses is nought. A set of one rep is in one piece whatever was done, so it tells
nothing.
"""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.review.pieces import SetPieces

_FEWEST_REPS = 2


class SetSum(NamedTuple):
    """How many sets, how many of them in one piece, and how they were done.

    `pace_ms` is None where no gap tells it, `rested_ms` is what one set has of pauses.
    """

    sets: int
    unbroken: int
    pace_ms: int | None
    rested_ms: int


def tells_pieces(one: SetPieces) -> bool:
    """Whether it counts among the sets of which pieces and pace are told."""
    return bool(one.pieces) and one.good >= _FEWEST_REPS


def set_sum(sets: Iterable[SetPieces]) -> SetSum:
    """Of those that tell their pieces."""
    told = [one for one in sets if tells_pieces(one)]
    paces = [one.pace_ms for one in told if one.pace_ms is not None]
    rested = sum(one.rested_ms for one in told)
    return SetSum(
        sets=len(told),
        unbroken=sum(len(one.pieces) == 1 for one in told),
        pace_ms=round(median(paces)) if paces else None,
        rested_ms=round(rested / len(told)) if told else 0,
    )
