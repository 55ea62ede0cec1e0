"""Tables laid out: byte for byte, and with nothing in them that acts."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.files.csvtext import from_csv_text
from judgekit.reports.layout import (
    Cell,
    Column,
    Table,
    as_csv,
    as_html,
    as_json,
    as_markdown,
    as_table,
    cell_width,
    visible,
)
from judgekit.reports.look import source

STANDINGS = Table(
    title="Quayside, Women",
    columns=(
        Column(name="Rank", key="rank", align="right"),
        Column(name="Bib", key="bib"),
        Column(name="Name", key="name"),
        Column(name="Load", key="load_kg", align="right", unit="kg"),
        Column(name="Rate", key="rate", align="right", unit="%"),
    ),
    rows=(
        (1, "007", "Ines Varga", 47.5, 0.0),
        (2, "12", "李 娜", 40, 33.3),
        (None, "3", "Zoé | *B*", None, None),
    ),
    notes=("1. One lane did not start.",),
)
HOSTILE = (
    "=1+1",
    "+49 Max",
    "-5",
    "@x",
    "\tTab",
    "\rReturn",
    "\uff1d1",
    " =1",
    "\u200b=1",
)
texts = st.text(st.characters(exclude_categories=["Cs"]))
numbers = st.integers(-(10**9), 10**9) | st.floats(
    allow_nan=False, allow_infinity=False
)


def one_cell(cell: Cell, title: str = "t", notes: tuple[str, ...] = ()) -> Table:
    columns = (Column(name="Name", key="name"),)
    return Table(title=title, columns=columns, rows=((cell,),), notes=notes)


def test_a_terminal_table_is_aligned_by_cells() -> None:
    assert as_table(STANDINGS) == (
        "Quayside, Women\n"
        "\n"
        "Rank  Bib  Name        Load (kg)  Rate (%)\n"
        "----  ---  ----------  ---------  --------\n"
        "   1  007  Ines Varga       47.5       0.0\n"
        "   2  12   李 娜              40      33.3\n"
        "   –  3    Zoé | *B*           –         –\n"  # noqa: RUF001
        "\n"
        "1. One lane did not start.\n"
    )


def test_in_a_narrow_terminal_the_widest_text_is_cut_and_numbers_are_not() -> None:
    assert as_table(STANDINGS, width=39) == (
        "Quayside, Women\n"
        "\n"
        "Rank  Bib  Name     Load (kg)  Rate (%)\n"
        "----  ---  -------  ---------  --------\n"
        "   1  007  Ines V…       47.5       0.0\n"
        "   2  12   李 娜           40      33.3\n"
        "   –  3    Zoé | …          –         –\n"  # noqa: RUF001
        "\n"
        "1. One lane did not start.\n"
    )


def test_a_wide_letter_is_never_cut_in_half() -> None:
    table = one_cell("李李李李李")
    assert as_table(table, width=8).splitlines()[4] == "李李李…"
    assert as_table(table, width=7).splitlines()[4] == "李李李…"
    assert as_table(table, width=6).splitlines()[4] == "李李…"


def test_where_nothing_more_can_be_cut_the_table_stays_wide() -> None:
    lines = as_table(STANDINGS, width=20).splitlines()
    assert lines[4] == "   1  007  Ines …       47.5       0.0"


def test_titles_and_notes_break_between_words() -> None:
    table = one_cell("x", title="Fault rates of the heat", notes=("from judged reps",))
    assert as_table(table, width=12) == (
        "Fault rates\nof the heat\n\nName\n----\nx\n\nfrom judged\nreps\n"
    )


@pytest.mark.parametrize(
    ("text", "cells"),
    [("Ines", 4), ("Zoé", 3), ("Zoe\u0301", 3), ("李娜", 4), ("ｱﾘ", 2), ("", 0)],
)
def test_a_text_is_as_wide_as_its_cells(text: str, cells: int) -> None:
    assert cell_width(text) == cells


def test_csv_has_keys_crlf_empty_cells_and_plain_numbers() -> None:
    assert as_csv(STANDINGS) == (
        "rank,bib,name,load_kg,rate\r\n"
        "1,007,Ines Varga,47.5,0.0\r\n"
        "2,12,李 娜,40,33.3\r\n"
        ",3,Zoé | *B*,,\r\n"
    )


@pytest.mark.parametrize("name", HOSTILE)
def test_no_text_is_a_formula_and_each_comes_back_unchanged(name: str) -> None:
    (_, (cell,)) = csv.reader(io.StringIO(as_csv(one_cell(name)), newline=""))
    assert cell == f"'{name}"
    assert from_csv_text(cell) == name


def test_a_negative_number_stays_a_number() -> None:
    assert as_csv(one_cell(-2)) == "name\r\n-2\r\n"
    assert as_csv(one_cell("-2")) == "name\r\n'-2\r\n"


def test_a_time_below_zero_is_neither_guarded_nor_a_formula_in_csv() -> None:
    column = Column(name="At", key="at", is_time=True)
    rows = (("-0:10.000",), ("0:03.000",), (None,))
    table = Table(title="Times", columns=(column,), rows=rows)
    assert as_csv(table) == 'at\r\n\u22120:10.000\r\n0:03.000\r\n""\r\n'
    assert [row["at"] for row in json.loads(as_json(table))["rows"]] == [
        "-0:10.000",
        "0:03.000",
        None,
    ]


def test_json_has_stable_keys_and_null_for_nothing() -> None:
    table = Table(
        title="Quayside",
        columns=(
            Column(name="Rank", key="rank"),
            Column(name="Load", key="load", unit="kg"),
        ),
        rows=((1, 47.5), (None, None)),
        notes=("Zoé",),
    )
    assert as_json(table) == (
        "{\n"
        '  "format": 1,\n'
        '  "title": "Quayside",\n'
        '  "columns": [\n'
        "    {\n"
        '      "key": "rank",\n'
        '      "name": "Rank",\n'
        '      "unit": null\n'
        "    },\n"
        "    {\n"
        '      "key": "load",\n'
        '      "name": "Load",\n'
        '      "unit": "kg"\n'
        "    }\n"
        "  ],\n"
        '  "rows": [\n'
        "    {\n"
        '      "rank": 1,\n'
        '      "load": 47.5\n'
        "    },\n"
        "    {\n"
        '      "rank": null,\n'
        '      "load": null\n'
        "    }\n"
        "  ],\n"
        '  "notes": [\n'
        '    "Zoé"\n'
        "  ]\n"
        "}\n"
    )


def test_markdown_escapes_all_markup() -> None:
    assert as_markdown(STANDINGS) == (
        "# Quayside, Women\n"
        "\n"
        "| Rank | Bib | Name | Load (kg) | Rate (%) |\n"
        "| --: | --- | --- | --: | --: |\n"
        "| 1 | 007 | Ines Varga | 47.5 | 0.0 |\n"
        "| 2 | 12 | 李 娜 | 40 | 33.3 |\n"
        "| – | 3 | Zoé \\| \\*B\\* | – | – |\n"  # noqa: RUF001
        "\n"
        "- 1\\. One lane did not start.\n"
    )


@pytest.mark.parametrize(
    ("text", "escaped"),
    [
        ("[a](b)", "\\[a\\](b)"),
        ("<b>&amp;`x`", "\\<b\\>\\&amp;\\`x\\`"),
        ("_a_ ~b~ $c$ #1 @d", "\\_a\\_ \\~b\\~ \\$c\\$ \\#1 \\@d"),
        ("http://a.b www.c.d", "http\\://a.b www\\.c.d"),
        ("back\\slash", "back\\\\slash"),
        ("two\nlines", "two lines"),
    ],
)
def test_markdown_text_is_only_text(text: str, escaped: str) -> None:
    assert as_markdown(one_cell(text)).splitlines()[-1] == f"| {escaped} |"


@pytest.mark.parametrize(
    ("note", "line"),
    [("- a", "- \\- a"), ("+ a", "- \\+ a"), ("2) a", "- 2\\) a"), ("# a", "- \\# a")],
)
def test_a_markdown_note_starts_no_block_of_its_own(note: str, line: str) -> None:
    assert as_markdown(one_cell("x", notes=(note,))).splitlines()[-1] == line


def test_html_is_one_page_that_fetches_and_runs_nothing() -> None:
    table = Table(
        title="A & B",
        columns=(
            Column(name="Rank", key="rank", align="right"),
            Column(name="Name", key="name"),
        ),
        rows=((1, "<script>x</script>"), (None, 'O"Hara')),
        notes=("n",),
    )
    assert as_html(table) == (
        "<!DOCTYPE html>\n"
        '<html lang="en">\n'
        "<head>\n"
        '<meta charset="utf-8">\n'
        '<meta http-equiv="Content-Security-Policy"'
        " content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<title>A &amp; B</title>\n"
        "<style>\n"
        f"{source('look.css')}\n"
        "</style>\n"
        "</head>\n"
        "<body>\n"
        "<h2><bdi>A &amp; B</bdi></h2>\n"
        '<div class="scroll"><table>\n'
        "<thead>\n"
        '<tr><th scope="col" class="right"><bdi>Rank</bdi></th>'
        '<th scope="col" class="left"><bdi>Name</bdi></th></tr>\n'
        "</thead>\n"
        "<tbody>\n"
        '<tr><td class="right"><bdi>1</bdi></td>'
        '<td class="left"><bdi>&lt;script&gt;x&lt;/script&gt;</bdi></td></tr>\n'
        '<tr><td class="right"><bdi>–</bdi></td>'  # noqa: RUF001
        '<td class="left"><bdi>O&quot;Hara</bdi></td></tr>\n'
        "</tbody>\n"
        "</table></div>\n"
        "<ul>\n"
        "<li><bdi>n</bdi></li>\n"
        "</ul>\n"
        "</body>\n"
        "</html>\n"
    )


class Elements(HTMLParser):
    """The elements and attributes of a page, and the text in its cells."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[tuple[str, tuple[str, ...]]] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.add((tag, tuple(name for name, _ in attrs)))


