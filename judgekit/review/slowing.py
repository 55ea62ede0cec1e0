"""Whether an athlete slowed down: late gaps over early ones, with an interval."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from itertools import accumulate
from math import floor, sqrt
from operator import mul
from statistics import median
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.review.intervals import Z_95

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

# Fewer on either side leave every ratio possible.
LEAST_EACH = 4
# So many ratios for each value are soon made and put in order.
_FEW = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Slowing:
    """Late pace over early pace (1.2: a fifth longer a rep), likely between two.

    `early_ms` and `late_ms` are the medians of the first and last third of the gaps,
    each of so many (`each`).
    """

    early_ms: int
    late_ms: int
    ratio: float
    low: float
    high: float
    each: int


def slowing_of(gaps: Sequence[float]) -> Slowing | None:
    """The slowing over gaps in their order; None if there are too few of them."""
    each = third_of(gaps)
    if not each:
        return None
    early, late = gaps[:each], gaps[-each:]
    low, ratio, high = ratio_of(early, late)
    return Slowing(
        early_ms=round(median(early)),
        late_ms=round(median(late)),
        ratio=ratio,
        low=low,
        high=high,
        each=each,
    )


def third_of(gaps: Sequence[float]) -> int:
    """How many of the gaps are the first and the last ones; 0 if those are too few."""
    each = len(gaps) // 3
    return each if each >= LEAST_EACH else 0


def ratio_of(
    early: Sequence[float], late: Sequence[float]
) -> tuple[float, float, float]:
    """By how much later ones are longer: low, the estimate, high.

    The estimate is that of Hodges and Lehmann on logarithms, the interval the rank-sum
    test's at 95 % by the normal approximation.

    Source: J. L. Hodges, E. L. Lehmann (1963), Annals of Mathematical Statistics
    34:598-611; M. Hollander, D. A. Wolfe, Nonparametric Statistical Methods, 4.2, 4.3.
    """
    pairs = len(early) * len(late)
    outside = _outside(early, late)
    places = (outside, (pairs - 1) // 2, pairs // 2, pairs - 1 - outside)
    low, left, right, high = _Ratios(early, late).at(places)
    return low, sqrt(left * right), high


def high_of(early: Sequence[float], late: Sequence[float]) -> float:
    """The high end of that interval alone."""
    place = len(early) * len(late) - 1 - _outside(early, late)
    (high,) = _Ratios(early, late).at((place,))
    return high


def _outside(early: Sequence[float], late: Sequence[float]) -> int:
    """How many ratios of pairs lie outside of the interval, at either end."""
    pairs = len(early) * len(late)
    spread = sqrt(pairs * (len(early) + len(late) + 1) / 12)
    return max(0, floor(pairs / 2 - Z_95 * spread))


class _Bound(NamedTuple):
    """A ratio, and how many of the late values are at most it for each early one."""

    ratio: float
    late: Sequence[int]


class _Ratios:
    """The ratios of all pairs in their order; only those near what is asked are made.

    Gaps are whole ms, so that many are the same: each stands once, with how often.
    """

    def __init__(self, early: Sequence[float], late: Sequence[float]) -> None:
        before, after = Counter(early), Counter(late)
        self._early = sorted(before)
        self._late = sorted(after)
        self._often = [before[value] for value in self._early]
        self._each = [after[value] for value in self._late]
        self._up_to = list(accumulate(self._each, initial=0))
        self._few = _FEW * (len(self._early) + len(self._late))

    def at(self, places: Sequence[int]) -> list[float]:
        """The ratios at those places, which are in order; the smallest is at 0."""
        early, late = self._early, self._late
        none, every = [0] * len(early), [len(late)] * len(early)
        low = _Bound(late[0] / early[-1], none)
        high = _Bound(late[-1] / early[0], every)
        return list(self._between(places, low, high))

    def _between(
        self, places: Sequence[int], low: _Bound, high: _Bound
    ) -> Iterator[float]:
        """The ratios at places that lie above one bound, and not above the other."""
        if not places:
            return
        middle = sqrt(low.ratio * high.ratio)
        few = sum(high.late) - sum(low.late) <= self._few
        if few or not low.ratio < middle < high.ratio:
            yield from self._made(places, low, high)
            return
        half = _Bound(middle, self._at_most(middle))
        many = bisect_left(places, self._many(half.late))
        yield from self._between(places[:many], low, half)
        yield from self._between(places[many:], half, high)

    def _made(
        self, places: Sequence[int], low: _Bound, high: _Bound
    ) -> Iterator[float]:
        """The same, of few: all ratios between the bounds are made."""
        made = sorted(
            (self._late[place] / value, often * self._each[place])
            for value, often, start, end in zip(
                self._early, self._often, low.late, high.late, strict=True
            )
            for place in range(start, end)
        )
        passed = self._many(low.late)
        up_to = list(accumulate((many for _, many in made), initial=passed))
        for place in places:
            yield made[bisect_right(up_to, place) - 1][0]

    def _many(self, late: Iterable[int]) -> int:
        """How many pairs those are, as often as each value stands there."""
        return sum(map(mul, self._often, [self._up_to[place] for place in late]))

    def _at_most(self, ratio: float) -> list[int]:
        """How many of the late values are at most that ratio, for each early one."""
        found: list[int] = []
        late, passed, every = self._late, 0, len(self._late)
        for before in self._early:
            while passed < every and late[passed] / before <= ratio:
                passed += 1
            found.append(passed)
        return found
