"""Charts of rates: a bar for what is known, a line for where the rate likely lies.

A chart is data that every page draws its own way: a browser as wide as it is, paper, a
terminal with letters. Places are hundredths of its width. No chart is without words:
each row says its own numbers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.layout import cell_width, visible
from judgekit.reports.ratewords import out_of, percent

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.review.faults import Rate

# Ends of the axis that people read easily, in hundredths; the first that holds all.
_ENDS = (5, 10, 20, 30, 40, 50, 60, 80, 100)
_TICKS = 5
_WHOLE = 100
_LEAST_ROOM = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One row: where its value lies, from where to where it likely does, and its words.

    `low` and `high` are None for what was counted whole.
    """

    label: str
    at: float
    low: float | None
    high: float | None
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A mark of the axis."""

    at: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Rows above one axis, which starts at nothing; `of` says what is drawn."""

    of: str
    bars: tuple[Bar, ...]
    axis: tuple[Mark, ...]


def rates_chart(of: str, rows: Iterable[tuple[str, Rate]]) -> Chart | None:
    """A chart of rates with their intervals; None where none has one."""
    rated = [(label, one) for label, one in rows if one.rate is not None]
    if not rated:
        return None
    highest = max(_hundredths(one.high) for _, one in rated)
    end = next((end for end in _ENDS if highest <= end), _WHOLE)
    return Chart(
        of=of,
        bars=tuple(
            Bar(
                label=label,
                at=_place(one.rate, end),
                low=_place(one.low, end),
                high=_place(one.high, end),
                says=f"{percent(one.rate or 0)} ({out_of(one)})",
            )
            for label, one in rated
        ),
        axis=_axis(end),
    )


def shares_chart(of: str, rows: Iterable[tuple[str, int, int]]) -> Chart | None:
    """A chart of parts of a whole that was counted: label, how many, of how many."""
    known = [row for row in rows if row[2]]
    if not known:
        return None
    return Chart(
        of=of,
        bars=tuple(
            Bar(
                label=label,
                at=_place(many / whole, _WHOLE),
                low=None,
                high=None,
                says=f"{many} of {whole}",
            )
            for label, many, whole in known
        ),
        axis=_axis(_WHOLE),
    )


def _hundredths(part: float | None) -> float:
    return _WHOLE * (part or 0.0)


def _place(part: float | None, end: int) -> float:
    return round(_WHOLE * _hundredths(part) / end, 2)


def _axis(end: int) -> tuple[Mark, ...]:
    step = end // _TICKS
    return tuple(
        Mark(at=round(_WHOLE * value / end, 2), says=f"{value} %")
        for value in range(0, end + 1, step)
    )


def drawn_chart(chart: Chart, width: int) -> tuple[str, ...]:
    """The chart in letters, readable without colour."""
    labels = [visible(bar.label) for bar in chart.bars]
    lead = max(map(cell_width, labels)) + 2
    tail = max(cell_width(bar.says) for bar in chart.bars) + 2
    room = max(_LEAST_ROOM, width - lead - tail)
    lines = [
        f"{label}{' ' * (lead - cell_width(label))}{_line(bar, room)}  {bar.says}"
        for label, bar in zip(labels, chart.bars, strict=True)
    ]
    return (*lines, " " * lead + _axis_line(chart.axis, room), _key(chart, lead))


def _line(bar: Bar, room: int) -> str:
    cells = [" "] * room
    at = _cell(bar.at, room)
    if bar.low is None or bar.high is None:
        if bar.at:
            cells[: at + 1] = "=" * (at + 1)
        return "".join(cells)
    low, high = _cell(bar.low, room), _cell(bar.high, room)
    cells[low : high + 1] = "-" * (high + 1 - low)
    cells[at] = "o"
    return "".join(cells)


def _axis_line(axis: Sequence[Mark], room: int) -> str:
    cells = [" "] * room
    for mark in (axis[0], axis[-1]):
        start = min(_cell(mark.at, room), room - len(mark.says))
        cells[start : start + len(mark.says)] = mark.says
    return "".join(cells)


def _key(chart: Chart, lead: int) -> str:
    ranged = any(bar.low is not None for bar in chart.bars)
    key = "o the rate, --- where it likely lies" if ranged else "= so much of all"
    return " " * lead + key


def _cell(place: float, room: int) -> int:
    return min(room - 1, int(place / _WHOLE * room))
