"""How sets were done over a season, and what no-reps took, by any set of words."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from judgekit.review.lost import Span

# Fewer sets than this say little of somebody's pace.
FEW_SETS = 5


class SetGroup(NamedTuple):
    """Sets of one group; `of` has the value of each word asked for, an id.

    `sets` of two reps or more have pieces, and `untold` have none. `unbroken` were done
    in one piece; of `advised` it is known whether they were done as the workout
    advises, `as_advised` were. `pace_ms` is the middle one of their paces, `rested_ms`
    are all of their pauses.
    """

    of: tuple[str, ...]
    sets: int
    untold: int
    unbroken: int
    advised: int
    as_advised: int
    pace_ms: int | None
    breaks: int
    rested_ms: int
    athletes: int


class LostGroup(NamedTuple):
    """No-reps of one group, and what those took that have times: an estimate."""

    of: tuple[str, ...]
    no_reps: int
    timed: int
    lost: Span
    athletes: int
