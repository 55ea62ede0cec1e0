"""The shift between two samples against a published example, and against scipy.

M. Hollander, D. A. Wolfe, Nonparametric Statistical Methods, chapter 4: permeability of
the chorioamnion at term and earlier (the example of R's own `wilcox.test`, too).
"""

from __future__ import annotations

from math import exp, floor, log, sqrt
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import mannwhitneyu

from judgekit.review.intervals import Z_95
from judgekit.review.slowing import high_of, ratio_of, slowing_of

_third = st.lists(st.integers(500, 20_000), min_size=4, max_size=12)
# So many that not all pairs are made, and with the same gap again and again.
_long = st.lists(
    st.integers(500, 20_000) | st.integers(1000, 1010), min_size=4, max_size=60
)


AT_TERM = (0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46)
EARLIER = (1.15, 0.88, 0.90, 0.74, 1.21)


def test_the_published_shift() -> None:
    """0.305: of their logarithms, as ours are ratios."""
    _, ratio, _ = ratio_of([exp(x) for x in EARLIER], [exp(x) for x in AT_TERM])
    assert log(ratio) == pytest.approx(0.305)


@given(_long, _long)
def test_it_is_that_of_all_pairs_made_and_sorted(
    early: list[int], late: list[int]
) -> None:
    ratios = sorted(after / before for after in late for before in early)
    spread = sqrt(len(ratios) * (len(early) + len(late) + 1) / 12)
    outside = max(0, floor(len(ratios) / 2 - Z_95 * spread))
    low, ratio, high = ratio_of(early, late)
    assert (low, high) == (ratios[outside], ratios[-1 - outside])
    assert ratio == pytest.approx(exp(median(map(log, ratios))))
    assert high_of(early, late) == high


@given(_third, _third)
def test_the_interval_holds_one_just_where_the_rank_sum_test_sees_nothing(
    early: list[int], late: list[int]
) -> None:
    """Beyond the reach of ties and of the steps of small samples."""
    each = min(len(early), len(late))
    early, late = early[:each], late[:each]
    found = slowing_of([*early, *([1000] * each), *late])
    assert found is not None
    assert found.low <= found.ratio <= found.high
    p = mannwhitneyu(late, early, method="asymptotic", use_continuity=False).pvalue
    if p > 0.10:
        assert found.low <= 1 <= found.high
    if p < 0.02 and len({*early, *late}) == 2 * each:
        assert not found.low <= 1 <= found.high
