"""An athlete's own rhythm at a movement, and which gaps between reps are breaks.

A judge's thumb lags now and then, and catches up in a burst: as no rep comes sooner
after the one before than the card's floor, nor much sooner than this athlete's do, the
presses before a burst were late, and are taken for so much earlier. What is left are
the gaps of an athlete who works and of one who lets go. The first kind is the more even
one: its middle and its spread are found among the quick gaps, and a gap that lies far
beyond both is a break.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import chain
from math import exp, log
from operator import ge, sub
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

# Fewer gaps tell nothing of a rhythm; the card stands in.
LEAST_GAPS = 4
# Of few gaps: longer than this many brisk reps is rest, a break or a press forgotten.
BRISK_REPS = 4
# A break is at least so many times the usual gap, and beyond so many spreads of it.
_TIMES = 1.5
_SPREADS = 3.5
# What is surely no gap of work, while the usual one is still looked for.
_SURELY = 2.5
# No set is slower than this beside the others; what is, was done rep by rep.
_SLOWEST = 1.5
# Athletes who work at their rhythm seldom do a rep in less of it.
_QUICKEST = 0.75
# Who hears "no rep" looks up before the next one.
_HEARD_MS = 1000
# The median absolute deviation of normal values times this is their deviation.
_NORMAL = 1.4826
# A set's own pace weighs as its gaps, the athlete's other sets as so many.
_OTHERS_WEIGH = 4
_ROUNDS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Rhythm:
    """How an athlete works while working: the usual gap, and from where on it breaks.

    `spread` is that of the gaps' logarithms, `gaps` how many it was found from. Fewer
    than `LEAST_GAPS` are no rhythm: `limit_ms` is then the card's.
    """

    usual_ms: float
    limit_ms: float
    spread: float
    gaps: int

    @property
    def is_own(self) -> bool:
        """Whether it was the athlete's gaps that told."""
        return self.gaps >= LEAST_GAPS

    def longest_ms(self, n: int, *, missed: bool) -> float:
        """From where on a gap of `n` reps has a break in it; `missed` stands before."""
        return self.limit_ms + (n - 1) * self.usual_ms + _HEARD_MS * missed


def settled(
    at: list[int],
    good: Sequence[int],
    floor_ms: int,
    usual_ms: float,
    earliest: int | None,
) -> list[int]:
    """When the reps of presses in a row were; none is moved to before `earliest`.

    `good` says of how many good reps each press was; anything else comes as soon as it
    likes. `usual_ms` is the athlete's time of a rep, 0 while it is not known. Where
    none is moved, `at` itself is given back.
    """
    soonest = max(floor_ms, _QUICKEST * usual_ms)
    gaps = map(sub, at[1:], at)
    if not floor_ms or all(map(ge, gaps, [soonest * n for n in good[1:]])):
        return at
    found = list(at)
    for place in range(len(at) - 2, -1, -1):
        after = found[place + 1]
        if n := good[place + 1]:
            after -= _soonest(at[place + 1] - at[place], n, floor_ms, usual_ms)
        found[place] = min(found[place], after)
    if earliest is None:
        return found
    return [
        max(when, min(earliest, pressed))
        for when, pressed in zip(found, at, strict=True)
    ]


def _soonest(gap: int, n: int, floor_ms: int, usual_ms: float) -> int:
    """How soon `n` reps can be done: in a burst, as soon as usual."""
    quick = _QUICKEST * usual_ms * n
    own = usual_ms * n if gap < quick else quick
    return max(floor_ms * n, round(own))


def rhythm_of(
    sets: Sequence[Sequence[float]], floor_ms: int, brisk_ms: int
) -> Rhythm | None:
    """The rhythm of all gaps at one movement and load, set by set; None without any."""
    ordered = [sorted(one) for one in sets if one]
    gaps = sorted(chain.from_iterable(ordered))
    if not gaps:
        return None
    if len(gaps) < LEAST_GAPS:
        limit = max(BRISK_REPS * brisk_ms, _SURELY * gaps[0])
        return Rhythm(usual_ms=gaps[0], limit_ms=limit, spread=0, gaps=len(gaps))
    limit, spreads, kept = _SURELY * _quarter(gaps), _Spreads(ordered), -1
    usual = spread = 0.0
    for _ in range(_ROUNDS):
        many = bisect_right(gaps, limit)
        if many == kept:
            break
        kept = many
        usual, spread = _middle(gaps, many), spreads.up_to(limit)
        limit = _limit(usual, spread, floor_ms)
    return Rhythm(usual_ms=usual, limit_ms=limit, spread=spread, gaps=len(gaps))


class _Spreads:
    """How far gaps lie from the middle one of their own set, as logarithms.

    `sets` are in the order of their gaps. A set of which no gap is taken out has the
    same middle as before, and is not worked out anew.
    """

    def __init__(self, sets: Sequence[Sequence[float]]) -> None:
        self._sets = sets
        self._kept = [0] * len(sets)
        self._off: list[list[float]] = [[] for _ in sets]

    def up_to(self, limit: float) -> float:
        """The spread of all gaps that are no longer than that."""
        for place, one in enumerate(self._sets):
            many = bisect_right(one, limit)
            if many != self._kept[place]:
                middle = _middle(one, many)
                self._kept[place] = many
                self._off[place] = [abs(log(gap / middle)) for gap in one[:many]]
        off = sorted(chain.from_iterable(self._off))
        return _NORMAL * _middle(off, len(off))


def _middle(ordered: Sequence[float], many: int) -> float:
    """The median of the first so many values, which are in order."""
    half = many // 2
    if many % 2:
        return ordered[half]
    return (ordered[half - 1] + ordered[half]) / 2


def _quarter(ordered: Sequence[float]) -> float:
    """The first quartile of values in order, between two of them as between all."""
    place, part = divmod(len(ordered) - 1, 4)
    after = ordered[min(place + 1, len(ordered) - 1)]
    return (ordered[place] * (4 - part) + after * part) / 4


def rhythm_in(whole: Rhythm, gaps: Sequence[float], floor_ms: int) -> Rhythm:
    """The rhythm within one set: the athlete's own at it, as far as the set tells.

    An athlete slows down from set to set, and what breaks a quick set does not break
    a tired one.
    """
    if not whole.is_own:
        return whole
    most, ordered = whole.limit_ms, sorted(gaps)
    if len(ordered) >= LEAST_GAPS:
        slow = min(_quarter(ordered), _SLOWEST * whole.usual_ms)
        most = max(most, _limit(slow, whole.spread, floor_ms))
    many = bisect_right(ordered, most)
    if not many:
        return whole
    middle = _middle(ordered, many)
    mixed = many * log(middle) + _OTHERS_WEIGH * log(whole.usual_ms)
    usual = exp(mixed / (many + _OTHERS_WEIGH))
    return Rhythm(
        usual_ms=usual,
        limit_ms=_limit(usual, whole.spread, floor_ms),
        spread=whole.spread,
        gaps=whole.gaps,
    )


def _limit(usual: float, spread: float, floor_ms: int) -> float:
    """A gap beyond this is a break: there one more rep would have fitted in."""
    return max(usual * max(_TIMES, exp(_SPREADS * spread)), usual + floor_ms)
