"""Places: 1, 2, 2, 4; ties marked and in a fixed order; no place without a key.

The order in which rows come in never matters.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, Protocol, Self, TypeVar

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence


class Comparable(Protocol):
    """Anything with a total order of its own: a number, a text, a tuple of them."""

    def __lt__(self, other: Self, /) -> bool: ...


T = TypeVar("T")
Key = TypeVar("Key", bound=Comparable)
Order = TypeVar("Order", bound=Comparable)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed(Generic[T]):
    """A row with its rank (None: listed, not ranked), and whether others share it."""

    row: T
    rank: int | None
    tied: bool


# No real place is so far back.
_NOWHERE = 10**9


def after_all(ranks: Iterable[int | None]) -> int:
    """The place of those who have none: after all who have one."""
    return 1 + sum(rank is not None for rank in ranks)


def count_back(ranks: Iterable[int | None]) -> tuple[int, ...]:
    """Single places, the best first: any real one is better than none."""
    return tuple(sorted(_NOWHERE if rank is None else rank for rank in ranks))


def ranked(
    rows: Sequence[T],
    key: Callable[[T], Key | None],
    tie_order: Callable[[T], Order],
) -> list[Placed[T]]:
    """Rows placed by standard competition ranking, the least key first.

    A row's rank is 1 plus the number of rows with a lesser key, so rows with equal
    keys share a rank and the next rank is left out. Rows whose key is None follow
    unranked. `tie_order` orders the rows that share a rank, and the unranked ones; it
    should tell any two rows apart.
    """
    ordered = sorted(rows, key=tie_order)
    scored = [(k, row) for row in ordered if (k := key(row)) is not None]
    scored.sort(key=lambda pair: pair[0])
    placed: list[Placed[T]] = []
    start = 0
    while start < len(scored):
        end = start + 1
        while end < len(scored) and not scored[start][0] < scored[end][0]:
            end += 1
        placed += (
            Placed(row=row, rank=start + 1, tied=end - start > 1)
            for _, row in scored[start:end]
        )
        start = end
    unranked = (row for row in ordered if key(row) is None)
    placed += (Placed(row=row, rank=None, tied=False) for row in unranked)
    return placed
