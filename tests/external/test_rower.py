"""The rowing machine's monitor against its maker's published formulas.

A. Dudhia (Univ. of Oxford), "The Physics of Ergometers", sections 9 to 11: the power
of a pace is 2.80 / p^3 watts with p in seconds a metre. Calories an hour are 4 x 0.8604
for each watt and 300 more (the 300 from memory); a second published form, kJ by 4.2 and
0.35 a second, differs by 0.3 %.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from judgekit.core.rower import calories_per_hour, metres_ms, watts


def of_pace(seconds_for_500: int) -> Fraction:
    return watts(Fraction(seconds_for_500, 500))


def of_pace_exactly(seconds_for_500: float) -> Fraction:
    return watts(Fraction(str(seconds_for_500)) / 500)


# Pace for 500 m in seconds, watts, calories an hour by the first and the second form.
PACES = [
    (85, 569.9165, 2261.425, 2254.000),
    (90, 480.1097, 1952.346, 1946.091),
    (100, 350.0000, 1504.560, 1500.000),
    (105, 302.3432, 1340.544, 1336.605),
    (110, 262.9602, 1205.004, 1201.578),
    (115, 230.1307, 1092.018, 1089.019),
    (120, 202.5463, 997.083, 994.444),
    (125, 179.2000, 916.735, 914.400),
    (150, 103.7037, 656.907, 655.556),
]


@pytest.mark.parametrize(("pace", "power", "calories", "other"), PACES)
def test_power_and_calories_of_a_pace(
    pace: int, power: float, calories: float, other: float
) -> None:
    assert float(of_pace(pace)) == pytest.approx(power, abs=5e-5)
    found = float(calories_per_hour(of_pace(pace)))
    assert found == pytest.approx(calories, abs=5e-4)
    # E in kJ is W x 3.6 in an hour: (4 E + 0.35 t) / 4.2.
    second = (4 * float(of_pace(pace)) * 3.6 + 0.35 * 3600) / 4.2
    assert second == pytest.approx(other, abs=5e-4)
    assert found == pytest.approx(second, rel=0.0035)


def test_a_wrong_form_that_circulates_is_not_ours() -> None:
    """(W + 300) x 0.86 x 4 makes about 1824 of 1:55 instead of 1092."""
    power = float(of_pace(115))
    assert round((power + 300) * 0.86 * 4) == 1824
    assert round(calories_per_hour(of_pace(115))) == 1092


# The pace for 500 m in seconds at so many watts.
@pytest.mark.parametrize(
    ("power", "pace"),
    [(100, 151.829), (150, 132.635), (200, 120.507), (250, 111.869), (300, 105.273)],
)
def test_the_pace_of_a_power(power: int, pace: float) -> None:
    assert float(of_pace_exactly(pace)) == pytest.approx(power, rel=2e-5)


@pytest.mark.parametrize(("calories", "pace"), [(1000, 119.833), (1200, 110.203)])
def test_the_pace_of_calories(calories: int, pace: float) -> None:
    assert metres_ms(Fraction(500), 3_600_000 // calories) == pytest.approx(
        pace * 1000, abs=1
    )


def test_300_calories_an_hour_are_no_pace_at_all() -> None:
    assert calories_per_hour(Fraction(0)) == 300
    assert metres_ms(Fraction(500), 3_600_000 // 300) == 0
    assert metres_ms(Fraction(500), 20_000) == 0


def test_the_time_of_metres_is_the_least_whole_ms() -> None:
    """At 0.9 s a calorie, 4000 an hour: one ms less is more power than that."""
    ms = metres_ms(Fraction(500), 900)
    rate = [calories_per_hour(watts(Fraction(t, 500_000))) for t in (ms - 1, ms)]
    assert rate[0] > 4000 >= rate[1]
