"""What changed for an athlete since the last event: faults and scores, then and now.

Rates are compared with their interval, and by how likely chance alone is, raised for
how many faults are compared.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.reports.names import scaled_words
from judgekit.review.attempts import LaneRows
from judgekit.review.differences import (
    Count,
    Difference,
    chance_alone,
    difference,
)
from judgekit.review.judged import is_told
from judgekit.review.lessons import Lesson, Made, lessons, seen
from judgekit.review.many import adjusted
from judgekit.review.sessions import BELIEVED

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.score import Score
    from judgekit.core.state import Lane
    from judgekit.reports.sheet import Worked
    from judgekit.review.lessons import Seen

OPEN = "still open"
FEW = "too few tries to tell"
_MINUS = "\u2212"
# An interval as wide as that in all leaves no room for a change that matters much.
_NARROW = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class PastScore:
    """A workout's score at the last event, as it stands, and of which kind it is."""

    workout: str
    revision: int
    score: str
    kind: str = "judged"


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What one person did at the last event before this one."""

    event: str
    date: str
    lanes: tuple[LaneRows, ...]
    scores: tuple[PastScore, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """One fault then and now: "3 of 33 tries", "5 of 40 tries", what that tells.

    `says` has it in words.
    """

    movement: str
    call: str
    now: str
    then: str
    tells: str
    says: str


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
    faults = list(_all_changed(wanted.values(), now, then))
    scores = tuple(_scores(before, worked))
    if not faults and not scores:
        return None
    return Since(
        event=before.event, date=before.date, faults=tuple(faults), scores=scores
    )


class _Compared(NamedTuple):
    """One fault's counts, now and then."""

    lesson: Lesson
    mine: Count
    theirs: Count
    apart: Difference


def _all_changed(
    lessons_: Iterable[Lesson], now: Seen, then: Seen
) -> Iterator[Changed]:
    """Every fault that can be compared; the more there are, the surer one must be."""
    found = []
    for lesson in lessons_:
        made = Made(lesson.card, lesson.fault, "judged", rated=True)
        mine, theirs = _count(made, now), _count(made, then)
        apart = difference(mine, theirs)
        if apart is not None:
            found.append(_Compared(lesson, mine, theirs, apart))
    chances = adjusted([chance_alone(one.mine, one.theirs) for one in found])
    told = [
        (_tells(one.apart, is_sure=chance <= BELIEVED), one)
        for one, chance in zip(found, chances, strict=True)
    ]
    for tells, one in sorted(told, key=lambda of: (of[0] == FEW, of[1].apart.by)):
        yield _changed(one, tells)


def _tells(apart: Difference, *, is_sure: bool) -> str:
    if apart.is_clear and is_sure:
        return "fewer" if apart.by < 0 else "more"
    narrow = apart.high - apart.low <= _NARROW
    return "no clear change" if narrow else FEW


def _changed(one: _Compared, tells: str) -> Changed:
    lesson, mine, theirs, apart = one
    now, then = _of(mine), _of(theirs)
    if tells == FEW:
        says = f"{_many(theirs)} last time, {_many(mine)} now ({_few(mine, theirs)})"
    else:
        tells += f" ({_points(apart.low)} to {_points(apart.high)} in 100 tries)"
        says = f"{now}, last time {then}: {tells}"
    return Changed(
        movement=lesson.movement,
        call=lesson.call,
        now=now,
        then=then,
        tells=tells,
        says=says,
    )


def _many(count: Count) -> str:
    return str(count.hits or "none")


def _few(mine: Count, theirs: Count) -> str:
    """In how many tries, which are few: nobody can tell by how much it changed."""
    of = f"{theirs.tries} and {mine.tries} tries"
    if mine.tries == theirs.tries:
        of = f"{mine.tries} {'try' if mine.tries == 1 else 'tries'} each time"
    return f"{of}, few"


def _count(made: Made, found: Seen) -> Count:
    of = made._replace(fault="")
    return Count(found.made.get(made, 0), found.made.get(of, 0))


def _of(count: Count) -> str:
    return f"{count.hits} of {count.tries} {'try' if count.tries == 1 else 'tries'}"


def _points(rate: float) -> str:
    """A difference of rates in hundredths, with its sign."""
    many = round(100 * rate)
    return f"{_MINUS if many < 0 else '+' if many > 0 else ''}{abs(many)}"


def kind_of(lane: Lane, of: Score) -> str:
    """How a score came about: only those of one kind are compared, open ones never.

    Time for questions is none that a score of the past still waits for.
    """
    if of.provisional:
        return OPEN
    if is_told(lane):
        return "reported"
    return scaled_words(lane.plan) or "judged"


def _scores(before: Before, worked: Sequence[Worked]) -> Iterator[str]:
    """Workouts done both times in the same revision."""
    known = {(one.workout, one.revision): one for one in before.scores}
    for one in worked:
        plan, score = one.lane.plan, one.place.row.score
        old = known.get((plan.workout, plan.revision))
        if old is None or score.value is None:
            continue
        kind = OPEN if score.may_change else kind_of(one.lane, score)
        if kind == old.kind != OPEN:
            yield f"{plan.workout_name}: {score.detail}, last time {old.score}"
        else:
            why = f"{kind} now, {old.kind} then"
            yield f"{plan.workout_name}: not compared with last time ({why})"
