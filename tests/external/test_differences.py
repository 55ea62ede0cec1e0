"""The difference of two rates against published tables and two other programs.

R. G. Newcombe (1998), Statistics in Medicine 17:873-890, Table II, method 10;
M. Fagerland, S. Lydersen, P. Laake (2015), Statistical Methods in Medical Research, and
(2017), Statistical Analysis of Contingency Tables (7 of 34 against 1 of 34).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import fisher_exact
from statsmodels.stats.proportion import confint_proportions_2indep

from judgekit.review.differences import Count, chance_alone, difference

NEWCOMBE = [
    (56, 70, 48, 80, 0.0524, 0.3339),
    (9, 10, 3, 10, 0.1705, 0.8090),
    (6, 7, 2, 7, 0.0582, 0.8062),
    (5, 56, 0, 29, -0.0381, 0.1926),
    (0, 10, 0, 20, -0.1611, 0.2775),
    (0, 10, 0, 10, -0.2775, 0.2775),
    (10, 10, 0, 20, 0.6791, 1.0),
    (10, 10, 0, 10, 0.6075, 1.0),
]
FAGERLAND = [(7, 34, 1, 34, 0.0189, 0.3404)]
COUNTS = st.integers(1, 400).flatmap(
    lambda tries: st.builds(Count, st.integers(0, tries), st.just(tries))
)


@pytest.mark.parametrize(("a", "m", "b", "n", "low", "high"), NEWCOMBE + FAGERLAND)
def test_agrees_with_the_tables_to_four_digits(
    a: int, m: int, b: int, n: int, low: float, high: float
) -> None:
    found = difference(Count(a, m), Count(b, n))
    assert found is not None
    assert (round(found.low, 4), round(found.high, 4)) == (low, high)
    assert found.by == pytest.approx(a / m - b / n)


@given(COUNTS, COUNTS)
def test_agrees_with_another_program(one: Count, other: Count) -> None:
    found = difference(one, other)
    assert found is not None
    low, high = confint_proportions_2indep(
        *one, *other, method="newcomb", compare="diff"
    )
    assert found.low == pytest.approx(low, abs=1e-9)
    assert found.high == pytest.approx(high, abs=1e-9)
    assert -1 <= found.low <= found.by <= found.high <= 1


def test_without_tries_there_is_no_difference() -> None:
    assert difference(Count(0, 0), Count(1, 2)) is None
    assert difference(Count(1, 2), Count(0, 0)) is None
    assert chance_alone(Count(0, 0), Count(1, 2)) == 1.0


@given(COUNTS, COUNTS)
def test_how_likely_chance_alone_is_agrees_with_another_program(
    one: Count, other: Count
) -> None:
    table = [[one.hits, one.tries - one.hits], [other.hits, other.tries - other.hits]]
    expected = fisher_exact(table).pvalue
    assert chance_alone(one, other) == pytest.approx(expected, rel=1e-6, abs=1e-12)
