"""An athlete's own rhythm at a movement, and which gaps between reps are breaks.

A judge's thumb lags now and then, and catches up in a burst: as no rep comes sooner
after the one before than the card's floor, nor much sooner than this athlete's do, the
presses before a burst were late, and are taken for so much earlier. What is left are
the gaps of an athlete who works and of one who lets go. The first kind is the more even
one: its middle and its spread are found among the quick gaps, and a gap that lies far
beyond both is a break.
"""

from __future__ import annotations

from math import exp, log
from statistics import median, quantiles
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

# Fewer gaps tell nothing of a rhythm; the card stands in.
LEAST_GAPS = 4
# A break is at least so many times the usual gap, and beyond so many spreads of it.
_TIMES = 1.5
_SPREADS = 3.0
# What is surely no gap of work, while the usual one is still looked for.
_SURELY = 2.5
# Of few gaps: longer than this many brisk reps is rest, a break or a press forgotten.
BRISK_REPS = 4
# Athletes who work at their rhythm seldom do a rep in less of it.
_QUICKEST = 0.75
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

    @property
    def quickest_ms(self) -> float:
        """A press sooner than this after another was late for the other."""
        return _QUICKEST * self.usual_ms


def settled(
    times: Sequence[int], least: Sequence[int], earliest: int | None = None
) -> list[int]:
    """When the reps were, where the presses came at `times`.

    `least` says how soon after the one before each can come. None is moved to before
    `earliest`.
    """
    found = list(times)
    for at in range(len(found) - 2, -1, -1):
        found[at] = min(found[at], found[at + 1] - least[at + 1])
    if earliest is None:
        return found
    return [max(when, min(earliest, at)) for when, at in zip(found, times, strict=True)]


def rhythm_of(gaps: Sequence[float], floor_ms: int, brisk_ms: int) -> Rhythm | None:
    """The rhythm of all gaps at one movement and load; None without any."""
    if not gaps:
        return None
    if len(gaps) < LEAST_GAPS:
        quickest = min(gaps)
        limit = max(BRISK_REPS * brisk_ms, _SURELY * quickest)
        return Rhythm(usual_ms=quickest, limit_ms=limit, spread=0, gaps=len(gaps))
    usual = quantiles(gaps, n=4, method="inclusive")[0]
    limit, spread, kept = _SURELY * usual, 0.0, list(gaps)
    for _ in range(_ROUNDS):
        inside = [gap for gap in gaps if gap <= limit]
        usual = median(inside)
        spread = _spread(inside, usual)
        limit = _limit(usual, spread, floor_ms)
        if inside == kept:
            break
        kept = inside
    return Rhythm(usual_ms=usual, limit_ms=limit, spread=spread, gaps=len(gaps))


def rhythm_in(whole: Rhythm, gaps: Sequence[float], floor_ms: int) -> Rhythm:
    """The rhythm within one set: the athlete's own at it, as far as the set tells.

    An athlete slows down from set to set, and what breaks a quick set does not break
    a tired one.
    """
    inside = [gap for gap in gaps if gap <= whole.limit_ms]
    if not whole.is_own or not inside:
        return whole
    many = len(inside)
    mixed = many * log(median(inside)) + _OTHERS_WEIGH * log(whole.usual_ms)
    usual = exp(mixed / (many + _OTHERS_WEIGH))
    return Rhythm(
        usual_ms=usual,
        limit_ms=_limit(usual, whole.spread, floor_ms),
        spread=whole.spread,
        gaps=whole.gaps,
    )


def _limit(usual: float, spread: float, floor_ms: int) -> float:
    """A gap this long is a break: there one more rep would have fitted in."""
    return max(usual * max(_TIMES, exp(_SPREADS * spread)), usual + floor_ms)


def _spread(gaps: Sequence[float], usual: float) -> float:
    return _NORMAL * median(abs(log(gap / usual)) for gap in gaps)
