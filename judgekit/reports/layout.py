"""Tables laid out: for a terminal, as CSV, JSON, Markdown and HTML.

The layouts know nothing of what the tables are about. A number is written the same
way in all of them; text is data, never markup, a formula or a terminal command.
"""

from __future__ import annotations

import csv
import html
import io
import json
import re
import unicodedata
from math import isfinite
from typing import TYPE_CHECKING, Literal

from judgekit.core.values import dataclass
from judgekit.files.csvtext import csv_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

Cell = str | int | float | None
Align = Literal["left", "right"]

FORMAT = 1
EMPTY = "–"  # noqa: RUF001 - an en dash, as typeset tables show an empty cell
# Between what must not stand on two lines.
NO_BREAK = "\u00a0"
_CUT = "…"
_MINUS = "\u2212"
_GAP = "  "
_NARROWEST = 6
# On a phone a row of more columns than these stands as several lines.
MANY = 4

# What Unicode will never give a meaning; XML cannot hold two of these.
_NO_LETTERS = frozenset(
    chr(code)
    for code in (
        *range(0xFDD0, 0xFDF0),
        *(last + of for last in range(0xFFFE, 0x110000, 0x10000) for of in (0, 1)),
    )
)
_MARKDOWN = re.compile(r"([\\`*_\[\]<>|&~$#@])")
_BLOCK_START = re.compile(r"^(?:([+-])|(\d{1,9})([.)]))")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: its name on screen and paper, its key in CSV and JSON, its unit.

    `is_time` says that its texts are times or counts of our own making, never a
    person's words.
    """

    name: str
    key: str
    align: Align = "left"
    unit: str = ""
    is_time: bool = False

    @property
    def heading(self) -> str:
        """The name with its unit."""
        return f"{self.name} ({self.unit})" if self.unit else self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """What a page draws after the first column of a table, a bar for each row.

    Each says from where, at what and up to where, in hundredths; None where nothing is
    known. The axis goes from nothing to `end`; `whole` is the mark of all together.
    `key` says what is drawn.
    """

    key: str
    ranges: tuple[tuple[float, float, float] | None, ...]
    end: int
    whole: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A titled table with notes below it; ValueError if a row does not fit.

    A cell is text, a finite number, or None where there is nothing to say. `bars` draw
    what its cells say, so whoever cannot draw them lacks nothing.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    bars: Bars | None = None

    def __post_init__(self) -> None:
        if self.bars is not None and len(self.bars.ranges) != len(self.rows):
            raise ValueError(f"{self.title}: not a bar for each row")
        if len({column.key for column in self.columns}) != len(self.columns):
            raise ValueError(f"{self.title}: two columns have the same key")
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"{self.title}: {row} does not fit the columns")
            for cell in row:
                if isinstance(cell, float) and not isfinite(cell):
                    raise ValueError(f"{self.title}: {cell} is not a number to show")

    @property
    def drawn(self) -> bool:
        """Whether people see columns: where nothing stands in them notes say all."""
        return bool(self.rows) or not self.notes


def as_csv(table: Table) -> str:
    """RFC 4180 with a header of keys. Nothing is an empty cell; title, notes left out.

    Text that a spreadsheet would run gets an apostrophe (see `csv_text`). A time below
    zero carries the minus sign U+2212 instead, with which no formula begins.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(column.key for column in table.columns)
    for row in table.rows:
        writer.writerow(
            _csv_cell(_unlike_formula(cell) if column.is_time else cell)
            for column, cell in zip(table.columns, row, strict=True)
        )
    return out.getvalue()


def _unlike_formula(time: Cell) -> Cell:
    return _MINUS + time[1:] if isinstance(time, str) and time[:1] == "-" else time


