"""Charts as values: rates with where they likely lie, and parts of a whole.

A chart is data that every page draws its own way: `plot.py` with axes for browsers and
paper, `drawn_chart` with letters for a terminal. No chart is without words: each row
says its own numbers.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.layout import cell_width, visible
from judgekit.reports.ratewords import out_of, percent
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
        low, middle, high = (
            _WHOLE * (part or 0.0)
            for part in (self.rate.low, self.rate.rate, self.rate.high)
        )
        return low, middle, high

    @property
    def says(self) -> str:
        """The numbers in words."""
        return f"{percent(self.rate.rate or 0)} ({out_of(self.rate)})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """Rates above one axis that starts at nothing; `of` says what is drawn.

    `along` names what the rows lie along, such as a round: they are drawn side by side
    then, in their order. `whole` is the rate of all together, if that is drawn, too.
    """

    of: str
    rows: tuple[Rated, ...]
    along: str = ""
    whole: Rate | None = None

    @property
    def grows(self) -> bool:
        """Whether it is drawn another way on a wide page."""
        return not self.along

    @property
    def end(self) -> int:
        """Where the axis ends, in hundredths."""
        highest = max(row.ends[2] for row in self.rows)
        return next((end for end in _ENDS if highest <= end), _WHOLE)

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
        """How much of it is in the first part."""
        return f"{self.parts[0]} of {self.whole}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Splits:
    """Wholes in parts, each as long as 100; `unit` is what is counted."""

    of: str
    unit: str
    parts: tuple[str, ...]
    rows: tuple[Split, ...]
    grows: bool = True

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


# --- in letters ----------------------------------------------------------------------


def drawn_chart(chart: Chart, width: int) -> tuple[str, ...]:
    """The chart in letters, readable without colour."""
    rows: Sequence[Rated | Split] = chart.rows
    labels = [visible(row.label) for row in rows]
    lead = max(map(cell_width, labels)) + 2
    tail = max(cell_width(row.says) for row in rows) + 2
    room = max(_LEAST_ROOM, width - lead - tail)
    bars, end, key = _letters(chart, room)
    lines = [
        f"{label}{' ' * (lead - cell_width(label))}{bar}  {row.says}"
        for label, bar, row in zip(labels, bars, rows, strict=True)
    ]
    last = f"{end} %"
    axis = "0 %".ljust(room - len(last)) + last
    return *lines, " " * lead + axis, " " * lead + key


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
