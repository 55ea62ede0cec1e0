"""CSV bytes to rows of named cells, each with the line it begins on.

Comma, semicolon or tab, any line ending, with or without a byte-order mark; UTF-8
only. Cells come out raw; what a column means is the reader's affair.
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import field
from difflib import get_close_matches
from typing import TYPE_CHECKING

from judgekit.core.errors import Problem
from judgekit.core.values import dataclass
from judgekit.files.cleaning import clean

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

_MOST_BYTES = 1_000_000
_DELIMITERS = ",;\t"
_NEWLINE = re.compile(rb"\r\n|\r|\n")
_UTF8_MARK = b"\xef\xbb\xbf"
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_NEAR = 0.8
_HEADER_LIMIT = 40
_ROWS_NAMED = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """The columns a table knows, by name in lower case."""

    required: tuple[str, ...]
    optional: tuple[str, ...]

    @property
    def known(self) -> tuple[str, ...]:
        """Every known name, required ones first."""
        return self.required + self.optional


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: the line it begins on (the first line is 1), and its known cells."""

    line: int
    cells: Mapping[str, str]


@dataclass(slots=True, kw_only=True)
class Sheet:
    """A CSV file as read so far, with what is wrong with its form."""

    shown: str
    delimiter: str = ","
    rows: list[Row] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, line: int, what: str, right: str = "") -> None:
        """Adds a problem."""
        self.problems.append(
            Problem(file=self.shown, line=line, what=what, right=right)
        )

    def advise(self, line: int, what: str, right: str = "") -> None:
        """Adds advice."""
        self.problems.append(
            Problem(file=self.shown, line=line, what=what, right=right, advice=True)
        )


def read_sheet(path: Path, shown: str, columns: Columns) -> Sheet:
    """The rows of a CSV file; never raises, problems stand in the sheet."""
    sheet = Sheet(shown=shown)
    text = _text(path, sheet, columns)
    if text is not None:
        _read(text, sheet, columns)
    return sheet


def _text(path: Path, sheet: Sheet, columns: Columns) -> str | None:
    header = f"its first row must be {','.join(columns.required)}"
    try:
        if not path.is_file():
            there = path.exists()
            what = "this is not a file" if there else "there is no such file"
            sheet.wrong(1, what, f"write one; {header}")
            return None
        with path.open("rb") as file:
            data = file.read(_MOST_BYTES + 1)
    except OSError as error:
        sheet.wrong(1, f"the file cannot be read ({error.strerror})")
        return None
    if len(data) > _MOST_BYTES:
        sheet.wrong(1, "the file is larger than 1 MB", "keep one event's rows only")
        return None
    if data.startswith(_UTF16_MARKS):
        sheet.wrong(1, "the file is in UTF-16", 'save it as "CSV UTF-8"')
        return None
    return _decoded(data.removeprefix(_UTF8_MARK), sheet)


def _decoded(data: bytes, sheet: Sheet) -> str | None:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        bad = [n for n, row in enumerate(_NEWLINE.split(data), 1) if not _is_utf8(row)]
    rows = ", ".join(f"row {line}" for line in bad[:_ROWS_NAMED])
    more = " ..." if bad[_ROWS_NAMED:] else ""
    sheet.wrong(bad[0], f"not in UTF-8: {rows}{more}", 'save the file as "CSV UTF-8"')
    return None


def _is_utf8(row: bytes) -> bool:
    try:
        row.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _read(text: str, sheet: Sheet, columns: Columns) -> None:
    sheet.delimiter = max(_DELIMITERS, key=lambda d: _known_names(text, d, columns))
    rows = _filled(text, sheet)
    line, header = next(rows, (1, []))
    if not header:
        needed = ",".join(columns.required)
        sheet.wrong(1, "the file has no header", f"its first row must be {needed}")
        return
    names = _names(header)
    if _header_fits(line, header, sheet, columns):
        _advise_unused(line, header, sheet, columns)
        for row_line, cells in rows:
            _keep(row_line, cells, names, sheet, columns)
    else:
        for _ in rows:  # broken rows are named even where the header is wrong
            pass


def _known_names(text: str, delimiter: str, columns: Columns) -> int:
    for _, cells in _records(text, delimiter):
        if isinstance(cells, list) and any(cell.strip() for cell in cells):
            return len(set(_names(cells)) & set(columns.known))
    return 0


def _records(text: str, delimiter: str) -> Iterator[tuple[int, list[str] | str]]:
    """Each record with the line it begins on: its cells, or the words of its error.

    A doubled quote inside quotes is one quote, as RFC 4180 has it.
    """
    lines = io.StringIO(text, newline="")
    reader = csv.reader(lines, delimiter=delimiter, strict=True, skipinitialspace=True)
    while True:
        line = reader.line_num + 1
        try:
            yield line, next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            yield line, str(error)


def _filled(text: str, sheet: Sheet) -> Iterator[tuple[int, list[str]]]:
    """The rows that hold anything; unreadable ones go to the problems."""
    for line, cells in _records(text, sheet.delimiter):
        if isinstance(cells, str):
            _name_error(line, cells, sheet)
        elif any(cell.strip() for cell in cells):
            yield line, cells


def _name_error(line: int, error: str, sheet: Sheet) -> None:
    if "unexpected end" in error:
        sheet.wrong(line, 'a quote (") opened in this row is never closed', "close it")
    elif "expected after" in error:
        sheet.wrong(
            line,
            "text stands after a closing quote",
            'write a quote inside a cell twice: ""',
        )
    else:
        sheet.wrong(line, f"the row cannot be read as CSV ({error})")


def _names(header: Sequence[str]) -> list[str]:
    """Header cells as column names: "Body mass" and "body_mass" are body-mass."""
    return [
        re.sub(r"[\s_]+", "-", unicodedata.normalize("NFC", cell).strip()).casefold()
        for cell in header
    ]


def _header_fits(
    line: int, header: Sequence[str], sheet: Sheet, columns: Columns
) -> bool:
    names = _names(header)
    before = len(sheet.problems)
    for name in columns.known:
        if names.count(name) > 1:
            sheet.wrong(line, f'two columns are named "{name}"', "keep one of them")
    for name in columns.required:
        if name not in names:
            near = get_close_matches(name, names, 1, _NEAR)
            right = (
                f'rename "{clean(near[0], _HEADER_LIMIT)}"'
                if near
                else f"the first row must hold {','.join(columns.required)}"
            )
            sheet.wrong(line, f'there is no column "{name}"', right)
    return len(sheet.problems) == before


def _advise_unused(
    line: int, header: Sequence[str], sheet: Sheet, columns: Columns
) -> None:
    for number, (cell, name) in enumerate(
        zip(header, _names(header), strict=True), start=1
    ):
        if name and name not in columns.known:
            near = get_close_matches(name, columns.known, 1, _NEAR)
            right = f'is it "{near[0]}"?' if near else ""
            sheet.advise(
                line, f"column {clean(cell, _HEADER_LIMIT)} is not used", right
            )
        elif not name and any(header[number:]):
            sheet.advise(line, f"column {number} has no name and is not used")


def _keep(
    line: int, cells: list[str], names: list[str], sheet: Sheet, columns: Columns
) -> None:
    width = max(n for n, name in enumerate(names, 1) if name)
    if any(cell.strip() for cell in cells[width:]):
        sheet.wrong(
            line,
            f"the row has {len(cells)} cells, the header {width}",
            "put a cell that holds a comma or semicolon in quotes",
        )
        return
    named = zip(names, cells, strict=False)
    known = {name: cell for name, cell in named if name in columns.known}
    sheet.rows.append(Row(line=line, cells=known))
