"""How sure a rate is: a confidence interval for one proportion."""

from __future__ import annotations

from math import sqrt

# The standard normal quantile that leaves 2.5 % on either side.
Z_95 = 1.959963984540054


def wilson(hits: int, tries: int, z: float = Z_95) -> tuple[float, float] | None:
    """The score interval of a rate, low and high between 0 and 1; None without tries.

    No continuity correction. The low end of no hits is exactly 0, the high end of
    nothing but hits exactly 1. Raises ValueError unless 0 <= hits <= tries.

    Source: E. B. Wilson (1927), Journal of the American Statistical Association
    22:209-212; method 3 of R. G. Newcombe (1998), Statistics in Medicine 17:857-872.
    """
    if not 0 <= hits <= tries:
        raise ValueError(f"{hits} of {tries} is not a rate")
    if tries == 0:
        return None
    misses = tries - hits
    middle = hits + z * z / 2
    half = z * sqrt(hits * misses / tries + z * z / 4)
    whole = tries + z * z
    low = (middle - half) / whole if hits else 0.0
    high = (middle + half) / whole if misses else 1.0
    return low, high
