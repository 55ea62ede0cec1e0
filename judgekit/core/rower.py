"""What the rowing machine's monitor makes of a pace, by its maker's published formulas.

Source: the monitor maker's formulas, as in A. Dudhia (Univ. of Oxford), "The Physics of
Ergometers", sections 9 to 11. Exact, so that a log reads alike on every computer.
"""

from __future__ import annotations

import math
from fractions import Fraction

_POWER = Fraction("2.80")
# Calories an hour for each watt, and what the monitor adds for being alive.
_FOR_EACH_WATT = 4 * Fraction("0.8604")
_AT_REST = 300
_HOUR_MS = 3_600_000


def watts(seconds_per_metre: Fraction) -> Fraction:
    """The power of a pace."""
    return _POWER / seconds_per_metre**3


def calories_per_hour(power: Fraction) -> Fraction:
    """What the monitor counts in an hour at that power."""
    return _FOR_EACH_WATT * power + _AT_REST


def metres_ms(metres: Fraction, calorie_ms: int) -> int:
    """The ms that so many metres take at the power that makes a calorie in so many.

    0 where that is so slow that the flywheel need not move.
    """
    power = (Fraction(_HOUR_MS, calorie_ms) - _AT_REST) / _FOR_EACH_WATT
    if power <= 0:
        return 0
    cubed = _POWER * (1000 * metres) ** 3 / power
    ms = round(math.cbrt(float(cubed)))
    while ms**3 < cubed:
        ms += 1
    while (ms - 1) ** 3 >= cubed:
        ms -= 1
    return ms
