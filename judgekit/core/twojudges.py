"""One work that two judges count: the other book made a lane, and the score of both."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import Rule
from judgekit.core.lane import fold
from judgekit.core.ruling import RepsInSet, RestoreAttempt, StartBy
from judgekit.core.score import Score, score
from judgekit.core.teams import lower_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.runs import Run
    from judgekit.core.state import Lane

ALONE = "one judge of two counted"


def second_counting(runs: Sequence[Run]) -> Run | None:
    """The run in which the second judge counts: the newest of theirs that started."""
    theirs = [run for run in runs if run.source == "second" and run.started]
    return theirs[-1] if theirs else None


def second_lane(lane: Lane, entries: Sequence[Entry]) -> Lane:
    """The second judge's lane, with what was ruled on the first one's.

    A ruling moves the score, whichever of the two counts that is: reps ruled and a
    start moved are so in both, and an attempt that counts after all counts in both. One
    that does not is taken off the first one's alone, as the lower count holds.
    """
    return fold(lane.plan, (*entries, *_ruled_on_both(lane)))


def _ruled_on_both(lane: Lane) -> Iterator[Entry]:
    attempts = {attempt.ref: attempt for attempt in lane.work.attempts}
    for entry in lane.entries:
        body = entry.body
        if not isinstance(body, Rule):
            continue
        if isinstance(body.effect, RepsInSet | StartBy):
            yield entry
        elif isinstance(body.effect, RestoreAttempt):
            attempt = attempts.get(body.effect.target)
            if attempt is not None:
                effect = RepsInSet(set=attempt.set, by=attempt.n)
                yield replace(entry, body=replace(body, effect=effect))


def score_of_both(lane: Lane, second: Lane | None, wall: int | None = None) -> Score:
    """The score of a lane, where two judges are to count it the lower of both."""
    if lane.plan.team.judges == 1:
        return score(lane, wall)
    if second is not None:
        return score(lower_of(lane, second), wall)
    alone = score(lane, wall)
    return replace(alone, provisional=(*alone.provisional, ALONE))
