"""Rows of bars with their numbers, laid out for a screen's width."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.reports.terminal import broken
from judgekit.ui.text import cut, packed, safe, width_of
from judgekit.ui.views.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

_LEAST_LABEL, _MOST_LABEL, _LEAST_BAR = 12, 36, 20


class Numbers(NamedTuple):
    """A column of numbers beside the bars: its head, and how wide it is."""

    head: str
    width: int


class BarRow(NamedTuple):
    """One bar: what it is of, how it is drawn in so many cells, and its numbers."""

    label: tuple[str, ...]
    draw: Callable[[int], str]
    numbers: tuple[str, ...]
    note: str = ""


class BarTable(NamedTuple):
    """Bars below their scale; where narrow, the first `kept` numbers alone."""

    head: str
    axis: Callable[[int], str]
    columns: tuple[Numbers, ...]
    rows: Sequence[BarRow]
    kept: int = 2


def bar_lines(table: BarTable, columns: int) -> Iterator[SheetLine]:
    """The head and all rows, in at most so many cells.

    A label that has no room goes on below itself, so that no two rows look the same.
    """
    laid = _Laid.of(table, columns)
    shown = table.columns if laid.bar else table.columns[: table.kept]
    heads = [f"{one.head:>{one.width}}" for one in shown]
    scale = [table.axis(laid.bar)] if laid.bar else []
    # What the bars are of is in the title, too.
    head = table.head if width_of(table.head) <= laid.label else ""
    yield SheetLine("soft", " ".join([fit(head, laid.label), *scale, *heads]))
    for row in table.rows:
        numbers = [
            f"{text:>{one.width}}"
            for text, one in zip(row.numbers, shown, strict=False)
        ]
        drawn = [row.draw(laid.bar)] if laid.bar else []
        first, *rest = _label_lines(row.label, laid.label)
        note = row.note if laid.noted else ""
        cells = [fit(first, laid.label), *drawn, *numbers, note]
        yield SheetLine("plain", " ".join(cells).rstrip())
        for line in rest:
            yield SheetLine("plain", line)


def fit(text: str, columns: int) -> str:
    """The text in so many cells."""
    shown = cut(text, columns)
    return shown + " " * (columns - width_of(shown))


class _Laid(NamedTuple):
    """How wide label and bar are (0: no room for bars), and whether notes have room."""

    label: int
    bar: int
    noted: bool = True

    @classmethod
    def of(cls, table: BarTable, columns: int) -> _Laid:
        """As wide as the rows and the screen ask for."""
        note = max(
            (width_of(row.note) + 1 for row in table.rows if row.note), default=0
        )
        numbers = sum(one.width + 1 for one in table.columns)
        room = columns - numbers - 1 - note
        if room < _LEAST_LABEL + _LEAST_BAR:
            kept = sum(one.width + 1 for one in table.columns[: table.kept])
            noted = columns - kept - note >= _LEAST_LABEL
            return cls(max(_LEAST_LABEL, columns - kept - note * noted), 0, noted)
        labels = [", ".join(row.label) for row in table.rows]
        widest = max(map(width_of, labels), default=0)
        most = max(_MOST_LABEL, columns * 2 // 5)
        label = max(_LEAST_LABEL, min(widest, most, room - _LEAST_BAR))
        return cls(label, room - label)


def _label_lines(parts: Sequence[str], width: int) -> list[str]:
    """A label in lines: whole if it can be, else broken between its parts."""
    *before, last = map(safe, parts)
    whole = ", ".join([*before, last])
    if width_of(whole) <= width:
        return [whole]
    lines = packed([*(f"{part}," for part in before), last], width - 1, gap=1)
    first, *rest = [piece for line in lines for piece in broken(line, width - 1)]
    return [first, *(f" {line}" for line in rest)]
