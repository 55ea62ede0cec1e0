"""Units against their published values and another program.

NIST Handbook 44, Appendix C, and NIST SP 811 (2008), Appendix B.8: the inch, the foot
and the avoirdupois pound are exact; the equivalents below follow from them.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.quantity import parse, rounded, shown

POUNDS = {
    "45": "20.41165665",
    "95": "43.09127515",
    "115": "52.16312255",
    "135": "61.23496995",
    "155": "70.30681735",
    "185": "83.91458845",
    "225": "102.05828325",
    "315": "142.88159655",
}
LENGTHS = {
    "10 ft": "3.048",
    "9 ft": "2.7432",
    "24 in": "0.6096",
    "20 in": "0.508",
    "30 in": "0.762",
    "12 in": "0.3048",
}
TO_POUNDS = {
    "20": ("44.0924524", 7),
    "15": ("33.0693393", 7),
    "60": ("132.277357", 6),
    "100": ("220.462262", 6),
    "16": ("35.273962", 6),
    "24": ("52.910943", 6),
    "32": ("70.547924", 6),
}
TO_INCHES = {"3 m": ("118.110236", 6), "0.6 m": ("23.622047", 6)}
DIMENSIONS = {"mass": ("kg", "g", "lb"), "length": ("m", "cm", "mm", "in", "ft")}
amounts = st.decimals(0, 100_000, places=3).map(lambda d: f"{d:f}")


@pytest.mark.parametrize(
    ("written", "amount"),
    [("1 in", "0.0254"), ("1 ft", "0.3048"), ("1 lb", "0.45359237")],
)
def test_a_unit_is_exactly_what_is_published(written: str, amount: str) -> None:
    assert parse(written).amount == Fraction(amount)


@pytest.mark.parametrize(("pounds", "kilograms"), POUNDS.items())
def test_a_plate_or_bar_in_pounds_has_its_exact_mass(
    pounds: str, kilograms: str
) -> None:
    assert parse(f"{pounds} lb").amount_in("kg") == Fraction(kilograms)


@pytest.mark.parametrize(("written", "metres"), LENGTHS.items())
def test_a_height_in_feet_or_inches_has_its_exact_length(
    written: str, metres: str
) -> None:
    assert parse(written).amount_in("m") == Fraction(metres)


@pytest.mark.parametrize(("kilograms", "pounds"), TO_POUNDS.items())
def test_kilograms_in_pounds_agree_to_all_published_digits(
    kilograms: str, pounds: tuple[str, int]
) -> None:
    digits, decimals = pounds
    assert rounded(parse(f"{kilograms} kg").amount_in("lb"), decimals) == digits


@pytest.mark.parametrize(("metres", "inches"), TO_INCHES.items())
def test_metres_in_inches_agree_to_all_published_digits(
    metres: str, inches: tuple[str, int]
) -> None:
    digits, decimals = inches
    assert rounded(parse(metres).amount_in("in"), decimals) == digits


def test_a_bar_of_45_lb_is_no_bar_of_20_kg() -> None:
    apart = parse("45 lb").amount - parse("20 kg").amount
    assert apart == Fraction("0.41165665")


def test_inches_show_no_more_figures_than_they_have() -> None:
    # NIST LC 1137's example: 36 in is 91 cm.
    assert shown(parse("36 in")) == "36 in ≈ 91 cm"


@given(amounts)
def test_kilograms_by_way_of_pounds_show_the_same_number(number: str) -> None:
    there = parse(f"{number} kg").amount_in("lb")
    back = there * parse("1 lb").amount
    assert rounded(back, 3) == number


@given(st.data(), amounts)
def test_agrees_with_pint(data: st.DataObject, number: str) -> None:
    units = DIMENSIONS[data.draw(st.sampled_from(sorted(DIMENSIONS)))]
    from_unit, to_unit = (data.draw(st.sampled_from(units)) for _ in range(2))
    ours = parse(f"{number} {from_unit}").amount_in(to_unit)
    theirs = REGISTRY.Quantity(Decimal(number), NAMES[from_unit]).to(NAMES[to_unit])
    assert float(ours) == pytest.approx(float(theirs.magnitude), rel=1e-12)


NAMES = {
    "kg": "kilogram",
    "g": "gram",
    "lb": "pound",
    "m": "metre",
    "cm": "centimetre",
    "mm": "millimetre",
    "in": "inch",
    "ft": "foot",
}
REGISTRY: pint.UnitRegistry[Decimal] = pint.UnitRegistry(non_int_type=Decimal)
