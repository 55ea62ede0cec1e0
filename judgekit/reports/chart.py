"""Charts as values: rates with where they likely lie, and parts of a whole.

A chart is data that every page draws its own way: `plot.py` with axes for browsers and
paper, `drawn_chart` with letters for a terminal. No chart is without words: each row
says its own numbers.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.layout import Bars, cell_width, visible
from judgekit.reports.ratewords import likely, out_of, percent
from judgekit.review.faults import Rate

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

# Ends of an axis that people read easily, in hundredths; the first that holds all.
_ENDS = (5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100)
_WHOLE = 100
_LEAST_ROOM = 16
# What fills the parts of a whole, in their order.
_FILLS = "=-."


@dataclass(frozen=True, slots=True, kw_only=True)
class Rated:
    """A rate that is known, and whose it is."""

    label: str
    rate: Rate

    @property
    def ends(self) -> tuple[float, float, float]:
        """In hundredths: from where it likely lies, the rate, up to where."""
        return _ends(self.rate)

    @property
    def says(self) -> str:
        """The numbers in words."""
        return f"{percent(self.rate.rate or 0)} ({out_of(self.rate)})"

    @property
    def says_all(self) -> str:
        """The same with where it likely lies."""
        return f"{self.says}, likely {likely(self.rate)}"


def _ends(of: Rate) -> tuple[float, float, float]:
    low, middle, high = (_WHOLE * (part or 0.0) for part in (of.low, of.rate, of.high))
    return low, middle, high


def _axis_end(highest: float) -> int:
    return next((end for end in _ENDS if highest <= end), _WHOLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """Rates above one axis that starts at nothing; `of` says what is drawn.

    `along` names what the rows lie along, such as a round: they are drawn side by side
    then, in their order. `whole` is the rate of all together, if that is drawn, too.
    Without `along` they are drawn with letters alone: where there is more to draw with,
    the bars stand in the rows of a table (see `bars_of`).
    """

    of: str
    rows: tuple[Rated, ...]
    along: str = ""
    whole: Rate | None = None

    @property
    def end(self) -> int:
        """Where the axis ends, in hundredths."""
        return _axis_end(max(row.ends[2] for row in self.rows))

    def spelt(self, by: Callable[[str], str]) -> Rates:
        """The same chart with every text of the event spelt by a rule."""
        rows = tuple(replace(row, label=by(row.label)) for row in self.rows)
        return replace(self, rows=rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """Something counted whole, and how many of it are in each part."""

    label: str
    parts: tuple[int, ...]

    @property
    def whole(self) -> int:
        """All of it."""
        return sum(self.parts)

    @property
    def says(self) -> str:
        """How much of it is in each part: "22, 13, 1 of 36"."""
        return f"{', '.join(map(str, self.parts))} of {self.whole}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Splits:
    """Wholes in parts, each as long as 100; `unit` is what is counted."""

    of: str
    unit: str
    parts: tuple[str, ...]
    rows: tuple[Split, ...]

    def spelt(self, by: Callable[[str], str]) -> Splits:
        """The same chart with every text of the event spelt by a rule."""
        rows = tuple(replace(row, label=by(row.label)) for row in self.rows)
        return replace(self, rows=rows)


Chart = Rates | Splits


def rates_chart(
    of: str,
    rows: Iterable[tuple[str, Rate]],
    along: str = "",
    whole: Rate | None = None,
) -> Rates | None:
    """A chart of rates with their intervals; None where none has one."""
    rated = tuple(
        Rated(label=label, rate=one) for label, one in rows if one.rate is not None
    )
    return Rates(of=of, rows=rated, along=along, whole=whole) if rated else None


def splits_chart(
    of: str, unit: str, parts: tuple[str, ...], rows: Iterable[Split]
) -> Splits | None:
    """A chart of wholes in parts; None where nothing was counted."""
    counted = tuple(row for row in rows if row.whole)
    return Splits(of=of, unit=unit, parts=parts, rows=counted) if counted else None


def bars_of(rates: Iterable[Rate], whole: Rate | None = None) -> Bars | None:
    """A bar for each row of a table; None where no rate is known."""
    ranges = tuple(None if one.rate is None else _ends(one) for one in rates)
    highest = [ends[2] for ends in ranges if ends is not None]
    if not highest:
        return None
    of_all = None if whole is None else whole.rate
    dashed = "" if of_all is None else f"; dashed: all together, {percent(of_all)}"
    return Bars(
        key=f"Ring: the rate; line: where it likely lies{dashed}.",
        ranges=ranges,
        end=_axis_end(max(highest)),
        whole=None if of_all is None else _WHOLE * of_all,
    )


# --- in letters ----------------------------------------------------------------------


def drawn_chart(chart: Chart, width: int) -> tuple[str, ...]:
    """The chart in letters, readable without colour."""
    rows: Sequence[Rated | Split] = chart.rows
    labels = [visible(row.label) for row in rows]
    said = [_said(row, chart) for row in rows]
    lead = max(map(cell_width, labels)) + 2
    tail = max(map(cell_width, said)) + 2
    room = max(_LEAST_ROOM, width - lead - tail)
    bars, end, key = _letters(chart, room)
    lines = [
        f"{label}{' ' * (lead - cell_width(label))}{bar}  {says}"
        for label, bar, says in zip(labels, bars, said, strict=True)
    ]
    last = f"{end} %"
    axis = "0 %".ljust(room - len(last)) + last
    return *lines, " " * lead + axis, " " * lead + key


def _said(row: Rated | Split, chart: Chart) -> str:
    """A row's numbers; all of them where no table beside the chart has more."""
    if isinstance(row, Rated) and isinstance(chart, Rates) and chart.along:
        return row.says_all
    return row.says


def _letters(chart: Chart, room: int) -> tuple[list[str], int, str]:
    """The bars of a chart, where its axis ends, and what its signs mean."""
    if isinstance(chart, Splits):
        signs = zip(_FILLS, chart.parts, strict=False)
        key = ", ".join(f"{sign} {part}" for sign, part in signs)
        return [_filled(row, room) for row in chart.rows], _WHOLE, key
    end = chart.end
    key = "o the rate, --- where it likely lies"
    return [_ranged(row.ends, end, room) for row in chart.rows], end, key


def _ranged(ends: Sequence[float], end: int, room: int) -> str:
    low, middle, high = (min(room - 1, int(part / end * room)) for part in ends)
    cells = [" "] * room
    cells[low : high + 1] = "-" * (high + 1 - low)
    cells[middle] = "o"
    return "".join(cells)


def _filled(row: Split, room: int) -> str:
    drawn, counted = "", 0
    for sign, many in zip(_FILLS, row.parts, strict=False):
        counted += many
        drawn += sign * (round(room * counted / row.whole) - len(drawn))
    return drawn.ljust(room)
