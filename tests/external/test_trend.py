"""Trends and stratified tables against published examples and another program.

Trends: B. Graubard and E. Korn (1987) with A. Agresti, Categorical Data Analysis, 2nd
ed., sections 3.4 and 5.3 (malformations); W. G. Cochran (1954), Biometrics 10:417,
Table 6; P. Armitage (1955), Biometrics 11:375, Table 2; Indredavik et al. (2008) and
others in M. Fagerland, S. Lydersen, P. Laake (2017), Statistical Analysis of
Contingency Tables, chapter 5; J. Fleiss (1981), page 139. Strata: R. Doll and A. Hill
(1950) in Fagerland (2017), chapter 10, where the interval was reckoned anew, as its
program takes a wrong cell; P. Beitler and J. Landis (1985) in Agresti, section 6.3; Z.
Liu (1992).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import chi2, norm
from statsmodels.stats.contingency_tables import StratifiedTable, Table

from judgekit.review.normal import both_tails, chi2_tail
from judgekit.review.trend import (
    Level,
    Split,
    odds_ratio,
    parted,
    rate_ratio,
    trend,
    trend_within,
)

MALFORMED = [(48, 17066), (38, 14464), (5, 788), (1, 126), (1, 37)]
COCHRAN = [(7, 11), (15, 27), (16, 42), (13, 53), (1, 11)]
ARMITAGE = [(11, 6), (8, 4), (8, 10), (5, 12)]
INDREDAVIK = [(8, 53), (10, 48), (11, 100), (22, 102), (6, 129)]
SMALL = [(48, 1706), (38, 1446), (5, 78), (1, 12)]
FLEISS = [(83, 3), (90, 3), (129, 7), (70, 12)]
MIDRANKS = [8557.5, 24365.5, 32013, 32473, 32555.5]


def levels(rows: list[tuple[int, int]], scores: list[float]) -> list[Level]:
    """Rows of hits and misses as levels."""
    return [
        Level(score, hits, hits + missed)
        for score, (hits, missed) in zip(scores, rows, strict=True)
    ]


@pytest.mark.parametrize(
    ("rows", "scores", "z", "p"),
    [
        (MALFORMED, [0, 0.5, 1.5, 4, 7], 2.5632, 0.0104),
        (MALFORMED, [1, 2, 3, 4, 5], 1.3520, 0.1764),
        (MALFORMED, MIDRANKS, 0.5928, 0.5533),
        (COCHRAN, [3, 2, 1, 0, -1], 2.5818, 0.0098),
        (ARMITAGE, [-1.5, -0.5, 0.5, 1.5], -2.2932, 0.0218),
        (INDREDAVIK, [1, 2, 3, 4, 5], -1.7878, 0.0738),
        (SMALL, [1, 2, 3, 4], 0.817, 0.4139),
        (FLEISS, [1, 2, 3, 4], -2.8679, 0.0041),
    ],
)
def test_a_trend_agrees_with_the_published_one(
    rows: list[tuple[int, int]], scores: list[float], z: float, p: float
) -> None:
    found = trend(levels(rows, scores))
    assert found is not None
    assert found.z == pytest.approx(z, abs=1e-3)
    assert found.p == pytest.approx(p, abs=1e-3)
    moved = trend(levels(rows, [7 * score - 3 for score in scores]))
    assert moved is not None
    assert moved.z == pytest.approx(found.z)
    turned = trend(levels(rows, [-score for score in scores]))
    assert turned is not None
    assert turned.z == pytest.approx(-found.z)


def test_published_squares_to_their_last_digit() -> None:
    for rows, scores, square in (
        (MALFORMED, [0, 0.5, 1.5, 4, 7], 6.5701),
        (MALFORMED, [1, 2, 3, 4, 5], 1.8278),
        (MALFORMED, MIDRANKS, 0.3514),
        (COCHRAN, [3, 2, 1, 0, -1], 6.6657),
        (ARMITAGE, [-1.5, -0.5, 0.5, 1.5], 5.2588),
        (FLEISS, [1, 2, 3, 4], 8.2249),
    ):
        found = trend(levels(rows, list(scores)))
        assert found is not None
        assert found.z**2 == pytest.approx(square, abs=5e-5)


def test_the_trend_within_one_group_is_agresti_s() -> None:
    found = trend_within([levels(MALFORMED, [0, 0.5, 1.5, 4, 7])])
    assert found is not None
    assert found.z**2 == pytest.approx(6.5699, abs=5e-5)
    table = Table(np.array(MALFORMED), shift_zeros=False)
    other = table.test_ordinal_association(
        row_scores=np.array([0, 0.5, 1.5, 4, 7]), col_scores=np.array([1, 0])
    )
    assert found.z == pytest.approx(other.zscore)


@pytest.mark.parametrize("rows", [[], [(0, 5), (0, 9)], [(5, 0), (2, 0)], [(3, 4)]])
def test_where_nothing_can_rise_there_is_no_trend(rows: list[tuple[int, int]]) -> None:
    made = levels(rows, list(range(len(rows))))
    assert trend(made) is None
    assert trend_within([made, []]) is None


def splits(*rows: tuple[int, int, int, int]) -> list[Split]:
    """Two by two tables, hits and misses of both rows, as groups."""
    return [Split(a, a + b, c, c + d) for a, b, c, d in rows]


DOLL_HILL = splits((647, 2, 622, 27), (41, 19, 28, 32))
BEITLER_LANDIS = splits(
    (11, 25, 10, 27),
    (16, 4, 22, 10),
    (14, 5, 7, 12),
    (2, 14, 1, 16),
    (6, 11, 0, 12),
    (1, 10, 0, 10),
    (1, 4, 1, 8),
    (4, 2, 6, 1),
)


@pytest.mark.parametrize(
    ("groups", "times", "low", "high", "square", "p"),
    [
        (DOLL_HILL, 4.5239, 2.4171, 8.4671, 24.920, 6.0e-7),
        (BEITLER_LANDIS, 2.1345, 1.1776, 3.8692, 6.3841, 0.0115),
    ],
)
def test_stratified_tables_agree_with_the_published_ones(
    groups: list[Split],
    times: float,
    low: float,
    high: float,
    square: float,
    p: float,
) -> None:
    ratio, test = odds_ratio(groups), parted(groups)
    assert ratio is not None
    assert test is not None
    found = (ratio.times, ratio.low, ratio.high)
    assert found == pytest.approx((times, low, high), abs=5e-5)
    assert test.z**2 == pytest.approx(square, abs=5e-4)
    assert test.p == pytest.approx(p, rel=0.02)


def test_the_ratio_of_rates_agrees_with_the_published_one() -> None:
    """Lung cancer among smokers against that among others."""
    found = rate_ratio(splits((647, 622, 2, 27), (41, 28, 19, 32)))
    assert found is not None
    assert found.times == pytest.approx(2.4751, abs=5e-5)
    assert found.low < found.times < found.high


def test_many_cities_agree_with_the_published_ones() -> None:
    from statsmodels.datasets import china_smoking

    data = china_smoking.load_pandas().data
    columns = [data[name] for name in data.columns[-4:]]
    groups = splits(*(tuple(map(int, row)) for row in zip(*columns, strict=True)))  # type: ignore[arg-type]
    ratio, test = odds_ratio(groups), parted(groups)
    assert ratio is not None
    assert test is not None
    found = (ratio.times, ratio.low, ratio.high)
    assert found == pytest.approx((2.1745, 1.9840, 2.3832), abs=5e-5)
    assert test.z**2 == pytest.approx(280.1375, abs=5e-4)


CELL = st.integers(0, 40)
TABLES = st.lists(st.tuples(CELL, CELL, CELL, CELL), min_size=1, max_size=6)


@given(TABLES)
def test_stratified_tables_agree_with_another_program(
    rows: list[tuple[int, int, int, int]],
) -> None:
    assume(all(sum(row) > 1 for row in rows))
    groups = splits(*rows)
    ratio, test = odds_ratio(groups), parted(groups)
    assume(ratio is not None)
    assume(test is not None)
    other = StratifiedTable([np.array(row).reshape(2, 2) for row in rows])
    assert ratio is not None
    assert test is not None
    assert ratio.times == pytest.approx(other.oddsratio_pooled)
    assert (ratio.low, ratio.high) == pytest.approx(other.oddsratio_pooled_confint())
    assert test.z**2 == pytest.approx(other.test_null_odds().statistic)
    assert test.p == pytest.approx(other.test_null_odds().pvalue, abs=1e-9)


@given(TABLES)
def test_the_pooled_ratio_of_rates_agrees_with_another_program(
    rows: list[tuple[int, int, int, int]],
) -> None:
    assume(all(sum(row) > 0 for row in rows))
    found = rate_ratio(splits(*rows))
    assume(found is not None)
    assert found is not None
    other = StratifiedTable([np.array(row).reshape(2, 2) for row in rows])
    assert found.times == pytest.approx(other.riskratio_pooled)
    # Twice the same table says the same, and more surely.
    twice = rate_ratio(splits(*rows, *rows))
    assert twice is not None
    assert twice.times == pytest.approx(found.times)
    assert found.low - 1e-9 <= twice.low <= twice.times <= twice.high
    assert twice.high <= found.high + 1e-9


@given(
    st.lists(st.tuples(CELL, CELL), min_size=2, max_size=8),
    st.integers(-3, 3),
    st.integers(1, 4),
)
def test_a_trend_agrees_with_another_program(
    rows: list[tuple[int, int]], first: int, step: int
) -> None:
    """Whose variance has N - 1 where Cochran's has N."""
    assume(all(sum(row) for row in rows))
    scores = [float(first + step * place) for place in range(len(rows))]
    found = trend(levels(rows, scores))
    within = trend_within([levels(rows, scores)])
    assume(found is not None)
    assume(within is not None)
    assert found is not None
    assert within is not None
    table = Table(np.array(rows), shift_zeros=False)
    other = table.test_ordinal_association(
        row_scores=np.array(scores), col_scores=np.array([1, 0])
    )
    many = sum(map(sum, rows))
    assert within.z == pytest.approx(other.zscore, abs=1e-9)
    assert within.p == pytest.approx(other.pvalue, abs=1e-9)
    assert found.z == pytest.approx(other.zscore * (many / (many - 1)) ** 0.5, abs=1e-9)
    assert found.p == pytest.approx(2 * norm.sf(abs(found.z)), abs=1e-12)


