"""One work that two judges count: the other book made a lane, and the score of both."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from judgekit.core.entry import Rule
from judgekit.core.lane import fold
from judgekit.core.looking import is_over
from judgekit.core.ruling import Close, RepsInSet, RestoreAttempt, StartBy, StatusIs
from judgekit.core.score import Score, score
from judgekit.core.status import cap_of, missing
from judgekit.core.writing import set_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.plan import SetKey
    from judgekit.core.runs import Run
    from judgekit.core.state import Lane, SetDone, Work

K = TypeVar("K")
ALONE = "one judge of two counted"
DIFFER = "the two judges differ: a ruling, or the second sheet anew, settles it"
_SETTLES = (Close, StatusIs)


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
    if second is None:
        alone = score(lane, wall)
        return replace(alone, provisional=(*alone.provisional, ALONE))
    found = score(lower_of(lane, second), wall)
    if not _is_unsettled(lane, second):
        return found
    why = f"{DIFFER} ({differ_words(lane, second)})"
    return replace(found, provisional=(*found.provisional, why))


def counted_by_both(lane: Lane, beside: Sequence[Entry]) -> Lane:
    """The lane as it counts; `beside` is the second judge's log, if there is one."""
    return lower_of(lane, second_lane(lane, beside)) if beside else lane


def shown_of_each(lane: Lane, second: Lane) -> tuple[str, str]:
    """What either judge's count comes to by itself."""
    return score(_timed(lane, second)).shown, score(_timed(second, lane)).shown


def differences(lane: Lane, second: Lane) -> Iterator[tuple[SetKey, int, int]]:
    """The sets of which two judges have another count, with both counts."""
    mine = {done.key: done.good for done in lane.work.sets}
    theirs = {done.key: done.good for done in second.work.sets}
    for key in sorted(mine.keys() | theirs.keys()):
        one, other = mine.get(key, 0), theirs.get(key, 0)
        if one != other:
            yield key, one, other


def differ_words(lane: Lane, second: Lane) -> str:
    """The same in words, the first judge's count before the second's."""
    return "; ".join(
        f"{set_words(lane.plan, key)}: {one} and {other}"
        for key, one, other in differences(lane, second)
    )


def _is_unsettled(lane: Lane, second: Lane) -> bool:
    """Whether one has all work done and the other one not, and nobody has ruled on it.

    The lower count holds even so, but nobody whose work one of two judges saw done
    loses a time without a head judge's word. Other differences the rule itself settles.
    """
    through = is_over(lane) and is_over(second)
    return through and done_for_one(lane, second) and not _is_settled(lane)


def done_for_one(lane: Lane, second: Lane) -> bool:
    """Whether only one of two judges counted all of the work for time."""
    by_time = lane.plan.score == "time"
    return by_time and (missing(lane) == 0) != (missing(second) == 0)


def _is_settled(lane: Lane) -> bool:
    return any(isinstance(ruling.rule.effect, _SETTLES) for ruling in lane.rulings)


# --- the lower of both ---------------------------------------------------------------


def lower_of(lane: Lane, second: Lane) -> Lane:
    """One work that two judges counted: of each set the lower count, the later time."""
    if lane.plan.team.judges == 1:
        return lane
    mine, other = lane.work, second.work
    theirs = {s.key: s for s in other.sets}
    sets = tuple(_lower(s, theirs[s.key]) for s in mine.sets if s.key in theirs)
    work = replace(
        mine,
        sets=sets,
        part_ends=_later(mine.part_ends, other.part_ends),
        round_ends=tuple(
            (part, round_, at)
            for (part, round_), at in _later(_ends(mine), _ends(other))
        ),
        done_ms=_both(mine.done_ms, other.done_ms),
    )
    found = _timed(replace(lane, work=work, onward=None), second, lane)
    return replace(found, over_ms=_over_ms(found, lane, second))


def _timed(lane: Lane, *others: Lane) -> Lane:
    """A lane that a ruling made full, with the time at which others saw it done."""
    if lane.plan.score != "time" or missing(lane) or lane.work.done_ms is not None:
        return lane
    done_ms = _latest(*(other.work.done_ms for other in others))
    return replace(lane, work=replace(lane.work, done_ms=done_ms))


def _over_ms(found: Lane, lane: Lane, second: Lane) -> int | None:
    """When work ended that one judge saw done and the other one not.

    Once both are through, nobody can do what is left: it was not done by the cap
    either, where there is one. A head judge who closes the scorecard ends it, too; one
    that the first judge and the athlete have signed may still lack the second's reps.
    """
    done_ms = _latest(lane.work.done_ms, second.work.done_ms)
    through = _is_settled(lane) or (is_over(lane) and is_over(second))
    if done_ms is None or found.work.done_ms is not None or not through:
        return lane.over_ms
    return _latest(done_ms, lane.over_ms, second.over_ms, cap_of(found))


def _lower(one: SetDone, other: SetDone) -> SetDone:
    good = min(one.good, other.good)
    done_ms = _both(one.done_ms, other.done_ms)
    if good == one.target:
        done_ms = _latest(one.done_ms, other.done_ms)
    return replace(
        one,
        good=good,
        no_reps=max(one.no_reps, other.no_reps),
        last_ms=_latest(one.last_ms, other.last_ms),
        done_ms=done_ms,
    )


def _latest(*times: int | None) -> int | None:
    """The latest of the times that are known."""
    return max((ms for ms in times if ms is not None), default=None)


def _both(one: int | None, other: int | None) -> int | None:
    """The later of two times; None unless both are there."""
    return None if one is None or other is None else max(one, other)


def _ends(work: Work) -> list[tuple[tuple[int, int], int]]:
    return [((part, round_), at) for part, round_, at in work.round_ends]


def _later(
    ones: Iterable[tuple[K, int]], others: Iterable[tuple[K, int]]
) -> tuple[tuple[K, int], ...]:
    second = dict(others)
    return tuple((k, max(at, second[k])) for k, at in ones if k in second)
