"""The order so far in a heat that is under way: units done, then the earlier time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.ranking import Placed, ranked
from judgekit.core.score import Score, score
from judgekit.core.state import Lane
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from judgekit.core.counted import RankKey

# Who has left, or has done nothing that counts, has no place.
_NO_PLACE = ("waiting", "recalled", "did not start", "withdrawn", "disqualified")
_DONE = ("finished",)


@dataclass(frozen=True, slots=True, kw_only=True)
class SoFar:
    """How far a lane is, and its place among those of its heat so far.

    `rank` is None where there is nothing to place; `tied` where others share it.
    """

    lane: Lane
    score: Score
    rank: int | None
    tied: bool


def order_so_far(lanes: Sequence[Lane]) -> tuple[SoFar, ...]:
    """Each lane with its place, in the order given; divisions are placed apart.

    It is the order that the score makes once all have one. Until then who has
    finished for time is before everybody else, and the others stand by what they have
    done, then by who had done it first.
    """
    scores = [score(lane) for lane in lanes]
    placed: dict[int, Placed[int]] = {}
    groups: dict[tuple[str, str], list[int]] = {}
    for at, lane in enumerate(lanes):
        groups.setdefault((lane.plan.workout, lane.plan.division), []).append(at)
    for group in groups.values():
        keys = _keys([(lanes[at], scores[at]) for at in group])
        known = dict(zip(group, keys, strict=True))
        for place in ranked(group, known.__getitem__, lambda at: at):
            placed[place.row] = place
    return tuple(
        SoFar(
            lane=lane,
            score=scores[at],
            rank=placed[at].rank,
            tied=placed[at].tied,
        )
        for at, lane in enumerate(lanes)
    )


def _keys(group: Sequence[tuple[Lane, Score]]) -> list[RankKey | None]:
    if all(found.rank_key is not None for _, found in group):
        return [found.rank_key for _, found in group]
    return [_key(lane, found) for lane, found in group]


def _key(lane: Lane, found: Score) -> RankKey | None:
    if found.status in _NO_PLACE:
        return None
    if lane.plan.score == "time" and found.status in _DONE:
        return (0, *(found.rank_key or ()))
    done: int | Fraction = found.reps
    if lane.plan.score != "time" and found.value is not None:
        done = found.value
    return (1, -done, _since(lane)) if done > 0 else None


def _since(lane: Lane) -> int:
    """Since when the lane has done as much as it has, on its own clock."""
    return max((a.at for a in lane.work.attempts if a.counts and a.good), default=0)
