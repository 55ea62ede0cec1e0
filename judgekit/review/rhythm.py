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
from typing import TYPE_CHECKING, NamedTuple

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


class Pressed(NamedTuple):
    """A press: when, of how many reps, and how soon after another it can come."""

    at: int
    n: int
    floor_ms: int


def settled(
    presses: Sequence[Pressed], usual_ms: float, earliest: int | None
) -> list[int]:
    """When the reps of presses in a row were; none is moved to before `earliest`.

    `usual_ms` is the athlete's time of a rep, 0 while it is not known.
    """
    found = [press.at for press in presses]
    for place in range(len(presses) - 2, -1, -1):
        after = presses[place + 1]
        found[place] = min(
            found[place], found[place + 1] - _soonest(presses[place], after, usual_ms)
        )
    if earliest is None:
        return found
    return [
        max(when, min(earliest, press.at))
        for when, press in zip(found, presses, strict=True)
    ]


def _soonest(press: Pressed, after: Pressed, usual_ms: float) -> int:
    """How soon the rep of the next press can be: in a burst, as soon as usual."""
    if not after.floor_ms:
        return 0
    quick = _QUICKEST * usual_ms * after.n
    in_burst = after.at - press.at < quick
    own = usual_ms * after.n if in_burst else quick
    return max(after.floor_ms * after.n, round(own))


def rhythm_of(
    sets: Sequence[Sequence[float]], floor_ms: int, brisk_ms: int
) -> Rhythm | None:
    """The rhythm of all gaps at one movement and load, set by set; None without any."""
    gaps = [gap for one in sets for gap in one]
    if not gaps:
        return None
    if len(gaps) < LEAST_GAPS:
        quickest = min(gaps)
        limit = max(BRISK_REPS * brisk_ms, _SURELY * quickest)
        return Rhythm(usual_ms=quickest, limit_ms=limit, spread=0, gaps=len(gaps))
    usual = quantiles(gaps, n=4, method="inclusive")[0]
    limit, spread, kept = _SURELY * usual, 0.0, -1
    for _ in range(_ROUNDS):
        inside = [[gap for gap in one if gap <= limit] for one in sets]
        together = [gap for one in inside for gap in one]
        usual, spread = median(together), _spread(inside)
        limit = _limit(usual, spread, floor_ms)
        if len(together) == kept:
            break
        kept = len(together)
    return Rhythm(usual_ms=usual, limit_ms=limit, spread=spread, gaps=len(gaps))


def rhythm_in(whole: Rhythm, gaps: Sequence[float], floor_ms: int) -> Rhythm:
    """The rhythm within one set: the athlete's own at it, as far as the set tells.

    An athlete slows down from set to set, and what breaks a quick set does not break
    a tired one.
    """
    if not whole.is_own:
        return whole
    most = whole.limit_ms
    if len(gaps) >= LEAST_GAPS:
        quick = quantiles(gaps, n=4, method="inclusive")[0]
        slow = min(quick, _SLOWEST * whole.usual_ms)
        most = max(most, _limit(slow, whole.spread, floor_ms))
    inside = [gap for gap in gaps if gap <= most]
    if not inside:
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
    """A gap beyond this is a break: there one more rep would have fitted in."""
    return max(usual * max(_TIMES, exp(_SPREADS * spread)), usual + floor_ms)


def _spread(sets: Sequence[Sequence[float]]) -> float:
    """How far gaps lie from the middle one of their own set, as logarithms."""
    off = [abs(log(gap / median(one))) for one in sets if one for gap in one]
    return _NORMAL * median(off)
