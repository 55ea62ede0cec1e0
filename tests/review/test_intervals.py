"""The interval of a rate."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.review.intervals import wilson

counts = st.integers(1, 100_000).flatmap(
    lambda tries: st.tuples(st.integers(0, tries), st.just(tries))
)


def test_nothing_tried_has_no_interval() -> None:
    assert wilson(0, 0) is None


@given(st.integers(1, 10**9))
def test_the_ends_are_exact(tries: int) -> None:
    none, every = wilson(0, tries), wilson(tries, tries)
    assert none is not None
    assert every is not None
    assert none[0] == 0.0
    assert every[1] == 1.0


@given(counts)
def test_the_rate_lies_within_its_interval_and_that_within_0_and_1(
    count: tuple[int, int],
) -> None:
    hits, tries = count
    interval = wilson(hits, tries)
    assert interval is not None
    low, high = interval
    assert 0 <= low <= hits / tries <= high <= 1
    assert low < high


@given(counts)
def test_misses_have_the_mirrored_interval(count: tuple[int, int]) -> None:
    hits, tries = count
    mirrored = wilson(tries - hits, tries)
    assert mirrored is not None
    low, high = mirrored
    assert wilson(hits, tries) == pytest.approx((1 - high, 1 - low), abs=1e-12)


@given(counts)
def test_ten_times_the_attempts_at_the_same_rate_are_surer(
    count: tuple[int, int],
) -> None:
    hits, tries = count
    few, many = wilson(hits, tries), wilson(10 * hits, 10 * tries)
    assert few is not None
    assert many is not None
    assert many[1] - many[0] < few[1] - few[0]


@pytest.mark.parametrize(("hits", "tries"), [(-1, 5), (6, 5), (1, 0), (0, -1)])
def test_what_is_not_a_rate_is_refused(hits: int, tries: int) -> None:
    with pytest.raises(ValueError, match=f"{hits} of {tries} is not a rate"):
        wilson(hits, tries)
