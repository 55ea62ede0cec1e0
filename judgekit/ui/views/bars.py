"""Rates drawn in text: where they lie, how sure that is, and a line of time.

A bar reads without colour: small dots lead up to the likely range, the range is a line,
the rate a mark upon it.
"""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.review.faults import Rate

_TOPS = (0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.0)
_BEYOND = ">"
_MANY = 9


class Marks(NamedTuple):
    """The signs that bars are made of."""

    lead: str
    line: str
    at: str


BLOCKS = Marks("·", "━", "●")
ASCII = Marks(".", "-", "o")


def top_of(rates: Iterable[Rate]) -> float:
    """Where the scale of some bars ends: it holds every rate, and every sure range.

    Ranges that say little do not stretch it.
    """
    every = [rate for rate in rates if rate.high is not None]
    sure = [rate for rate in every if not rate.is_small] or every
    ranges = (rate.high or 0.0 for rate in sure)
    most = max((*ranges, *(rate.rate or 0.0 for rate in every)), default=0.0)
    return next(top for top in _TOPS if most <= top)


def bar(rate: Rate, top: float, columns: int, marks: Marks) -> str:
    """One rate on a scale from nought to `top`; blank where there is none.

    What lies beyond the scale ends in an arrow.
    """
    if rate.rate is None or rate.low is None or rate.high is None:
        return " " * columns
    low, at, high = (
        _cell(part, top, columns) for part in (rate.low, rate.rate, rate.high)
    )
    cells = [marks.lead] * low + [marks.line] * (high - low + 1)
    cells[at] = marks.at
    if rate.high > top:
        cells[-1] = _BEYOND
    return "".join(cells).ljust(columns)


def _cell(part: float, top: float, columns: int) -> int:
    return min(int(part / top * columns), columns - 1)


def axis(top: float, columns: int) -> str:
    """The scale above bars: nought, its middle, and where it ends."""
    ends = (f"{top / 2 * 100:g}", f"{top * 100:g} %")
    middle = columns // 2
    text = "0 %".ljust(middle) + ends[0]
    return text.ljust(columns - len(ends[1])) + ends[1]


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
