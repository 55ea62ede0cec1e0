"""Many questions asked at once: some look answered by chance alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


def adjusted(chances: Sequence[float]) -> list[float]:
    """Each p-value, raised for how many there are, in the order given.

    Whoever believes all that is at most .05 here is wrong in one of twenty of them.

    Source: Y. Benjamini, Y. Hochberg (1995), Journal of the Royal Statistical Society B
    57:289-300, as adjusted p-values.
    """
    many = len(chances)
    found = [1.0] * many
    least = 1.0
    order = sorted(range(many), key=chances.__getitem__, reverse=True)
    for rank, place in zip(range(many, 0, -1), order, strict=True):
        least = min(least, chances[place] * many / rank)
        found[place] = least
    return found
