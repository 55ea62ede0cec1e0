"""Measured values against planned ones, read as a tape is read."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.measuring import (
    Wanted,
    above_reach,
    doubted,
    far_off,
    markings,
    miss,
    no_reach,
    reached,
)
from judgekit.core.quantity import Quantity, parse, rounded, shown

# Heights as coaches write them, from a low box to a rope's mark.
METRES = st.integers(30, 500).map(lambda cm: f"{rounded(Fraction(cm, 100), 2)} m")
CENTIMETRES = st.integers(30, 500).map(lambda cm: f"{cm} cm")
FEET = st.integers(1, 16).map(lambda feet: f"{feet} ft")
INCHES = st.integers(12, 190).map(lambda inches: f"{inches} in")
HEIGHTS = st.one_of(METRES, CENTIMETRES, FEET, INCHES).map(parse)


def off_by(height: Quantity, by: Fraction, unit: str) -> Quantity:
    """What a tape in that unit shows, so far from the height."""
    decimals = {"m": 2, "cm": 0, "mm": 0, "in": 1}[unit]
    amount = (height.amount + by) / parse(f"1 {unit}").amount
    return parse(f"{rounded(amount, decimals)} {unit}")


def fixed(*texts: str, least: bool = False) -> Wanted:
    return Wanted(markings=tuple(map(parse, texts)), least=least)


@given(HEIGHTS, st.sampled_from(["m", "cm", "mm", "in"]), st.booleans())
def test_a_centimetre_short_is_refused_for_every_height_and_unit(
    height: Quantity, unit: str, least: bool
) -> None:
    short = off_by(height, Fraction(-1, 100), unit)
    words = miss(short, Wanted(markings=(height,), least=least))
    assert words.startswith(f"{short.written} is ")
    assert " under " in words
    assert words.endswith("; raise it and measure again")


@given(HEIGHTS, st.sampled_from(["m", "cm", "mm", "in"]))
def test_a_tape_that_shows_the_height_is_never_refused(
    height: Quantity, unit: str
) -> None:
    assert miss(off_by(height, Fraction(0), unit), Wanted(markings=(height,))) == ""


@given(HEIGHTS, st.integers(1, 300))
def test_over_is_fine_above_reach_and_refused_for_a_fixed_target(
    height: Quantity, centimetres: int
) -> None:
    over = off_by(height, Fraction(centimetres, 100), "mm")
    assert miss(over, Wanted(markings=(height,), least=True)) == ""
    assert " over " in miss(over, Wanted(markings=(height,)))


@pytest.mark.parametrize(
    ("value", "wanted", "says"),
    [
        ("2.28 m", "2.29 m", "2.28 m is 1 cm under 2.29 m; raise it"),
        ("228 cm", "2.29 m", "228 cm is 1 cm under 2.29 m; raise it"),
        ("3.04 m", "10 ft", "3.04 m is 1 cm under 3.05 m; raise it"),
        ("9 ft 11 in", "10 ft", "9 ft 11 in is 1 in under 10 ft; raise it"),
        ("2.7 m", "9 ft", "2.7 m is 4 cm under 2.74 m; raise it"),
        ("90 in", "2.30 m", "90 in is 0.6 in under 90.6 in; raise it"),
        ("3.10 m", "10 ft", "3.10 m is 5 cm over 3.05 m; lower it"),
        ("2.284 m", "2.29 m", "2.284 m is 0.6 cm under 2.29 m; raise it"),
    ],
)
def test_a_height_that_misses_says_by_how_much_and_what_to_do(
    value: str, wanted: str, says: str
) -> None:
    assert miss(parse(value), fixed(wanted)) == f"{says} and measure again"


@pytest.mark.parametrize(
    ("value", "wanted"),
    [
        ("2.74 m", ("9 ft",)),
        ("2.30 m", ("90.5 in",)),
        ("90.5 in", ("2.30 m",)),
        ("10 ft", ("10 ft",)),
        ("2.286 m", ("2.29 m",)),
        ("135 lb", ("61 kg", "135 lb")),
        ("61 kg", ("61 kg", "135 lb")),
        ("42.5 kg", ("42.5 kg",)),
        ("94 lb", ("42.5 kg",)),
    ],
)
def test_what_a_tape_or_a_marking_shows_in_another_unit_fits(
    value: str, wanted: tuple[str, ...]
) -> None:
    assert miss(parse(value), fixed(*wanted)) == ""


@pytest.mark.parametrize(
    ("value", "wanted", "asked"),
    [
        ("40 kg", ("42.5 kg",), "42.5 kg"),
        ("42.4 kg", ("42.5 kg",), "42.5 kg"),
        ("10 lb", ("10 kg",), "10 kg"),
        ("60 kg", ("61 kg", "135 lb"), "61 kg / 135 lb"),
    ],
)
def test_another_load_is_refused(
    value: str, wanted: tuple[str, ...], asked: str
) -> None:
    words = f"{value} is not {asked}; load it again"
    assert miss(parse(value), fixed(*wanted)) == words


def test_a_planned_height_above_reach_is_taken_apart() -> None:
    known = above_reach("6 in above reach 2.14 m ≈ 2.30 m")
    assert known is not None
    assert known.reach is not None
    assert (known.above, known.reach) == (parse("6 in"), parse("2.14 m"))
    assert reached(known.above, known.reach) == Quantity(
        written="2.30 m", amount=Fraction("2.30"), dimension="length", unit="m"
    )
    unknown = above_reach("6 in above reach (measure at the lane check)")
    assert unknown is not None
    assert unknown.reach is None
    assert above_reach("9 ft ≈ 2.74 m") is None


@given(HEIGHTS)
def test_what_a_plan_shows_reads_back_as_it_was_written(height: Quantity) -> None:
    assert markings(shown(height), "length") == (height,)


def test_markings_of_a_pair_are_both_and_words_have_none() -> None:
    assert markings("61 kg / 135 lb", "mass") == (parse("61 kg"), parse("135 lb"))
    assert markings("empty bar", "mass") == ()
    assert markings("61 kg", "length") == ()


@pytest.mark.parametrize(
    ("number", "unit", "asked", "says"),
    [
        ("2.45", "m", "", ""),
        ("245", "m", "", "245 what? Type 245 cm"),
        ("84", "m", "", "84 what? Type 84 in"),
        ("7.5", "m", "", "7.5 what? Type 7.5 ft"),
        ("2140", "m", "", "2140 what? Type 2140 mm"),
        ("1.5", "m", "", "1.5 what? Type its unit, too: m, cm, in, ft, mm"),
        ("2.29", "m", "2.30 m", ""),
        ("229", "m", "2.30 m", "229 what? Type 229 cm"),
        ("2.75", "ft", "9 ft", "2.75 what? Type 2.75 m"),
        ("24", "in", "24 in", ""),
        ("40", "kg", "42.5 kg", ""),
        ("94", "kg", "42.5 kg", "94 what? Type 94 lb"),
        ("135", "kg", "61 kg / 135 lb", "135 what? Type 135 lb"),
    ],
)
def test_a_number_that_can_hardly_be_of_the_unit_meant_is_asked_about(
    number: str, unit: str, asked: str, says: str
) -> None:
    wanted = None
    if asked:
        found = markings(asked, parse(f"1 {unit}").dimension)
        wanted = Wanted(markings=found)
    assert doubted(number, unit, wanted) == says


@pytest.mark.parametrize("value", ["0.5 m", "245 cm", "7 ft 2 in", "4 m"])
def test_what_somebody_may_reach_is_a_reach(value: str) -> None:
    assert no_reach(parse(value)) == ""


@pytest.mark.parametrize("value", ["0.49 m", "4.01 m", "245 m", "2.45 cm"])
def test_what_nobody_reaches_is_refused_with_the_span(value: str) -> None:
    assert no_reach(parse(value)) == (
        f"{value} is nobody's reach (0.5 m to 4 m); check the number and its unit"
    )


@pytest.mark.parametrize(
    ("value", "known", "says"),
    [
        ("2.35 m", "2.35 m", ""),
        ("2.26 m", "2.35 m", ""),
        ("2.05 m", "2.35 m", "2.05 m is 30 cm under the reach on file, 2.35 m"),
        ("2.45 m", "2.35 m", "2.45 m is 10 cm over the reach on file, 2.35 m"),
        ("80 in", "2.35 m", "80 in is 12.5 in under the reach on file, 92.5 in"),
    ],
)
def test_a_reach_far_from_the_one_on_file_is_said(
    value: str, known: str, says: str
) -> None:
    assert far_off(parse(value), parse(known)) == says
