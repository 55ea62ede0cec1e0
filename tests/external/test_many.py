"""Many p-values at once, against the example of those who wrote the method.

Y. Benjamini, Y. Hochberg (1995), Journal of the Royal Statistical Society B 57:289-300,
section 4.1: fifteen p-values, of which four are believed at .05 and nine at .10.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import false_discovery_control

from judgekit.review.many import adjusted

FIFTEEN = [
    *(0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240),
    *(0.4262, 0.5719, 0.6528, 0.7590, 1.0),
]
ADJUSTED = [
    *(0.0015, 0.0030, 0.0095, 0.035625, 0.0603, 0.063857, 0.063857, 0.0645, 0.0765),
    *(0.486, 0.581182, 0.714875, 0.753231, 0.813214, 1.0),
]


def test_agrees_with_the_published_example() -> None:
    found = adjusted(FIFTEEN)
    assert found == pytest.approx(ADJUSTED, abs=5e-7)
    assert sum(p <= 0.05 for p in found) == 4
    assert sum(p <= 0.10 for p in found) == 9
    assert sum(p <= 0.05 for p in FIFTEEN) == 9


@given(st.lists(st.floats(0, 1), min_size=1, max_size=40))
def test_agrees_with_another_program_in_any_order(chances: list[float]) -> None:
    expected = list(false_discovery_control(chances, method="bh"))
    assert adjusted(chances) == pytest.approx(expected, abs=1e-12)


def test_nothing_asked_is_nothing_answered() -> None:
    assert adjusted([]) == []
