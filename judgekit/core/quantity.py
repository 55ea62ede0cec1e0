"""Exact quantities with units, kept as written: loads, heights, distances, times."""

from __future__ import annotations

import re
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING, Literal

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

Dimension = Literal["mass", "length", "time"]

# Exact factors to kg, m and s. NIST Handbook 44, Appendix C: 1 lb = 0.453 592 37 kg,
# 1 in = 25.4 mm; NIST SP 811, B.8: 1 ft = 0.3048 m.
_UNITS: Mapping[str, tuple[Dimension, Fraction]] = {
    "kg": ("mass", Fraction(1)),
    "g": ("mass", Fraction(1, 1000)),
    "lb": ("mass", Fraction(45359237, 100000000)),
    "m": ("length", Fraction(1)),
    "cm": ("length", Fraction(1, 100)),
    "mm": ("length", Fraction(1, 1000)),
    "in": ("length", Fraction(254, 10000)),
    "ft": ("length", Fraction(3048, 10000)),
    "s": ("time", Fraction(1)),
    "min": ("time", Fraction(60)),
}
_NUMBER = r"(\d{1,9}(?:\.\d{1,6})?)"
_ONE = re.compile(rf"{_NUMBER} ?([a-z]{{1,3}})", re.ASCII)
_FEET_INCHES = re.compile(rf"(\d{{1,4}}) ?ft {_NUMBER} ?in", re.ASCII)
_CLOCK = re.compile(r"(?:(\d{1,3}):)?(\d{1,4}):(\d{2})(?:\.(\d{1,3}))?", re.ASCII)
_SIXTY = 60
_INCHES_IN_A_FOOT = 12
_CONVERTED: Mapping[str, tuple[str, int]] = {
    "lb": ("kg", 1),
    "kg": ("lb", 0),
    "g": ("lb", 2),
    "ft": ("m", 2),
    "in": ("cm", 0),
    "m": ("ft", 1),
    "cm": ("in", 1),
    "mm": ("in", 1),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """An exact amount in kg, m or s, and the words in which it was written.

    `unit` is the unit it was written in (the smaller one of "5 ft 10 in"). A thing
    marked in both units carries the second marking in `also`, as written; `amount`
    is always the first marking's.
    """

    written: str
    amount: Fraction
    dimension: Dimension
    unit: str
    also: str = ""

    def amount_in(self, unit: str) -> Fraction:
        """The exact amount in another unit of the same dimension."""
        dimension, factor = _UNITS[unit]
        if dimension != self.dimension:
            raise ValueError(f"{self.written} cannot be given in {unit}")
        return self.amount / factor


def parse(text: str) -> Quantity:
    """A quantity from its words: "10 ft", "5 ft 10 in", "2.3 m", "120 kg", "265 lb".

    Raises ValueError, in words for a coach. A decimal comma is refused, never guessed.
    """
    if "," in text:
        raise ValueError(f'"{text}" has a comma; write decimals with a full stop')
    both = _FEET_INCHES.fullmatch(text.strip())
    if both:
        feet, inches = Fraction(both[1]), Fraction(both[2])
        if inches >= _INCHES_IN_A_FOOT:
            raise ValueError(f'"{text}" has a whole foot or more in its inches')
        amount = feet * _UNITS["ft"][1] + inches * _UNITS["in"][1]
        return Quantity(
            written=text.strip(), amount=amount, dimension="length", unit="in"
        )
    one = _ONE.fullmatch(text.strip())
    if not one or one[2] not in _UNITS:
        known = ", ".join(_UNITS)
        raise ValueError(f'"{text}" is not a number with a unit ({known})')
    dimension, factor = _UNITS[one[2]]
    return Quantity(
        written=text.strip(),
        amount=Fraction(one[1]) * factor,
        dimension=dimension,
        unit=one[2],
    )


def parse_as(text: str, dimension: Dimension) -> Quantity:
    """A quantity that must be a mass, a length or a time; ValueError says otherwise."""
    quantity = parse(text)
    if quantity.dimension != dimension:
        raise ValueError(f'"{text}" is a {quantity.dimension}; a {dimension} is needed')
    return quantity


def pair(first: Quantity, second: Quantity) -> Quantity:
    """A thing marked in two units, such as 61 kg / 135 lb: the first one rules."""
    if first.dimension != second.dimension or first.unit == second.unit:
        raise ValueError("a pair needs the same kind of thing in two units")
    return Quantity(
        written=first.written,
        amount=first.amount,
        dimension=first.dimension,
        unit=first.unit,
        also=second.written,
    )


def shown(quantity: Quantity) -> str:
    """As written, then the other marking, or the converted value after ≈.

    Converted values are rounded half up to a fixed number of decimals for each unit
    (kg 1, lb 0, m 2, cm 0, ft 1, in 1), a display choice of ours.
    """
    if quantity.also:
        return f"{quantity.written} / {quantity.also}"
    target = _CONVERTED.get(quantity.unit)
    if target is None:
        return quantity.written
    unit, decimals = target
    if "ft" in quantity.written:
        unit, decimals = "m", 2
    return f"{quantity.written} ≈ {rounded(quantity.amount_in(unit), decimals)} {unit}"


def rounded(value: Fraction, decimals: int) -> str:
    """A fraction as decimal text, rounded half away from zero."""
    scale = 10**decimals
    scaled = abs(value) * scale
    whole = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    sign = "-" if value < 0 and whole else ""
    digits = str(whole).rjust(decimals + 1, "0")
    if not decimals:
        return sign + digits
    return f"{sign}{digits[:-decimals]}.{digits[-decimals:]}"


def rounded_up(value: Fraction, decimals: int) -> str:
    """The same, but never less than the value: what is "at least" so high."""
    scale = 10**decimals
    return rounded(Fraction(ceil(value * scale), scale), decimals)


def parse_duration(text: str) -> int:
    """Whole ms from "4:30", "1:02:03", "9:00.5", "1.2 s" or "10 min".

    Raises ValueError for anything else, and for a part of a millisecond.
    """
    clock = _CLOCK.fullmatch(text.strip())
    if clock:
        hours, minutes, seconds, tail = clock.groups()
        if int(seconds) >= _SIXTY or (hours and int(minutes) >= _SIXTY):
            raise ValueError(f'"{text}" is not a time; seconds go up to 59')
        whole = (int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)
        return whole * 1000 + int((tail or "0").ljust(3, "0"))
    try:
        quantity = parse_as(text, "time")
    except ValueError as error:
        raise ValueError(f'"{text}" is not a time such as "4:30" or "1.2 s"') from error
    ms = quantity.amount * 1000
    if ms.denominator != 1:
        raise ValueError(f'"{text}" is finer than a millisecond')
    return ms.numerator


def show_time(ms: int, precision_ms: int = 1000) -> str:
    """A time cut (never rounded) to a precision of 1000, 100, 10 or 1 ms: "7:41.2".

    From one hour on it has hours: "1:15:03".
    """
    kept = abs(ms) // precision_ms * precision_ms
    sign = "-" if ms < 0 and kept else ""
    whole, tail = divmod(kept, 1000)
    minutes, seconds = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    clock = f"{hours}:{minutes:02d}" if hours else f"{minutes}"
    decimals = {1000: 0, 100: 1, 10: 2, 1: 3}[precision_ms]
    dot = f".{tail:03d}"[: decimals + 1] if decimals else ""
    return f"{sign}{clock}:{seconds:02d}{dot}"
