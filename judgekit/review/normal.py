"""How rare a value is where nothing but chance is at work: the tails of two curves."""

from __future__ import annotations

from math import erfc, sqrt


def both_tails(z: float) -> float:
    """The chance that a standard normal value lies at least so far from nought."""
    return erfc(abs(z) / sqrt(2))


def chi2_tail(value: float) -> float:
    """The chance of at least that value of chi-squared with one degree of freedom.

    Raises ValueError below nought. It is the square of a standard normal value.
    """
    return both_tails(sqrt(value))
