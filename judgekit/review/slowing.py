"""Whether an athlete slowed down: late gaps over early ones, with an interval."""

from __future__ import annotations

from math import floor, sqrt
from statistics import median
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.review.intervals import Z_95

if TYPE_CHECKING:
    from collections.abc import Sequence

# Fewer on either side leave every ratio possible.
LEAST_EACH = 4
# So many ratios are sorted sooner than one of them is looked for without the others.
_FEW_PAIRS = 10_000


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
    each = len(gaps) // 3
    if each < LEAST_EACH:
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


def ratio_of(
    early: Sequence[float], late: Sequence[float]
) -> tuple[float, float, float]:
    """By how much later ones are longer: low, the estimate, high.

    The estimate is that of Hodges and Lehmann on logarithms, the interval the rank-sum
    test's at 95 % by the normal approximation.

    Source: J. L. Hodges, E. L. Lehmann (1963), Annals of Mathematical Statistics
    34:598-611; M. Hollander, D. A. Wolfe, Nonparametric Statistical Methods, 4.2, 4.3.
    """
    early, late = sorted(early), sorted(late)
    pairs = len(early) * len(late)
    spread = sqrt(pairs * (len(early) + len(late) + 1) / 12)
    outside = max(0, floor(pairs / 2 - Z_95 * spread))
    places = outside, (pairs - 1) // 2, pairs // 2, pairs - 1 - outside
    if pairs <= _FEW_PAIRS:
        ratios = sorted(after / before for before in early for after in late)
        low, left, right, high = (ratios[place] for place in places)
    else:
        low, left, right, high = (_ratio_at(early, late, place) for place in places)
    return low, sqrt(left * right), high


def _ratio_at(early: Sequence[float], late: Sequence[float], place: int) -> float:
    """The ratio at a place among those of all pairs, without making them all.

    Both sides are sorted; the smallest ratio is at 0.
    """
    low, high = late[0] / early[-1], late[-1] / early[0]
    if _up_to(early, late, low) > place:
        return low
    middle = sqrt(low * high)
    while low < middle < high:
        if _up_to(early, late, middle) > place:
            high = middle
        else:
            low = middle
        middle = sqrt(low * high)
    return high


def _up_to(early: Sequence[float], late: Sequence[float], ratio: float) -> int:
    """How many pairs have at most that ratio."""
    many = passed = 0
    for before in early:
        while passed < len(late) and late[passed] / before <= ratio:
            passed += 1
        many += passed
    return many
