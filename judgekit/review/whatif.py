"""What if a ruling went the other way: scores and places as they would be then.

Every open question and every ruling of a division has its other answer; the lane is
folded anew with it, and the division ranked again by the same rules.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Literal

from judgekit.core import disputing
from judgekit.core.entry import Correct, Dispute, Entry, Horn, Rule
from judgekit.core.lane import evolve, fold
from judgekit.core.ruling import Close, Reopen, RestoreAttempt, RunCounts, Stands
from judgekit.core.score import Score
from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.review.judged import missed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.core.entry import Body
    from judgekit.core.ruling import Ref

Question = Literal["ruling", "dispute", "horn", "no-rep", "correction"]
Ranked = tuple[Score, int | None]
Rank = Callable[[Sequence[Lane]], Sequence[Ranked]]
_NO_SCORE = (Reopen, Close, RunCounts, Stands)


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Whose place changes, and between which two; None is no place."""

    bib: str
    before: int | None
    after: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Otherwise:
    """The other answer to one question about a lane, and what it would change.

    A "ruling" not made, a "dispute" granted, a rep at the "horn" found in time; of
    one lane also a "no-rep" that counts, or a "correction" not made.
    """

    question: Question
    lane: Lane
    entry: Entry
    before: Score
    after: Score
    moves: tuple[Move, ...]


def otherwise(
    lanes: Sequence[Lane], rank: Rank, *, judged: Lane | None = None
) -> tuple[Otherwise, ...]:
    """Every question about the lanes of one workout and division, answered otherwise.

    In the order of the lanes and of their logs. The lanes are those that are ranked
    together; nothing else changes their places. `rank` gives the score and the place
    of each. Of the lane `judged` no-reps and corrections are questions, too.
    """
    now = rank(lanes)
    found = []
    for index, lane in enumerate(lanes):
        calls = _calls(lane) if lane is judged else ()
        for question, entry, other in (*_alternatives(lane), *calls):
            then = rank([*lanes[:index], other, *lanes[index + 1 :]])
            found.append(
                Otherwise(
                    question=question,
                    lane=lane,
                    entry=entry,
                    before=now[index][0],
                    after=then[index][0],
                    moves=_moves(lanes, now, then),
                )
            )
    return tuple(found)


def _moves(
    lanes: Sequence[Lane], before: Sequence[Ranked], after: Sequence[Ranked]
) -> tuple[Move, ...]:
    return tuple(
        Move(bib=lane.plan.bib, before=was, after=now)
        for lane, (_, was), (_, now) in zip(lanes, before, after, strict=True)
        if was != now
    )


def _alternatives(lane: Lane) -> Iterator[tuple[Question, Entry, Lane]]:
    """Each question, the entry it is about, and the lane with the other answer."""
    unruled = {entry.ref for entry in disputing.unruled(lane)}
    for entry in lane.entries:
        body = entry.body
        if isinstance(body, Rule) and not isinstance(body.effect, _NO_SCORE):
            yield "ruling", entry, _without(lane, entry.ref)
        elif isinstance(body, Dispute) and body.claims and entry.ref in unruled:
            granted = Rule(effect=body.claims, why=body.about)
            yield "dispute", entry, _with(lane, granted)
        elif entry.ref in lane.horn_asks:
            yield "horn", entry, _with(lane, Horn(target=entry.ref, counts=True))


def _calls(lane: Lane) -> Iterator[tuple[Question, Entry, Lane]]:
    """What the judge called, as if it had been called otherwise."""
    standing = {attempt.ref for attempt in missed(lane)}
    for entry in lane.entries:
        if entry.ref in standing:
            effect = RestoreAttempt(target=entry.ref)
            yield "no-rep", entry, _with(lane, Rule(effect=effect, why=""))
        elif isinstance(entry.body, Correct):
            yield "correction", entry, _without(lane, entry.ref)


def _without(lane: Lane, ref: Ref) -> Lane:
    return fold(lane.plan, (e for e in lane.entries if e.ref != ref))


def _with(lane: Lane, body: Body) -> Lane:
    """The lane with one more entry, as if it were written last."""
    last = lane.entries[-1]
    entry = Entry(
        book=last.book,
        number=max(e.number for e in lane.entries if e.book == last.book) + 1,
        lane=lane.plan.lane,
        at=last.at,
        wall=max(e.wall for e in lane.entries),
        who="",
        set=None,
        body=body,
    )
    return evolve(lane, entry)
