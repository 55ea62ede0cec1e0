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
    from judgekit.review.steps import Told


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
        if one.told is not None:
            timed.add(one.set.key)
            lost += _of_set(one, one.told, tiring)
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


def _of_set(
    one: SetPieces, told: Told, tiring: Mapping[tuple[SetKey, int], int]
) -> Iterator[Lost]:
    rows, breaks = told.presses.rows, set(told.breaks)
    for place, good in enumerate(told.presses.good):
        if good:
            continue
        own, after = told.each(place), told.each(place + 1)
        took = _span(
            one.rep_ms,
            None if place in breaks else own,
            after,
            breaks_after=place + 1 in breaks,
            tired=tiring[one.set.key, place],
        )
        yield Lost(one.set, rows[place].faults, took, rows[place].at)


def _span(
    usual: int,
    tried: float | None,
    after: float | None,
    *,
    breaks_after: bool,
    tired: int,
) -> Span:
    """`tried` and `after` are the ms of the try and of a rep of the next press."""
    own = usual if tried is None else round(tried)
    again = usual if after is None else round(after)
    delay = again - usual
    low = min(usual, own) if breaks_after else min(usual, own, again)
    return Span(
        low=low,
        middle=max(low, own + (delay // 2 if breaks_after else delay)),
        high=max(usual, own) + max(0, delay) + tired,
    )