def elements(page: str) -> set[tuple[str, tuple[str, ...]]]:
    parser = Elements()
    parser.feed(page)
    parser.close()
    return parser.found


@given(texts | st.text(st.sampled_from("<>&\"'/= script!-")))
def test_no_text_adds_an_element_or_attribute_to_the_page(text: str) -> None:
    tame = elements(as_html(one_cell("x", title="x", notes=("x",))))
    assert elements(as_html(one_cell(text, title=text, notes=(text,)))) == tame


@given(texts)
def test_no_text_breaks_a_line_or_reaches_the_terminal_as_a_command(text: str) -> None:
    lines = as_table(one_cell(text, title=text, notes=(text,))).split("\n")
    assert len(lines) == 8
    assert all(char.isprintable() or ord(char) > 0x9F for char in "".join(lines))


@pytest.mark.parametrize("text", ["a\x1b[31mb", "a\u202eb", "a\x07b", "a\x9bb"])
def test_what_commands_a_terminal_or_turns_the_writing_is_left_out(text: str) -> None:
    shown = as_table(one_cell(text)).splitlines()[4]
    assert shown in ("a[31mb", "ab")


@given(st.lists(numbers, min_size=1, max_size=8))
def test_a_number_is_the_same_in_csv_and_json(values: list[float]) -> None:
    columns = (Column(name="N", key="n"),)
    table = Table(title="t", columns=columns, rows=tuple((value,) for value in values))
    in_csv = [float(row["n"]) for row in csv.DictReader(io.StringIO(as_csv(table)))]
    in_json = [row["n"] for row in json.loads(as_json(table))["rows"]]
    assert in_csv == in_json == values


