"""The Wilson score interval against published tables and two other programs.

R. G. Newcombe (1998), Statistics in Medicine 17:857-872, Table I, method 3;
M. Fagerland, S. Lydersen, P. Laake (2017), Statistical Analysis of Contingency Tables,
chapter 2; A. Agresti's example of 0 in 25.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest
from statsmodels.stats.proportion import proportion_confint

from judgekit.review.intervals import wilson

NEWCOMBE = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
]
FAGERLAND = [(13, 16, 0.5699, 0.9341)]
AGRESTI = [(0, 25, 0.0, 0.1332)]


@pytest.mark.parametrize(
    ("hits", "tries", "low", "high"), NEWCOMBE + FAGERLAND + AGRESTI
)
def test_agrees_with_the_tables_to_four_digits(
    hits: int, tries: int, low: float, high: float
) -> None:
    interval = wilson(hits, tries)
    assert interval is not None
    assert (round(interval[0], 4), round(interval[1], 4)) == (low, high)


@pytest.mark.parametrize(
    ("hits", "tries", "low", "high"),
    [
        (81, 263, 0.255289, 0.366210),
        (15, 148, 0.062386, 0.160487),
        (0, 20, 0.0, 0.161125),
        (1, 29, 0.006113, 0.171755),
        (0, 25, 0.0, 0.133192),
    ],
)
def test_agrees_with_values_reckoned_to_six_digits(
    hits: int, tries: int, low: float, high: float
) -> None:
    assert wilson(hits, tries) == pytest.approx((low, high), abs=5e-7)


@pytest.mark.parametrize("count", [(-1, 4), (5, 4), (1, 0)])
def test_more_hits_than_tries_are_no_rate(count: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match="is not a rate"):
        wilson(*count)
    assert wilson(0, 0) is None


@given(
    st.integers(1, 20_000).flatmap(
        lambda tries: st.tuples(st.integers(0, tries), st.just(tries))
    )
)
def test_agrees_with_scipy_and_statsmodels(count: tuple[int, int]) -> None:
    hits, tries = count
    ours = wilson(hits, tries)
    theirs = binomtest(hits, tries).proportion_ci(method="wilson")
    assert ours == pytest.approx((theirs.low, theirs.high), abs=1e-12)
    others = proportion_confint(hits, tries, method="wilson")
    assert ours == pytest.approx(tuple(map(float, others)), abs=1e-12)
