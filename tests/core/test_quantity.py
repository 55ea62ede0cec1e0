"""Quantities as written, exact inside, and times cut, never rounded."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.quantity import (
    Quantity,
    pair,
    parse,
    parse_as,
    parse_duration,
    rounded,
    show_time,
    shown,
)

times = st.integers(0, 599_999_999)


@pytest.mark.parametrize(
    ("text", "amount", "dimension", "unit"),
    [
        ("120 kg", Fraction(120), "mass", "kg"),
        ("47.5 kg", Fraction("47.5"), "mass", "kg"),
        ("265 lb", 265 * Fraction("0.45359237"), "mass", "lb"),
        ("500 g", Fraction("0.5"), "mass", "g"),
        ("10 ft", Fraction("3.048"), "length", "ft"),
        ("6 in", Fraction("0.1524"), "length", "in"),
        ("5 ft 10 in", Fraction("1.778"), "length", "in"),
        ("2.3 m", Fraction("2.3"), "length", "m"),
        ("1.2 s", Fraction("1.2"), "time", "s"),
        ("10 min", Fraction(600), "time", "min"),
    ],
)
def test_a_quantity_is_exact_and_kept_as_written(
    text: str, amount: Fraction, dimension: str, unit: str
) -> None:
    found = parse(text)
    assert (found.written, found.amount, found.dimension, found.unit, found.also) == (
        text,
        amount,
        dimension,
        unit,
        "",
    )


@pytest.mark.parametrize("text", ["22,5 kg", "1.234,56 kg", "1,234 kg", "9,99 lb"])
def test_a_comma_is_refused_and_never_guessed(text: str) -> None:
    with pytest.raises(ValueError, match="write decimals with a full stop"):
        parse(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "kg",
        "70",
        "70 stone",
        "-5 kg",
        "1e3 kg",
        "nan kg",
        "inf kg",
        "7  kg",
        "\u0667 kg",
    ],
)
def test_what_is_no_quantity_is_refused_with_the_units_known(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a number with a unit \(kg, g, lb"):
        parse(text)


def test_inches_beside_feet_stop_before_the_next_foot() -> None:
    assert parse("5 ft 11.5 in").amount == Fraction("1.8161")
    with pytest.raises(ValueError, match="whole foot or more"):
        parse("5 ft 12 in")


def test_a_mass_is_no_length() -> None:
    assert parse_as("10 ft", "length") == parse("10 ft")
    with pytest.raises(ValueError, match='"10 kg" is a mass; a length is needed'):
        parse_as("10 kg", "length")
    with pytest.raises(ValueError, match="10 kg cannot be given in m"):
        parse("10 kg").amount_in("m")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("265 lb", "265 lb ≈ 120.2 kg"),
        ("120 kg", "120 kg ≈ 265 lb"),
        ("47.5 kg", "47.5 kg ≈ 105 lb"),
        ("10 ft", "10 ft ≈ 3.05 m"),
        ("5 ft 10 in", "5 ft 10 in ≈ 1.78 m"),
        ("24 in", "24 in ≈ 61 cm"),
        ("2.3 m", "2.3 m ≈ 7.5 ft"),
        ("61 cm", "61 cm ≈ 24.0 in"),
        ("1.2 s", "1.2 s"),
    ],
)
def test_a_quantity_shows_as_written_then_converted(text: str, expected: str) -> None:
    assert shown(parse(text)) == expected


def test_a_pair_shows_both_markings_and_the_first_one_rules() -> None:
    both = pair(parse("61 kg"), parse("135 lb"))
    assert both == Quantity(
        written="61 kg",
        amount=Fraction(61),
        dimension="mass",
        unit="kg",
        also="135 lb",
    )
    assert shown(both) == "61 kg / 135 lb"


@pytest.mark.parametrize("second", ["2 m", "60 kg"])
def test_a_pair_is_one_thing_in_two_units(second: str) -> None:
    with pytest.raises(ValueError, match="same kind of thing in two units"):
        pair(parse("61 kg"), parse(second))


@pytest.mark.parametrize(
    ("value", "decimals", "expected"),
    [
        (Fraction("0.5"), 0, "1"),
        (Fraction("2.5"), 0, "3"),
        (Fraction("-2.5"), 0, "-3"),
        (Fraction("-0.4"), 0, "0"),
        (Fraction("0.05"), 1, "0.1"),
        (Fraction("1.005"), 2, "1.01"),
        (Fraction(2, 3), 3, "0.667"),
        (Fraction(7), 2, "7.00"),
    ],
)
def test_rounding_goes_half_away_from_zero(
    value: Fraction, decimals: int, expected: str
) -> None:
    assert rounded(value, decimals) == expected


@given(st.fractions(-1000, 1000), st.integers(0, 4))
def test_a_rounded_number_is_at_most_half_a_step_off(
    value: Fraction, decimals: int
) -> None:
    off = abs(Fraction(rounded(value, decimals)) - value)
    assert off <= Fraction(1, 2 * 10**decimals)


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("4:30", 270_000),
        ("0:02.4", 2_400),
        ("9:00.55", 540_550),
        ("1:02:03", 3_723_000),
        ("75:03", 4_503_000),
        ("0:00.001", 1),
        ("1.2 s", 1_200),
        ("10 min", 600_000),
    ],
)
def test_a_duration_is_whole_milliseconds(text: str, ms: int) -> None:
    assert parse_duration(text) == ms


@pytest.mark.parametrize(
    "text", ["", "4", "4:3", "4:60", "1:60:00", "-1:00", "4:30.1234", "5 kg", "4,5 s"]
)
def test_what_is_no_duration_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not a time"):
        parse_duration(text)


def test_a_duration_finer_than_a_millisecond_is_refused() -> None:
    with pytest.raises(ValueError, match="finer than a millisecond"):
        parse_duration("1.2345 s")


@pytest.mark.parametrize(
    ("ms", "precision", "expected"),
    [
        (95_608, 1, "1:35.608"),
        (95_608, 10, "1:35.60"),
        (95_608, 100, "1:35.6"),
        (95_608, 1000, "1:35"),
        (59_997, 10, "0:59.99"),
        (59_997, 1000, "0:59"),
        (60_000, 1000, "1:00"),
        (3_599_999, 10, "59:59.99"),
        (3_600_000, 1000, "1:00:00"),
        (4_503_250, 100, "1:15:03.2"),
        (-4_503_000, 1000, "-1:15:03"),
        (42_000_000, 1000, "11:40:00"),
        (-2_100, 100, "-0:02.1"),
        (-400, 1000, "0:00"),
    ],
)
def test_a_time_is_cut_and_never_rounded(
    ms: int, precision: int, expected: str
) -> None:
    assert show_time(ms, precision) == expected


@given(times, st.sampled_from([1, 10, 100, 1000]))
def test_a_time_shown_reads_back_as_what_was_kept_of_it(
    ms: int, precision: int
) -> None:
    assert parse_duration(show_time(ms, precision)) == ms - ms % precision
