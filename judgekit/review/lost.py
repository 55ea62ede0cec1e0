"""How much time each no-rep took, as a range: an estimate, as nobody did it twice.

A no-rep costs its own try, and what the athlete was slower at the next one. Both were
timed; what is not known of them is taken to be as usual. At least it cost the quickest
of the two tries and the usual one, at most the slowest with all of the delay. A pause
after the no-rep may have come of it: all of it is in the high end, half in the middle.
One before it came of something else, and is in none. What the try more may have slowed
down all that came after it is in the high end alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.review.tired import tiring_ms

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from judgekit.core.plan import SetKey
    from judgekit.review.attempts import LaneRows, SetFacts
    from judgekit.review.pieces import LanePieces, SetPieces
    from judgekit.review.steps import Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """An estimate in ms: at least, in the middle, at most."""

    low: int = 0
    middle: int = 0
    high: int = 0


class Lost(NamedTuple):
    """A no-rep, and what it took; None where no time is known.

    `pressed` is when, as its attempt has it.
    """

    set: SetFacts
    faults: tuple[str, ...]
    ms: Span | None
    pressed: int = 0


def added(spans: Iterable[Span]) -> Span:
    """Estimates added up, end by end."""
    every = list(spans)
    return Span(
        low=sum(span.low for span in every),
        middle=sum(span.middle for span in every),
        high=sum(span.high for span in every),
    )


def losses(found: LanePieces, rows: LaneRows) -> tuple[Lost, ...]:
    """Every no-rep of a lane, set by set, with what it took."""
    lost: list[Lost] = []
    timed = set()
    tiring = tiring_ms(found)
    for one in found.sets:
        if one.steps:
            timed.add(one.set.key)
            lost += _of_set(one, tiring)
    lost += (
        Lost(row.set, row.faults, None, row.at)
        for row in rows.attempts
        if not row.good and row.set.key not in timed
    )
    return tuple(lost)


def by_attempt(lost: Iterable[Lost], rows: LaneRows) -> tuple[Span | None, ...]:
    """What each attempt of the rows took; None of a good one, and without times.

    Of several no-reps at a set at one moment each has its own.
    """
    found: dict[tuple[SetKey, int], list[Span | None]] = {}
    for one in lost:
        found.setdefault((one.set.key, one.pressed), []).append(one.ms)
    took = {key: iter(spans) for key, spans in found.items()}
    return tuple(
        None if row.good else next(took.get((row.set.key, row.at), iter(())), None)
        for row in rows.attempts
    )


def _of_set(one: SetPieces, tiring: Mapping[tuple[SetKey, int], int]) -> Iterator[Lost]:
    following = (*one.steps[1:], None)
    for place, step in enumerate(one.steps):
        if not step.good:
            tired = tiring[one.set.key, place]
            took = _span(one.rep_ms, step, following[place], tired)
            yield Lost(one.set, step.faults, took, step.pressed)


def _span(usual: int, step: Step, after: Step | None, tired: int) -> Span:
    own = usual if step.breaks or step.each is None else round(step.each)
    again = usual if after is None or after.each is None else round(after.each)
    broke = after is not None and after.breaks
    delay = again - usual
    low = min(usual, own) if broke else min(usual, own, again)
    return Span(
        low=low,
        middle=max(low, own + (delay // 2 if broke else delay)),
        high=max(usual, own) + max(0, delay) + tired,
    )
