"""What the bench computes from times: percentiles, ratios, and when a row says nothing.

A machine drifts while it is measured, so every time is divided by the floor's median of
the same round before rounds are thrown together; percentiles are taken after that.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log
from statistics import median
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Verdict = Literal["ok", "MISSED", "void", ""]
Rounds = tuple[tuple[float, ...], ...]

STATS: Mapping[str, float] = {"p50": 0.50, "p95": 0.95, "p99": 0.99}
# A floor that differs from itself by more than this was measured on a restless machine.
STEADY = (0.85, 1.15)


def percentile(values: Sequence[float], share: float) -> float:
    """The value below which that share lies, between neighbours in proportion."""
    ordered = sorted(values)
    place = share * (len(ordered) - 1)
    below = int(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (ordered[above] - ordered[below]) * (place - below)


def growth(few: Sequence[float], many: Sequence[float], times: float) -> float:
    """By which power something grows: its times, and those of `times` as much of it.

    1 is linear; of each the middle time counts.
    """
    return log(median(many) / median(few)) / log(times)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Times of a product, its floor and the floor once more, round by round.

    All in one unit; each round was measured interleaved and holds at least one time.
    """

    product: Rounds
    floor: Rounds
    again: Rounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One percentile: both values in the unit measured, their ratio, and A/A."""

    product: float
    floor: float
    ratio: float
    again: float


def compare(measured: Measured, stat: str) -> Compared:
    """The product against its floor, and the floor against itself, at a percentile."""
    share = STATS[stat]
    floors = [
        (*one, *other)
        for one, other in zip(measured.floor, measured.again, strict=True)
    ]
    middles = [median(times) for times in floors]
    product = percentile(_relative(measured.product, middles), share)
    floor = percentile(_relative(floors, middles), share)
    return Compared(
        product=percentile(_together(measured.product), share),
        floor=percentile(_together(floors), share),
        ratio=product / floor,
        again=percentile(_relative(measured.again, middles), share)
        / percentile(_relative(measured.floor, middles), share),
    )


def steady(measured: Measured) -> bool:
    """Whether the floor's medians agree well enough for the row to say anything."""
    low, high = STEADY
    return low <= compare(measured, "p50").again <= high


def verdict(ratio: float, goal: float | None, *, is_steady: bool) -> Verdict:
    """What a ratio is worth: nothing without a goal, nothing on a restless machine."""
    if not is_steady:
        return "void"
    if goal is None:
        return ""
    return "ok" if ratio <= goal else "MISSED"


def _relative(
    rounds: Sequence[Sequence[float]], middles: Sequence[float]
) -> list[float]:
    return [
        time / middle
        for times, middle in zip(rounds, middles, strict=True)
        for time in times
    ]


def _together(rounds: Sequence[Sequence[float]]) -> list[float]:
    return [time for times in rounds for time in times]
