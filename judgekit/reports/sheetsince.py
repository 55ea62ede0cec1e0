"""What changed for an athlete since the last event: faults and scores, then and now.

Rates are compared with their interval; where it holds zero nobody can tell.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.review.attempts import LaneRows
from judgekit.review.differences import Count, difference
from judgekit.review.lessons import Made, lessons, seen

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.reports.sheet import Worked
    from judgekit.review.lessons import Lesson, Seen

_MINUS = "\u2212"


@dataclass(frozen=True, slots=True, kw_only=True)
class PastScore:
    """A workout's score at the last event, as it stands."""

    workout: str
    revision: int
    score: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What one person did at the last event before this one."""

    event: str
    date: str
    lanes: tuple[LaneRows, ...]
    scores: tuple[PastScore, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """One fault then and now: "3 of 33 tries", "5 of 40 tries", what that tells."""

    movement: str
    call: str
    now: str
    then: str
    tells: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Since:
    """Which event was the last one, and what changed; `scores` are lines."""

    event: str
    date: str
    faults: tuple[Changed, ...]
    scores: tuple[str, ...]


def since(before: Before, worked: Sequence[Worked], now: Seen) -> Since | None:
    """What changed since the last event; None where nothing can be compared.

    The faults that stand out now are compared, and those that stood out then; only
    where every try was judged, both times.
    """
    then = seen(before.lanes)
    wanted = {(one.card, one.fault): one for one in (*lessons(now), *lessons(then))}
    faults = [one for lesson in wanted.values() for one in _changed(lesson, now, then)]
    scores = tuple(_scores(before, worked))
    if not faults and not scores:
        return None
    return Since(
        event=before.event, date=before.date, faults=tuple(faults), scores=scores
    )


def _changed(lesson: Lesson, now: Seen, then: Seen) -> Iterator[Changed]:
    made = Made(lesson.card, lesson.fault, "judged", rated=True)
    mine, theirs = _count(made, now), _count(made, then)
    apart = difference(mine, theirs)
    if apart is None:
        return
    if not apart.is_clear:
        tells = "too few tries to tell"
    else:
        tells = "fewer" if apart.by < 0 else "more"
    yield Changed(
        movement=lesson.movement,
        call=lesson.call,
        now=_of(mine),
        then=_of(theirs),
        tells=f"{tells} ({_points(apart.low)} to {_points(apart.high)} in 100 tries)",
    )


def _count(made: Made, found: Seen) -> Count:
    of = made._replace(fault="")
    return Count(found.made.get(made, 0), found.made.get(of, 0))


def _of(count: Count) -> str:
    return f"{count.hits} of {count.tries} tries"


def _points(rate: float) -> str:
    """A difference of rates in hundredths, with its sign."""
    many = round(100 * rate)
    return f"{_MINUS if many < 0 else '+' if many > 0 else ''}{abs(many)}"


def _scores(before: Before, worked: Sequence[Worked]) -> Iterator[str]:
    """Workouts done both times in the same revision."""
    known = {(one.workout, one.revision): one.score for one in before.scores}
    for one in worked:
        plan, score = one.lane.plan, one.place.row.score
        old = known.get((plan.workout, plan.revision))
        if old and score.value is not None:
            yield f"{plan.workout_name}: {score.detail}, last time {old}"
