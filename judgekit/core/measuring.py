"""What was measured at a lane against what is planned there, exact to the tape.

A tape is read to the centimetre: up to half a centimetre off is the reading, not a
miss. A load is what is marked on it, in either of its markings.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from judgekit.core.quantity import Dimension, Quantity, parse, rounded, rounded_up
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

_READING_M = Fraction(1, 200)
_ABOVE = re.compile(r"(?P<above>.+) above reach (?:(?P<reach>.+?) [=≈] .+|\(.+\))")
# No person has another reach: whatever lies outside has a slipped unit.
REACH_SPAN = ("0.5 m", "4 m")
# What nearly all grown people reach: from the stature three deviations below British
# women's mean (1424 mm) times 1.15, to three above US men's (1968 mm) times 1.35; the
# statures after Pheasant, the two ratios a choice of ours around 1.25.
USUAL_REACH = ("1.64 m", "2.66 m")
# So far from the reach on file it is likelier somebody else's, or another line's.
_FAR_M = Fraction(1, 10)
# So many times what is asked, or less than its part, is likelier another unit's number.
_OTHER_UNIT = 2
_MEASURED_IN: Mapping[Dimension, tuple[str, ...]] = {
    "length": ("m", "cm", "in", "ft", "mm"),
    "mass": ("kg", "lb"),
}
_FEET = ("ft", "in")
# In which unit masses are compared where the markings differ, and how finely.
_DECIMALS = {"kg": 1, "lb": 0, "g": 0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a measured value must be: one of the markings, or `least` that much."""

    markings: tuple[Quantity, ...]
    least: bool = False

    @property
    def dimension(self) -> Dimension:
        """Whether a length or a mass is asked."""
        return self.markings[0].dimension


@dataclass(frozen=True, slots=True, kw_only=True)
class AboveReach:
    """A height above the athlete's reach; `reach` is None while it is not known."""

    above: Quantity
    reach: Quantity | None


def above_reach(height: str) -> AboveReach | None:
    """A planned height that is made of the athlete's reach, or None for any other."""
    found = _ABOVE.fullmatch(height)
    if found is None:
        return None
    try:
        reach = found["reach"]
        return AboveReach(
            above=parse(found["above"]), reach=parse(reach) if reach else None
        )
    except ValueError:
        return None


def reached(above: Quantity, reach: Quantity) -> Quantity:
    """That much above a reach, in metres, to the next centimetre: less is under."""
    metres = rounded_up(above.amount + reach.amount, 2)
    amount = Fraction(metres)
    return Quantity(written=f"{metres} m", amount=amount, dimension="length", unit="m")


def markings(planned: str, dimension: Dimension) -> tuple[Quantity, ...]:
    """The markings of a planned load or height; none where it is in words."""
    found: list[Quantity] = []
    for text in planned.partition(" ≈ ")[0].split(" / "):
        try:
            found.append(parse(text))
        except ValueError:
            return ()
    return tuple(found) if {q.dimension for q in found} == {dimension} else ()


def miss(value: Quantity, wanted: Wanted) -> str:
    """Why a measured value will not do, and what to do then; empty if it does."""
    if wanted.dimension == "mass":
        fits = any(_same_load(value, marking) for marking in wanted.markings)
        asked = " / ".join(marking.written for marking in wanted.markings)
        return "" if fits else f"{value.written} is not {asked}; load it again"
    misses = [_off(value, marking, wanted) for marking in wanted.markings]
    return misses[0] if all(misses) else ""


def no_reach(value: Quantity) -> str:
    """Why a value is nobody's reach; empty if it may be."""
    least, most = (parse(end).amount for end in REACH_SPAN)
    if least <= value.amount <= most:
        return ""
    return (
        f"{value.written} is nobody's reach ({' to '.join(REACH_SPAN)}); "
        "check the number and its unit"
    )


def far_off(value: Quantity, known: Quantity) -> str:
    """How far a reach is from the one on file; empty where that is little."""
    by = value.amount - known.amount
    if abs(by) < _FAR_M:
        return ""
    asked, difference = _in_words(value, known)
    how = "under" if by < 0 else "over"
    return f"{value.written} is {difference} {how} the reach on file, {asked}"


def doubted(number: str, unit: str, wanted: Wanted | None) -> str:
    """What to type in place of a number without a unit; empty if `unit` can be meant.

    It is compared with what is asked, or with what people reach where nothing is.
    """
    low, high = (parse(end).amount for end in USUAL_REACH)
    if wanted is not None:
        asked = [marking.amount for marking in wanted.markings]
        low, high = min(asked) / _OTHER_UNIT, max(asked) * _OTHER_UNIT
    value = parse(f"{number} {unit}")
    if low <= value.amount <= high:
        return ""
    units = _MEASURED_IN[value.dimension]
    near = (u for u in units if low <= parse(f"{number} {u}").amount <= high)
    likely = next(near, "")
    right = f"{number} {likely}" if likely else f"its unit, too: {', '.join(units)}"
    return f"{number} what? Type {right}"


def _same_load(value: Quantity, marking: Quantity) -> bool:
    if value.amount == marking.amount:
        return True
    decimals = _DECIMALS[value.unit]
    differ = value.unit != marking.unit
    asked = rounded(marking.amount_in(value.unit), decimals)
    return differ and asked == rounded(value.amount_in(value.unit), decimals)


def _off(value: Quantity, marking: Quantity, wanted: Wanted) -> str:
    """By how much a height is off, in words; empty within a tape's reading."""
    by = value.amount - marking.amount
    if by > -_READING_M and (wanted.least or by <= _READING_M):
        return ""
    how, what = ("under", "raise") if by < 0 else ("over", "lower")
    asked, difference = _in_words(value, marking)
    return f"{value.written} is {difference} {how} {asked}; {what} it and measure again"


def _in_words(value: Quantity, marking: Quantity) -> tuple[str, str]:
    """What is asked, as finely as the value was read, and the difference to that."""
    if value.unit in _FEET:
        asked = _tenths(marking.amount_in("in"))
        written = f"{_plain(asked)} in"
        shown = marking.written if marking.unit in _FEET else written
        return shown, f"{_plain(abs(_tenths(value.amount_in('in')) - asked))} in"
    fine = 2 if (value.amount * 100).denominator == 1 else 3
    asked = Fraction(rounded(marking.amount, fine))
    shown = marking.written if marking.unit not in _FEET else ""
    difference = abs(value.amount - asked) * 100
    return shown or f"{rounded(asked, fine)} m", f"{_plain(_tenths(difference))} cm"


def _tenths(amount: Fraction) -> Fraction:
    return Fraction(rounded(amount, 1))


def _plain(amount: Fraction) -> str:
    return rounded(amount, 1).removesuffix(".0")
