"""A table in a terminal's width, with nothing of it lost.

Where it is too wide, what all rows have in common is said once above them, and long
texts go on below themselves. Where that would leave no room, the first column heads
its rows; and at last each row is told as text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.layout import (
    Align,
    Table,
    as_table,
    cell_width,
    shown_cell,
    table_lines,
    titled,
    visible,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.reports.layout import Column

_GAP = "  "
_INDENT = "  "
# A column of text is no narrower while another way is left; and then no narrower.
_EASY, _LEAST = 10, 6


def fitted_table(table: Table, width: int | None) -> str:
    """The table with its title and notes, no line wider than that."""
    if width is None or _fits(table, width):
        return as_table(table, width)
    return titled(table, fitted_lines(table, width), width)


def fitted_lines(table: Table, width: int | None) -> list[str]:
    """The lines of the table alone."""
    if width is None or _fits(table, width):
        return table_lines(table, width)
    said, left = _in_common(table, width)
    body = (
        (table_lines(left) if _fits(left, width) else [])
        or _wrapped_rows(left, width, least=_EASY)
        or _under_heads(left, width)
        or _wrapped_rows(left, width, least=_LEAST)
        or _as_text(left, width)
    )
    return [*(broken(said, width) if said else ()), *body]


def _fits(table: Table, width: int) -> bool:
    return all(cell_width(line) <= width for line in table_lines(table))


# --- what all rows have in common -----------------------------------------------------


def _in_common(table: Table, width: int) -> tuple[str, Table]:
    """What is the same in each row, said once; and the table without it.

    Columns are taken out from the left, no more than it needs to fit, and one stays.
    """
    said: list[str] = []
    empty: list[str] = []
    left = table
    for column in table.columns if table.rows[1:] else ():
        place = left.columns.index(column)
        cells = {row[place] for row in left.rows}
        if len(left.columns) == 1 or _fits(left, width):
            break
        if len(cells) == 1:
            [cell] = cells
            if cell is None:
                empty.append(f'"{column.heading}"')
            else:
                said.append(f"{column.heading} {visible(shown_cell(cell))}")
            left = _without(left, place)
    lines = (
        *((f"In each row: {'; '.join(said)}.",) if said else ()),
        *((f"No row has anything under {', '.join(empty)}.",) if empty else ()),
    )
    return " ".join(lines), left


def _without(table: Table, place: int) -> Table:
    return replace(
        table,
        columns=table.columns[:place] + table.columns[place + 1 :],
        rows=tuple(row[:place] + row[place + 1 :] for row in table.rows),
    )


# --- rows that go on below themselves -------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """The widths of columns, and how cells lie in them."""

    widths: Sequence[int]
    aligns: Sequence[Align]

    def row(self, cells: Sequence[str]) -> Iterator[str]:
        """The lines of one row: as many as its longest cell needs."""
        columns = [
            broken(text, width) for text, width in zip(cells, self.widths, strict=True)
        ]
        for line in range(max(len(column) for column in columns)):
            parts = [column[line] if line < len(column) else "" for column in columns]
            yield _GAP.join(self._padded(parts)).rstrip()

    def _padded(self, parts: Sequence[str]) -> Iterator[str]:
        for text, width, align in zip(parts, self.widths, self.aligns, strict=True):
            space = " " * (width - cell_width(text))
            yield space + text if align == "right" else text + space

    @property
    def rule(self) -> str:
        """The line below the headings."""
        return _GAP.join("-" * width for width in self.widths)


def _wrapped_rows(table: Table, width: int, *, least: int) -> list[str]:
    """The table with long texts in several lines; nothing if that leaves no room."""
    heads, body = _texts(table)
    grid = _grid(table.columns, heads, body, (width, least))
    if grid is None:
        return []
    return [
        *grid.row(heads),
        grid.rule,
        *(line for row in body for line in grid.row(row)),
    ]


def _texts(table: Table) -> tuple[list[str], list[list[str]]]:
    heads = [visible(column.heading) for column in table.columns]
    return heads, [[visible(shown_cell(cell)) for cell in row] for row in table.rows]


def _grid(
    columns: Sequence[Column],
    heads: Sequence[str],
    body: Sequence[Sequence[str]],
    room: tuple[int, int],
) -> _Grid | None:
    """Widths within a width, texts no narrower than the least; None if there are none.

    A number stays in one line, its heading may take more. Words are broken only where
    no text can go on below itself whole.
    """
    width, least = room
    cells = list(zip(*body, strict=True)) or [()] * len(heads)
    aligns = [column.align for column in columns]
    widths = [
        max([*map(cell_width, texts), _longest_word(head)])
        for head, texts in zip(heads, cells, strict=True)
    ]
    over = sum(widths) + len(_GAP) * (len(widths) - 1) - width
    words = [
        max(map(_longest_word, (head, *texts)))
        for head, texts in zip(heads, cells, strict=True)
    ]
    for floors in ([max(_LEAST, word) for word in words], [least] * len(words)):
        able = [(i, floors[i]) for i, align in enumerate(aligns) if align == "left"]
        over = _narrowed(widths, able, over)
    return None if over > 0 else _Grid(widths=widths, aligns=aligns)


def _narrowed(widths: list[int], able: Sequence[tuple[int, int]], over: int) -> int:
    """Take from the widest of those columns down to their floors; what is left over."""
    while over > 0:
        wide = [index for index, floor in able if widths[index] > floor]
        if not wide:
            break
        widths[max(wide, key=lambda index: widths[index])] -= 1
        over -= 1
    return over


def _longest_word(text: str) -> int:
    return max(map(cell_width, text.split()), default=0)


# --- the first column heads its rows --------------------------------------------------


def _under_heads(table: Table, width: int) -> list[str]:
    """Each first cell in a line above its rows; nothing if that is no help."""
    if len(table.columns) == 1 or table.columns[0].align == "right":
        return []
    heads, body = _texts(table)
    inner = width - len(_INDENT)
    rest = [row[1:] for row in body]
    grid = _grid(table.columns[1:], heads[1:], rest, (inner, _EASY))
    if grid is None:
        return []
    lines = broken(heads[0], width)
    lines += [*_set_in(grid.row(heads[1:])), f"{_INDENT}{grid.rule}"]
    before = None
    for (first, *_), others in zip(body, rest, strict=True):
        if first != before:
            lines += broken(first, width)
        before = first
        lines += _set_in(grid.row(others))
    return lines


def _set_in(lines: Iterator[str]) -> list[str]:
    return [f"{_INDENT}{line}" for line in lines]


# --- rows as text ---------------------------------------------------------------------


def _as_text(table: Table, width: int) -> list[str]:
    """Each row as what its columns say."""
    heads, body = _texts(table)
    lines: list[str] = []
    for row in body:
        told = "; ".join(f"{h} {text}" for h, text in zip(heads, row, strict=True))
        lines += broken(told, width)
    return lines or broken("; ".join(heads), width)


def broken(text: str, width: int) -> list[str]:
    """Text in lines of a width; a longer word is broken, after a sign if it has one."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if cell_width(longer) <= width:
            lines[-1] = longer
            continue
        pieces = list(_pieces(word, width))
        lines = [*(line for line in lines if line), *pieces]
    return lines


def _pieces(word: str, width: int) -> Iterator[str]:
    while cell_width(word) > width:
        fits = _letters_in(word, width)
        signs = (
            n
            for n in range(fits, max(1, fits // 2) - 1, -1)
            if not word[n - 1].isalnum()
        )
        cut = next(signs, fits)
        yield word[:cut]
        word = word[cut:]
    yield word


def _letters_in(word: str, width: int) -> int:
    """How many of its letters lie within a width: at least one."""
    fitting = (n for n in range(len(word), 1, -1) if cell_width(word[:n]) <= width)
    return next(fitting, 1)