def as_json(table: Table) -> str:
    """An object with `format` (its version), title, columns, rows by key, and notes."""
    keys = [column.key for column in table.columns]
    data = {
        "format": FORMAT,
        "title": table.title,
        "columns": [
            {"key": c.key, "name": c.name, "unit": c.unit or None}
            for c in table.columns
        ],
        "rows": [dict(zip(keys, row, strict=True)) for row in table.rows],
        "notes": list(table.notes),
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def as_markdown(table: Table) -> str:
    """A Markdown table (the pipe form) under a heading; all markup is escaped."""
    lines = [f"# {markdown_text(table.title)}", ""]
    if table.drawn:
        lines += [*as_markdown_rows(table), *([""] if table.notes else ())]
    lines += (f"- {markdown_block(note)}" for note in table.notes)
    return "\n".join(lines) + "\n"


def as_markdown_rows(table: Table) -> list[str]:
    """The lines of a Markdown table alone, without its heading and notes."""
    lines = [_pipes(markdown_text(column.heading) for column in table.columns)]
    lines.append(_pipes("--:" if c.align == "right" else "---" for c in table.columns))
    lines += (
        _pipes(markdown_text(shown_cell(cell)) for cell in row) for row in table.rows
    )
    return lines


def as_html(*tables: Table) -> str:
    """A whole page of one table or several that fetches nothing and runs nothing.

    It is named after the first; ValueError if there is none.
    """
    if not tables:
        raise ValueError("a page needs a table")
    # What lays out pages stands on this module.
    from judgekit.reports.look import source

    return _PAGE.format(
        style=source("look.css"),
        name=html.escape(visible(tables[0].title)),
        body="".join(_html_table(table) for table in tables),
    )


def _html_table(table: Table) -> str:
    heads = "".join(
        f'<th scope="col" class="{c.align}">{_html(c.heading)}</th>'
        for c in table.columns
    )
    many = len(table.columns) > MANY
    rows = "\n".join(
        f"<tr>{''.join(_cells(table.columns, row, many=many))}</tr>"
        for row in table.rows
    )
    notes = "\n".join(f"<li>{_html(note)}</li>" for note in table.notes)
    kind = ' class="many"' if many else ""
    drawn = _TABLE.format(heads=heads, rows=f"{rows}\n" if rows else "", kind=kind)
    return _TITLED.format(
        title=_html(table.title),
        table=drawn if table.drawn else "",
        notes=f"<ul>\n{notes}\n</ul>\n" if notes else "",
    )


def _cells(
    columns: Sequence[Column], row: Sequence[Cell], *, many: bool
) -> Iterator[str]:
    """The cells of a row; of many each says what it is of, or that it is empty."""
    for column, cell in zip(columns, row, strict=True):
        of = f' data-of="{_attribute(column.heading)}"' if many else ""
        none = " none" if many and cell is None else ""
        yield f'<td class="{column.align}{none}"{of}>{_html(shown_cell(cell))}</td>'


_PAGE = """\
<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" \
content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{name}</title>
<style>
{style}
</style>
</head>
<body>
{body}</body>
</html>
"""
_TITLED = """\
<h2>{title}</h2>
{table}{notes}"""
_TABLE = """\
<div class="scroll"><table{kind}>
<thead>
<tr>{heads}</tr>
</thead>
<tbody>
{rows}</tbody>
</table></div>
"""


def as_table(table: Table, width: int | None = None) -> str:
    """Aligned columns for a terminal, counted in cells, not characters.

    Within `width` cells (None: as wide as it gets) the widest columns of text are
    cut, with … at the cut. Numbers and columns set to the right are never cut, so a
    table of many of them may be wider than asked.
    """
    return titled(table, table_lines(table, width), width)


def titled(table: Table, drawn: Sequence[str], width: int | None) -> str:
    """A table's lines with its title above and its notes below."""
    lines = [*wrapped(visible(table.title), width), ""]
    if table.drawn:
        lines += [*drawn, *([""] if table.notes else ())]
    for note in table.notes:
        lines += wrapped(visible(note), width)
    return "\n".join(lines) + "\n"


def table_lines(table: Table, width: int | None = None) -> list[str]:
    """The lines of a terminal's table alone, without its title and notes."""
    heads = [visible(column.heading) for column in table.columns]
    body = [[visible(shown_cell(cell)) for cell in row] for row in table.rows]
    columns = list(zip(heads, *body, strict=True))
    widths = [max(cell_width(text) for text in column) for column in columns]
    if width is not None:
        widths = _narrowed(table.columns, widths, width)
    aligns = [column.align for column in table.columns]
    rule = _GAP.join("-" * w for w in widths)
    return [
        _aligned(heads, widths, aligns),
        rule,
        *(_aligned(row, widths, aligns) for row in body),
    ]


def cell_width(text: str) -> int:
    """How many terminal cells text takes: wide letters two, marks upon letters none."""
    return sum(_char_width(char) for char in text)


def _char_width(char: str) -> int:
    if unicodedata.category(char) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in ("W", "F") else 1


def _narrowed(columns: Sequence[Column], widths: list[int], width: int) -> list[int]:
    """Widths that fit, the widest column of text losing first."""
    kept = list(widths)
    over = sum(kept) + len(_GAP) * (len(kept) - 1) - width
    while over > 0:
        able = [
            index
            for index, column in enumerate(columns)
            if column.align == "left" and kept[index] > _NARROWEST
        ]
        if not able:
            break
        kept[max(able, key=lambda index: kept[index])] -= 1
        over -= 1
    return kept


def _aligned(cells: Sequence[str], widths: Sequence[int], aligns: list[Align]) -> str:
    padded = []
    for text, width, align in zip(cells, widths, aligns, strict=True):
        fitted = cut(text, width)
        space = " " * (width - cell_width(fitted))
        padded.append(space + fitted if align == "right" else fitted + space)
    return _GAP.join(padded).rstrip()


def cut(text: str, width: int) -> str:
    """Text cut to a width in cells, with … where it was cut."""
    if cell_width(text) <= width:
        return text
    kept = ""
    left = width - cell_width(_CUT)
    for char in text:
        left -= _char_width(char)
        if left < 0:
            break
        kept += char
    return kept + _CUT


def wrapped(text: str, width: int | None) -> list[str]:
    """Text broken between words; a word longer than the line keeps one to itself."""
    if width is None:
        return [text]
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if lines[-1] and cell_width(longer) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def shown_cell(cell: Cell) -> str:
    """A cell as people see it."""
    return EMPTY if cell is None else str(cell)


def _csv_cell(cell: Cell) -> str | int | float | None:
    return csv_text(cell) if isinstance(cell, str) else cell


def visible(text: str) -> str:
    """One line without what moves the cursor, turns the writing or is no letter."""
    return text.translate(_SEEN)


class _Seen(dict[int, int | None]):
    """What stands for each letter, looked up once: itself, a space, or nothing."""

    def __missing__(self, code: int) -> int | None:
        char = chr(code)
        kept = None if _is_hidden(char) else code
        self[code] = ord(" ") if char.isspace() else kept
        return self[code]


_SEEN = _Seen()


def _is_hidden(char: str) -> bool:
    return (
        unicodedata.category(char) in ("Cc", "Cs")
        or unicodedata.bidirectional(char)
        in ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
        or char in _NO_LETTERS
    )  # fmt: skip


def _pipes(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def markdown_text(text: str) -> str:
    """Text with every sign escaped that Markdown would read."""
    escaped = _MARKDOWN.sub(r"\\\1", visible(text).strip())
    # Addresses become links even where nothing marks them as one.
    return escaped.replace("://", "\\://").replace("www.", "www\\.")


def markdown_block(text: str) -> str:
    """Text at the start of a block, where some signs begin a list or a heading."""
    return _BLOCK_START.sub(
        lambda m: f"\\{m[1]}" if m[1] else f"{m[2]}\\{m[3]}", markdown_text(text)
    )


def _html(text: str) -> str:
    return f"<bdi>{_attribute(text)}</bdi>"


def _attribute(text: str) -> str:
    return html.escape(visible(text))