@pytest.mark.parametrize("cell", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_never_gets_into_a_table(cell: float) -> None:
    with pytest.raises(ValueError, match="is not a number to show"):
        one_cell(cell)


def test_a_row_must_fit_its_columns_and_keys_must_differ() -> None:
    columns = (Column(name="A", key="a"), Column(name="B", key="b"))
    with pytest.raises(ValueError, match="does not fit the columns"):
        Table(title="t", columns=columns, rows=((1,),))
    with pytest.raises(ValueError, match="two columns have the same key"):
        Table(title="t", columns=(columns[0], columns[0]), rows=())


def test_a_table_without_rows_is_a_header_in_every_layout() -> None:
    table = Table(title="Faults", columns=(Column(name="Fault", key="fault"),), rows=())
    assert as_table(table) == "Faults\n\nFault\n-----\n"
    assert as_csv(table) == "fault\r\n"
    assert json.loads(as_json(table))["rows"] == []
    assert as_markdown(table) == "# Faults\n\n| Fault |\n| --- |\n"
    assert "<tbody>\n</tbody>" in as_html(table)


def test_nothing_and_nought_do_not_look_alike() -> None:
    nothing, nought = one_cell(None), one_cell(0.0)
    for lay_out in (as_table, as_csv, as_json, as_markdown, as_html):
        assert lay_out(nothing) != lay_out(nought)
        assert "None" not in lay_out(nothing)


def test_where_no_row_stands_the_notes_say_all() -> None:
    table = replace(one_cell("x", notes=("Nothing is known yet.",)), rows=())
    for drawn in (as_table(table), as_markdown(table), as_html(table)):
        assert "Nothing is known yet." in drawn
        assert not re.search(r"Name|\|", drawn.split("</style>")[-1])
    bare = replace(table, notes=())
    for drawn in (as_table(bare), as_markdown(bare), as_html(bare)):
        assert "Name" in drawn


def test_what_unicode_will_never_give_a_meaning_is_left_out() -> None:
    never = "\ufdd0\ufdef\ufffe\uffff\U0001fffe\U0010ffff"
    assert visible(f"a{never}b\ufdcf\ufdf0\ufffd") == "ab\ufdcf\ufdf0\ufffd"