@given(TABLES)
def test_two_levels_within_groups_are_a_split(
    rows: list[tuple[int, int, int, int]],
) -> None:
    """Mantel's extension is the test of Mantel and Haenszel where rows are two."""
    groups = splits(*rows)
    two = [
        [Level(0, s.hits_before, s.tries_before), Level(1, s.hits, s.tries)]
        for s in groups
    ]
    within, test = trend_within(two), parted(groups)
    assert (within is None) == (test is None)
    if within is not None and test is not None:
        assert within.z == pytest.approx(test.z, abs=1e-9)


def test_one_group_s_ratio_of_rates_is_its_own() -> None:
    found = rate_ratio([Split(6, 60, 5, 100)])
    assert found is not None
    assert found.times == pytest.approx(2.0)
    again = replace(
        found, times=1 / found.times, low=1 / found.high, high=1 / found.low
    )
    turned = rate_ratio([Split(5, 100, 6, 60)])
    assert turned is not None
    assert (turned.times, turned.low, turned.high) == pytest.approx(
        (again.times, again.low, again.high)
    )


@pytest.mark.parametrize("groups", [[], [Split(0, 0, 0, 0)], [Split(0, 9, 0, 9)]])
def test_where_nothing_was_missed_there_is_no_ratio(groups: list[Split]) -> None:
    assert (odds_ratio(groups), rate_ratio(groups), parted(groups)) == (None,) * 3


@given(st.floats(-8, 8))
def test_tails_agree_with_another_program(z: float) -> None:
    assert both_tails(z) == pytest.approx(2 * norm.sf(abs(z)), rel=1e-9)
    assert chi2_tail(z * z) == pytest.approx(chi2.sf(z * z, 1), rel=1e-6)
