"""An athlete's rhythm among gaps, and presses behind a late one."""

from __future__ import annotations

from math import log
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.review.rhythm import Rhythm, rhythm_in, rhythm_of, settled


def test_the_usual_gap_is_found_though_a_third_of_the_gaps_are_breaks() -> None:
    found = rhythm_of(
        [[2000, 2100, 9000, 1900, 2000, 8000, 2000, 2100, 9000]], 700, 900
    )
    assert found is not None
    assert (found.usual_ms, found.is_own) == (2000, True)
    assert 3000 <= found.limit_ms < 4000


def test_an_uneven_athlete_needs_a_longer_gap_for_a_break() -> None:
    even = rhythm_of([[2000, 2050, 1950, 2000, 2050, 1950] * 3], 0, 900)
    uneven = rhythm_of([[1500, 2600, 1700, 2400, 1400, 2500] * 3], 0, 900)
    assert even is not None
    assert uneven is not None
    assert even.limit_ms == 1.5 * even.usual_ms
    assert uneven.limit_ms > 2 * uneven.usual_ms


def test_a_gap_is_no_break_where_no_rep_more_would_have_fitted_in() -> None:
    """Floor 1.8 s: a break is at least so much longer than the usual 2 s."""
    found = rhythm_of([[2000] * 10], 1800, 1900)
    assert found is not None
    assert found.limit_ms == 3800


def test_of_few_gaps_the_card_tells() -> None:
    found = rhythm_of([[2000, 9000]], 700, 1000)
    assert found == Rhythm(usual_ms=2000, limit_ms=5000, spread=0, gaps=2)
    assert not found.is_own
    assert rhythm_of([[], []], 700, 1000) is None


def test_a_tired_set_has_a_longer_usual_gap_than_the_others() -> None:
    whole = rhythm_of([[2000] * 9, [2900] * 9], 0, 900)
    assert whole is not None
    tired = rhythm_in(whole, [2900] * 9, 0)
    assert tired.usual_ms > 2500
    assert tired.limit_ms > 1.5 * 2500


def test_a_set_of_single_reps_is_held_against_the_other_sets() -> None:
    """Its gaps are all alike: only the athlete's other sets say that they are long."""
    whole = rhythm_of([[2000] * 20, [2000] * 20, [9000] * 30], 0, 900)
    assert whole is not None
    alone = rhythm_in(whole, [9000] * 30, 0)
    assert alone.limit_ms < 9000


def test_presses_in_a_burst_were_late_but_for_the_last() -> None:
    """A rep takes 2 s: of presses at 9.2, 9.5 and 9.8 s the first two were late."""
    at, good = [2000, 4000, 9200, 9500, 9800], [1] * 5
    assert settled(at, good, 700, 2000, 0) == [2000, 4000, 5800, 7800, 9800]
    # While the rhythm is not known, the card's floor is all there is.
    assert settled(at, good, 700, 0, 0) == [2000, 4000, 8400, 9100, 9800]
    # Where the card has no floor, nothing can have come too soon.
    assert settled(at, good, 0, 2000, 0) == at


def test_no_press_is_moved_to_before_the_set_was_open() -> None:
    at = [5000, 5100, 5200, 5300]
    assert settled(at, [1] * 4, 700, 2000, 4500) == [4500, 4500, 4500, 5300]


def test_a_no_rep_may_come_as_soon_as_it_likes() -> None:
    assert settled([2000, 2400], [1, 0], 700, 2000, 0) == [2000, 2400]


def test_several_reps_at_one_press_take_as_many_times_as_long() -> None:
    assert settled([2000, 4000], [1, 3], 700, 0, 0) == [1900, 4000]
    assert settled([2000, 4000], [1, 2], 700, 0, 0) == [2000, 4000]


def test_the_spread_is_that_of_the_gaps_that_are_no_breaks() -> None:
    """The long one is below the first limit, 2.5 times a quick gap, and no gap of work.

    It lies beyond what the spread allows then, so that all is found anew without it.
    """
    work = [1000, 1100, 900, 1050, 950]
    found = rhythm_of([[*work, 2300]], 0, 900)
    assert found is not None
    assert found.usual_ms == 1000
    off = median(abs(log(gap / 1000)) for gap in work)
    assert found.spread == pytest.approx(1.4826 * off)


@given(st.lists(st.lists(st.integers(1, 9000), max_size=9), max_size=4))
def test_the_rhythm_is_that_of_gaps_in_any_order(sets: list[list[int]]) -> None:
    backwards = [one[::-1] for one in reversed(sets)]
    assert rhythm_of(sets, 700, 1000) == rhythm_of(backwards, 700, 1000)


@given(st.lists(st.integers(1000, 1400), min_size=4, max_size=40))
def test_of_one_even_set_the_usual_gap_and_its_spread_are_medians(
    gaps: list[int],
) -> None:
    found = rhythm_of([gaps], 700, 900)
    assert found is not None
    middle = median(gaps)
    assert found.usual_ms == middle
    off = median(abs(log(gap / middle)) for gap in gaps)
    assert found.spread == pytest.approx(1.4826 * off)
