"""How two rates differ, how sure that is, and how likely chance alone is."""

from __future__ import annotations

from math import exp, lgamma, sqrt
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.review.intervals import Z_95, wilson

if TYPE_CHECKING:
    from collections.abc import Iterator

# Tables that are as rare as the one at hand, but for the last digits of a float.
_AS_RARE = 1 + 1e-7


class Count(NamedTuple):
    """So many hits in so many tries."""

    hits: int
    tries: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A rate less another one, all between -1 and 1, with its 95 % interval."""

    by: float
    low: float
    high: float

    @property
    def is_clear(self) -> bool:
        """Whether the interval leaves no doubt which of the two is larger."""
        return self.low > 0 or self.high < 0


def difference(first: Count, second: Count, z: float = Z_95) -> Difference | None:
    """The rate of the first less that of the second; None where one has no tries.

    Source: R. G. Newcombe (1998), Statistics in Medicine 17:873-890, method 10: the
    score intervals of both rates, put together without a continuity correction.
    """
    one, other = wilson(*first, z), wilson(*second, z)
    if one is None or other is None:
        return None
    mine, theirs = first.hits / first.tries, second.hits / second.tries
    by = mine - theirs
    return Difference(
        by=by,
        low=by - sqrt((mine - one[0]) ** 2 + (other[1] - theirs) ** 2),
        high=by + sqrt((one[1] - mine) ** 2 + (theirs - other[0]) ** 2),
    )


def chance_alone(first: Count, second: Count) -> float:
    """How likely chance alone makes two rates differ as rarely as these (0 to 1).

    It holds for small numbers too: all tables with the same sums are gone through, and
    those at least as rare as this one added up. Without tries nothing speaks against
    chance.

    Source: R. A. Fisher (1935), Journal of the Royal Statistical Society 98:39-82, the
    exact test of a two by two table, both sides.
    """
    rare = dict(_tables(first.hits + second.hits, first.tries, second.tries))
    most = rare[first.hits] * _AS_RARE
    return min(1.0, sum(one for one in rare.values() if one <= most))


def _tables(hits: int, mine: int, theirs: int) -> Iterator[tuple[int, float]]:
    """How likely each share of the hits is, by how many are the first one's."""
    whole = _ways(mine + theirs, hits)
    for got in range(max(0, hits - theirs), min(hits, mine) + 1):
        yield got, exp(_ways(mine, got) + _ways(theirs, hits - got) - whole)


def _ways(many: int, chosen: int) -> float:
    """The logarithm of how many ways there are to choose some of many."""
    return lgamma(many + 1) - lgamma(chosen + 1) - lgamma(many - chosen + 1)
