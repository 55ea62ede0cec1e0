"""The bench's arithmetic: percentiles, ratios within a round, and void rows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.bench.arithmetic import (
    Measured,
    compare,
    growth,
    percentile,
    steady,
    verdict,
)

TIMES = st.lists(st.floats(0.1, 10), min_size=1, max_size=20)


def measured(
    product: tuple[tuple[float, ...], ...],
    floor: tuple[tuple[float, ...], ...],
    again: tuple[tuple[float, ...], ...] | None = None,
) -> Measured:
    return Measured(product=product, floor=floor, again=again or floor)


@pytest.mark.parametrize(
    ("share", "value"),
    [(0.0, 1.0), (0.5, 3.0), (0.95, 4.8), (0.99, 4.96), (1.0, 5.0)],
)
def test_percentiles_lie_between_neighbours_in_proportion(
    share: float, value: float
) -> None:
    assert percentile([5, 3, 1, 2, 4], share) == pytest.approx(value)


def test_the_percentile_of_one_value_is_that_value() -> None:
    assert percentile([7.0], 0.99) == 7.0


@given(TIMES, st.floats(0, 1))
def test_a_percentile_is_never_outside_its_values(
    values: list[float], share: float
) -> None:
    found = percentile(values, share)
    assert min(values) - 1e-9 <= found <= max(values) + 1e-9


def test_the_ratio_is_that_of_the_same_percentile() -> None:
    floor = tuple(float(n) for n in range(1, 101))
    twice = tuple(2 * time for time in floor)
    found = compare(measured((twice,), (floor,)), "p95")
    assert (found.ratio, found.again) == pytest.approx((2.0, 1.0))
    assert (found.product, found.floor) == pytest.approx(
        (2 * percentile(floor, 0.95), percentile(floor * 2, 0.95))
    )


def test_a_round_on_a_slow_machine_changes_no_ratio() -> None:
    floor, product = (1.0, 2.0, 3.0), (1.5, 3.0, 4.5)
    slow = tuple(10 * time for time in floor), tuple(10 * time for time in product)
    found = compare(measured((product, slow[1]), (floor, slow[0])), "p50")
    assert (found.ratio, found.again) == pytest.approx((1.5, 1.0))


@given(st.lists(TIMES, min_size=1, max_size=5), st.floats(0.2, 5))
def test_a_product_that_is_always_so_much_slower_has_that_ratio(
    rounds: list[list[float]], times: float
) -> None:
    floor = tuple(tuple(one) for one in rounds)
    product = tuple(tuple(times * value for value in one) for one in rounds)
    for stat in ("p50", "p95", "p99"):
        both = measured(product * 2, floor * 2)
        assert compare(both, stat).again == pytest.approx(1.0)
    only = measured(product, floor)
    assert compare(only, "p50").ratio == pytest.approx(times)


@pytest.mark.parametrize(
    ("again", "stands"),
    [(0.84, False), (0.86, True), (1.0, True), (1.14, True), (1.16, False)],
)
def test_a_floor_that_differs_from_itself_makes_the_row_void(
    again: float, stands: bool
) -> None:
    found = measured(((1.0,),), ((1.0,),), ((again,),))
    assert steady(found) is stands
    expected = "ok" if stands else "void"
    assert verdict(1.0, 1.4, is_steady=steady(found)) == expected


def test_a_goal_is_the_most_that_the_ratio_may_be() -> None:
    assert verdict(1.4, 1.4, is_steady=True) == "ok"
    assert verdict(1.401, 1.4, is_steady=True) == "MISSED"
    assert verdict(9.0, None, is_steady=True) == ""
    assert verdict(9.0, None, is_steady=False) == "void"


@pytest.mark.parametrize(
    ("many", "power"), [([4.0, 5.0, 4.0], 1.0), ([16.0, 16.0, 2.0], 2.0), ([1.0], 0.0)]
)
def test_growth_is_the_power_of_the_middle_times(
    many: list[float], power: float
) -> None:
    assert growth([1.0, 9.0, 1.0], many, 4) == pytest.approx(power)
