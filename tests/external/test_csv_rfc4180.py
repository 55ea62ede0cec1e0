"""CSV as RFC 4180 (2005), section 2, has it."""

from __future__ import annotations

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from judgekit.files.csvtext import from_csv_text
from judgekit.reports.layout import Cell, Column, Table, as_csv

COLUMNS = tuple(Column(name=key, key=key) for key in ("a", "b", "c"))


def written(*rows: tuple[Cell, ...]) -> str:
    """The records of such rows, without the header."""
    whole = as_csv(Table(title="t", columns=COLUMNS, rows=rows))
    header, records = whole[:7], whole[7:]
    assert header == "a,b,c\r\n"
    return records


def read(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


def test_each_record_ends_with_crlf() -> None:
    records = written(("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx"))
    assert records == "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"


def test_a_quote_inside_a_quoted_field_is_doubled() -> None:
    assert written(("aaa", 'b"bb', "ccc")) == 'aaa,"b""bb",ccc\r\n'


def test_a_line_break_stays_inside_its_quoted_field() -> None:
    assert written(("aaa", "b\r\nbb", "ccc")) == 'aaa,"b\r\nbb",ccc\r\n'


def test_a_comma_puts_its_field_in_quotes() -> None:
    assert written(("a,a", "b", "c")) == '"a,a",b,c\r\n'


def test_spaces_belong_to_the_field() -> None:
    assert written(("a", " b ", "c")) == "a, b ,c\r\n"


def test_an_empty_field_stands_between_its_commas() -> None:
    assert written(("a", None, "c")) == "a,,c\r\n"


@given(
    st.lists(
        st.tuples(*[st.text(st.characters(exclude_categories=["Cs"]))] * 3),
        max_size=5,
    )
)
def test_a_strict_reader_gets_back_every_text(rows: list[tuple[str, str, str]]) -> None:
    records = read(written(*rows))
    back = [tuple(map(from_csv_text, record)) for record in records]
    assert back == rows
