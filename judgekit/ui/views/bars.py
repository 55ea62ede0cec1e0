"""Rates drawn in text: where they lie, how sure that is, and a line of time.

A bar reads without colour: small dots lead up to the likely range, the range is a line,
the rate a mark upon it. A change is such a line on a scale with nought in its middle.
"""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.review.differences import Difference
    from judgekit.review.faults import Rate

_TOPS = (0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.0)
_BEYOND, _BELOW = ">", "<"
_MANY = 9


class Marks(NamedTuple):
    """The signs that bars are made of."""

    lead: str
    line: str
    at: str
    zero: str


class Span(NamedTuple):
    """A value between two others, all of them nought or more."""

    low: float
    at: float
    high: float


BLOCKS = Marks("·", "━", "●", "│")
ASCII = Marks(".", "-", "o", "|")


def top_of(rates: Iterable[Rate]) -> float:
    """Where the scale of some bars ends: it holds every rate, and every sure range.

    Ranges that say little do not stretch it.
    """
    every = [rate for rate in rates if rate.high is not None]
    sure = [rate for rate in every if not rate.is_small] or every
    ranges = (rate.high or 0.0 for rate in sure)
    most = max((*ranges, *(rate.rate or 0.0 for rate in every)), default=0.0)
    return next(top for top in _TOPS if most <= top)


def change_top(changes: Iterable[tuple[Difference, bool]]) -> float:
    """Where the scale of changes ends on both sides, each said to be small or not.

    It holds every change, and every range that is not small.
    """
    every = list(changes)
    sure = [one for one, small in every if not small] or [one for one, _ in every]
    ends = (max(-one.low, one.high) for one in sure)
    most = max((*ends, *(abs(one.by) for one, _ in every)), default=0.0)
    return next(top for top in _TOPS if most <= top)


def bar(rate: Rate, top: float, columns: int, marks: Marks) -> str:
    """One rate on a scale from nought to `top`; blank where there is none.

    What lies beyond the scale ends in an arrow.
    """
    if rate.rate is None or rate.low is None or rate.high is None:
        return " " * columns
    return span_bar(Span(rate.low, rate.rate, rate.high), top, columns, marks)


def span_bar(span: Span, top: float, columns: int, marks: Marks) -> str:
    """A line from low to high with a mark on it, on a scale from nought to `top`."""
    low, at, high = (_cell(part, top, columns) for part in span)
    cells = [marks.lead] * low + [marks.line] * (high - low + 1)
    cells[at] = marks.at
    if span.high > top:
        cells[-1] = _BEYOND
    return "".join(cells).ljust(columns)


def change_bar(change: Difference, top: float, columns: int, marks: Marks) -> str:
    """A change with its range on a scale from less `top` to `top`, nought marked."""
    low, zero, by, high = (
        max(0, _cell(part + top, 2 * top, columns))
        for part in (change.low, 0.0, change.by, change.high)
    )
    cells = [" "] * columns
    cells[low : high + 1] = [marks.line] * (high - low + 1)
    if change.low < -top:
        cells[0] = _BELOW
    if change.high > top:
        cells[-1] = _BEYOND
    cells[zero] = marks.zero
    cells[by] = marks.at
    return "".join(cells)


def _cell(part: float, top: float, columns: int) -> int:
    return min(int(part / top * columns), columns - 1)


def axis(top: float, columns: int) -> str:
    """The scale above rates: nought, its middle, and where it ends."""
    return scale("0 %", f"{top / 2 * 100:g}", f"{top * 100:g} %", columns)


def change_axis(top: float, columns: int) -> str:
    """The scale above changes, in points of 100."""
    return scale(f"{-top * 100:g}", "0", f"{top * 100:+g}", columns)


def scale(left: str, middle: str, right: str, columns: int) -> str:
    """What stands at the beginning, in the middle and at the end of a scale."""
    text = left.ljust(columns // 2) + middle
    return text.ljust(columns - len(right)) + right


def time_line(
    marks: Sequence[tuple[int, str]], worked: int, whole: int, columns: int, lead: str
) -> str:
    """Signs at their times on a line as long as the lane worked, of `whole` ms.

    Where several fall into one cell their number stands there.
    """
    cells = [lead] * (_place(worked, whole, columns) + 1) if whole else []
    found: dict[int, list[str]] = {}
    for at, sign in marks:
        found.setdefault(_place(at, whole, columns), []).append(sign)
    for place, signs in found.items():
        many = len(signs)
        cells[place] = signs[0] if many == 1 else str(min(many, _MANY))
    return "".join(cells).ljust(columns)


def _place(at: int, whole: int, columns: int) -> int:
    """The cell of a time; what came before a start ruled later stands at the start."""
    return min(max(0, at) * columns // max(1, whole), columns - 1)


def time_axis(whole: int, columns: int) -> str:
    """Minutes above lines of time."""
    minutes = whole / 60_000
    step = max(1, ceil(minutes / max(1, columns // 8)))
    cells = [" "] * columns
    for minute in range(0, int(minutes) + 1, step):
        place = _place(minute * 60_000, whole, columns)
        text = f"{minute}" if minute else "0 min"
        if place + len(text) <= columns:
            cells[place : place + len(text)] = text
    return "".join(cells)
