"""Pages: the same text on a terminal, in Markdown and in HTML, and never markup."""

import io
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from judgekit.reports.chart import bars_of, rates_chart
from judgekit.reports.layout import Column, Table, as_html, cell_width
from judgekit.reports.page import (
    Page,
    Row,
    Section,
    page_html,
    page_markdown,
    page_text,
)
from judgekit.reports.pagepaper import _table, page_pdf
from judgekit.reports.typefaces import Typefaces
from judgekit.review.faults import rate

PAGE = Page(
    title="Three Gates",
    under="A Saturday",
    sections=(
        Section(
            title="The work",
            lines=("A: 3 rounds of", "  11 front squat with a bar in front"),
            rows=(
                Row(label="cap", says="13:00"),
                Row(label="aim", says="small sets, quick"),
            ),
        ),
        Section(title="Nothing", tables=(Table(title="", columns=(), rows=()),)),
        Section(
            title="In all",
            tables=(
                Table(
                    title="In all",
                    columns=(
                        Column(name="Movement", key="movement"),
                        Column(name="Reps", key="reps", align="right"),
                    ),
                    rows=(("Push-up", 17), ("Row", None)),
                ),
            ),
        ),
    ),
)


def test_a_page_on_a_terminal_is_broken_between_words() -> None:
    assert page_text(PAGE, 24) == (
        "Three Gates\nA Saturday\n"
        "\nTHE WORK\nA: 3 rounds of\n  11 front squat with a\n    bar in front\n"
        "cap  13:00\naim  small sets, quick\n"
        "\nIN ALL\nMovement  Reps\n--------  ----\nPush-up     17\nRow          –\n"  # noqa: RUF001
    )


def on_pages(*sections: Section) -> list[str]:
    """The texts of each page of a report's PDF."""
    made = page_pdf(
        [Page(title="Report", sections=sections, kind="report")], Typefaces()
    )
    return [page.extract_text() for page in PdfReader(io.BytesIO(made)).pages]


def before(lines: int) -> Section:
    return Section(title="Before", lines=("a line",) * lines)


@pytest.mark.parametrize("lines", [34, 38, 42])
def test_pictures_along_the_work_stand_on_one_page(lines: int) -> None:
    along = ("By rep", "By round", "By minute")
    charts = tuple(
        chart for of in along if (chart := rates_chart(of, [("1", rate(1, 9))], "at"))
    )
    told = on_pages(before(lines), Section(title="When", charts=charts))
    assert len(told) == 2
    assert all(of in told[-1] for of in ("When", *along))


def test_no_heading_and_no_row_is_torn_from_what_it_belongs_to() -> None:
    rows = tuple(Row(label=f"Row {n}", says="who") for n in range(5))
    table = Table(
        title="", columns=(Column(name="Reps", key="x"),), rows=((1,), (2,), (3,))
    )
    parted = set()
    for lines in range(38, 58):
        told = on_pages(
            before(lines),
            Section(title="Slower", lines=("How to read it",), rows=rows),
            Section(title="Table", tables=(table,)),
        )
        parted.add(len(told))
        (slower,) = (page for page in told if "Slower" in page)
        assert all(row.label in slower for row in rows)
        assert "How to read it" in slower
        (tabled,) = (page for page in told if "Table" in page)
        assert "Reps" in tabled
    assert parted == {1, 2}


def barred(rows: int, *, name: str = "Row") -> Table:
    columns = (
        Column(name="Fault", key="kind"),
        Column(name="Likely", key="likely", align="right"),
    )
    bars = bars_of([rate(n, 99) for n in range(rows)])
    cells = tuple((f"{name} {n}", f"{n} to {n}") for n in range(rows))
    return Table(title="Faults", columns=columns, rows=cells, bars=bars)


@pytest.mark.parametrize("bars", [True, False])
def test_no_row_of_a_long_table_is_alone_on_its_page(bars: bool) -> None:
    table = barred(12)
    table = table if bars else replace(table, bars=None)
    parted = set()
    for lines in range(28, 52):
        told = on_pages(before(lines), Section(title="Long", tables=(table,)))
        here = [len(re.findall(r"Row \d+ ", page)) for page in told]
        assert sum(here) == 12
        assert all(many == 0 or many >= 3 for many in here), (lines, here)
        parted |= {many for many in here if 0 < many < 12}
        # A table's head stands above its rows on each page.
        for page, many in zip(told, here, strict=True):
            assert ("Likely" in page) == bool(many)
    assert parted


def test_a_table_s_bars_stand_beside_its_rows_where_the_axis_says() -> None:
    table = barred(3)
    assert table.bars is not None
    known, unknown, _ = table.bars.ranges
    bars = replace(
        table.bars, ranges=((10.0, 15.0, 20.0), None, known), end=25, whole=5
    )
    made = page_html(
        Page(
            title="x",
            sections=(Section(title="y", tables=(replace(table, bars=bars),)),),
        )
    )
    assert unknown is not None
    cells = re.compile(r'<td class="bar"[^>]*>(.*?)</td>', re.DOTALL)
    first, second, third = cells.findall(made)
    assert '<circle cx="60.0%"' in first
    assert '<line x1="40.0%" x2="80.0%" y1="50%" y2="50%"/>' in first
    assert "<circle" not in second
    assert "<circle" in third
    # All together is a line through each bar, also where nothing is known.
    assert made.count('<line class="all" x1="20.0%" x2="20.0%"') == 3
    marks = re.findall(r'<text x="(\d+)%" y="1em">([^<]+)</text>', made)
    assert marks == [
        *(("0", "0"), ("20", "5"), ("40", "10"), ("60", "15"), ("80", "20")),
        ("100", "25 %"),
    ]


def test_of_many_rows_with_bars_only_the_first_are_open_on_a_screen() -> None:
    few, many = (
        page_html(
            Page(title="x", sections=(Section(title="y", tables=(barred(rows),)),))
        )
        for rows in (10, 11)
    )
    assert "<details" not in few
    opened, _, closed = many.partition("<details")
    assert "<summary>Faults: 3 more rows</summary>" in closed
    assert [re.findall(r"Row \d+", part) for part in (opened, closed)] == [
        [f"Row {n}" for n in range(8)],
        [f"Row {n}" for n in range(8, 11)],
    ]
    assert [part.count("<circle") for part in (opened, closed)] == [8, 3]


def test_what_is_closed_on_a_screen_is_open_everywhere_else() -> None:
    row = Row(label="Squat", says="slower")
    closed = Section(title="Later", closed=True, rows=(row,), tables=(barred(2),))
    page = Page(title="x", sections=(closed,), kind="report")
    html = page_html(page)
    inside = html.partition('<details class="closed">')[2].partition("</details>")[0]
    assert "<h2><bdi>Later</bdi></h2> <span>3 rows</span>" in inside
    assert "<dd><bdi>slower</bdi></dd>" in inside
    for told in (page_text(page), page_markdown(page), *on_pages(closed)):
        assert "slower" in told
        assert "Row 1" in told


def test_a_second_table_stands_below_its_own_title_and_notes() -> None:
    first = replace(barred(1, name="One"), title="First", notes=("said of the first",))
    second = replace(barred(1, name="Two"), title="Second", notes=("said of it",))
    section = Section(title="Both", tables=(first, second))
    page = Page(title="x", sections=(section,), kind="report")
    for told in (page_text(page), page_markdown(page), page_html(page)):
        assert "said of the first" not in told
        places = [told.index(w) for w in ("One 0", "Second", "said of it", "Two 0")]
        assert places == sorted(places)
        assert "First" not in told
    (paper,) = on_pages(section)
    assert "Second\nsaid of it\n" in paper
    empty = replace(section, tables=(replace(first, rows=(), bars=None), second))
    assert "Second" not in page_text(replace(page, sections=(empty,)))


def test_a_number_stays_on_one_line_with_its_unit() -> None:
    table = Table(
        title="",
        columns=(Column(name="Likely", key="x"),),
        rows=(("14 of 196, 7.7 %",),),
    )
    made = page_html(
        Page(
            title="Rates",
            sections=(
                Section(
                    title="All",
                    lines=("A rep takes 3 s, 12 sets",),
                    rows=(Row(label="Row", says="14 % (5 to 23)"),),
                    tables=(table,),
                ),
            ),
        )
    )
    for words in (
        "3\u00a0s, 12 sets",
        "14\u00a0% (5",
        "14\u00a0of\u00a0196, 7.7\u00a0%",
    ):
        assert words in made


def test_a_page_in_markdown() -> None:
    assert page_markdown(PAGE) == (
        "# Three Gates\n\nA Saturday\n"
        "\n## The work\n\n- A: 3 rounds of\n  - 11 front squat with a bar in front\n"
        "- **cap**: 13:00\n- **aim**: small sets, quick\n"
        "\n## In all\n\n| Movement | Reps |\n| --- | --: |\n| Push-up | 17 |\n| Row | – |\n"  # noqa: E501, RUF001
    )


def test_a_page_in_html_fetches_and_runs_nothing() -> None:
    text = page_html(PAGE, PAGE)
    assert text.count("<h1><bdi>Three Gates</bdi></h1>") == 2
    assert '<li class="in"><bdi>11 front squat with a bar in front</bdi></li>' in text
    assert (
        '<dt style="--lines: 1"><bdi>cap</bdi></dt>\n<dd><bdi>13:00</bdi></dd>\n'
        in text
    )
    assert '<td class="right"><bdi>17</bdi></td>' in text
    assert "Nothing" not in text
    assert not any(sign in text for sign in ("<script", "src=", "href=", "url("))


def test_a_table_below_rows_is_one_and_an_empty_one_is_not_there() -> None:
    full = PAGE.sections[2].tables[0]
    empty = replace(full, rows=())
    section = Section(
        title="In all", rows=(Row(label="cap", says="13:00"),), tables=(empty, full)
    )
    page = Page(title="Three Gates", sections=(section,))
    assert "- **cap**: 13:00\n\n| Movement | Reps |\n" in page_markdown(page)
    for text in (page_markdown(page), page_text(page), page_html(page)):
        assert text.count("Movement") == 1


def test_a_row_of_many_columns_says_on_a_phone_what_each_cell_is_of() -> None:
    columns = tuple(Column(name=f"{n} <i>", key=f"{n}") for n in range(5))
    wide = Table(title="t", columns=columns, rows=((*"abc", None, "e"),))
    few = replace(wide, columns=columns[:4], rows=(tuple("abcd"),))
    page = Page(title="x", sections=(Section(title="y", tables=(wide, few)),))
    for html in (page_html(page), as_html(wide, few)):
        assert html.count('<table class="many">') == 1
        assert html.count("<table>") == 1
        assert html.count("data-of=") == 5
        assert html.count('class="left none"') == 1
        assert '<td class="left" data-of="4 &lt;i&gt;"><bdi>e</bdi>' in html


def test_what_leads_comes_first_and_a_label_may_have_several_lines() -> None:
    row = Row(label="instead", says="one", more=("two *x*",))
    page = Page(
        title="Three Gates",
        sections=(
            Section(title="Small", rows=(row,)),
            Section(title="Large", leads=True, lines=("all read it",)),
        ),
    )
    assert "instead  one\n         two *x*\n" in page_text(page)
    assert "- **instead**: one\n  - two \\*x\\*\n" in page_markdown(page)
    html = page_html(page)
    assert "<dd><bdi>one</bdi></dd>\n<dd><bdi>two *x*</bdi></dd>" in html
    lead = html.index('<section class="lead">\n<h2><bdi>Large')
    assert lead < html.index('<div class="rest">') < html.index("<h2><bdi>Small")


def test_no_rule_for_narrow_screens_holds_on_paper() -> None:
    # Chromium takes a sheet of A4 for narrow before it turns it to landscape.
    narrow = re.findall(r"@media ([^{]*max-width[^{]*)", page_html(PAGE))
    assert narrow
    assert all(rule.startswith("screen and ") for rule in narrow)


@given(st.text(max_size=60))
def test_no_text_becomes_markup(text: str) -> None:
    hostile = f"<b>{text}</b>[x](y)\x1b[2J"
    page = Page(
        title=hostile,
        under=hostile,
        sections=(
            Section(
                title=hostile,
                lines=(hostile,),
                rows=(Row(label=hostile, says=hostile),),
                tables=(
                    Table(
                        title="t",
                        columns=(Column(name=hostile, key="a"),),
                        rows=((hostile,),),
                    ),
                    Table(
                        title=hostile,
                        columns=(Column(name=hostile, key="a"),),
                        rows=((hostile,),),
                        notes=(hostile,),
                        bars=bars_of([rate(1, 9)]),
                    ),
                ),
            ),
        ),
    )
    assert "<b>" not in page_html(page)
    assert "\x1b" not in page_html(page) + page_text(page, 40) + page_markdown(page)
    assert "[x](y)" not in page_markdown(page)
    assert all(
        "\n" not in line and cell_width(line) >= 0
        for line in page_text(page, 40).split("\n")
    )


def test_on_paper_only_long_words_of_a_table_that_is_too_wide_share_its_width() -> None:
    columns = tuple(
        Column(name=f"{n}", key=f"{n}", align="right" if n else "left")
        for n in range(3)
    )
    narrow = Table(title="t", columns=columns, rows=(("a" * 90, "b", "c"),))
    wide = replace(narrow, rows=(("a" * 90, "b " * 15, "c"),))
    told = [_table(one)["columns"] for one in (narrow, wide)]
    assert [[column["share"] for column in one] for one in told] == [  # type: ignore[attr-defined]
        [None, None, None],
        [60, 30, None],
    ]


def shares(*cells: str) -> list[object]:
    columns = tuple(Column(name=f"{n}", key=f"{n}") for n, _ in enumerate(cells))
    told = _table(Table(title="t", columns=columns, rows=(cells,)))["columns"]
    return [column["share"] for column in told]  # type: ignore[attr-defined]


def test_on_paper_shorter_words_share_too_where_they_would_leave_long_ones_none() -> (
    None
):
    assert shares(*["a" * 22] * 6, "b" * 80, "c") == [*[22] * 6, 60, None]
    # Together as wide as the page, and one more.
    assert shares(*["a" * 22] * 4, "b" * 12) == [None] * 5
    assert shares(*["a" * 22] * 4, "b" * 13) == [22, 22, 22, 22, None]


def test_on_paper_a_bar_keeps_its_room_beside_long_words() -> None:
    bars = bars_of([rate(1, 9)])
    columns = tuple(Column(name=f"{n}", key=f"{n}") for n in range(3))
    told = []
    for words in ("a" * 60, "a" * 64):
        table = Table(title="t", columns=columns, rows=((words, "b" * 10, "c" * 10),))
        plain, barred = (
            [one["share"] for one in _table(each)["columns"]]  # type: ignore[attr-defined]
            for each in (table, replace(table, bars=bars))
        )
        assert plain == [None] * 3
        told.append(barred)
    # With a bar of 24 letters 64 and twice 10 are more than the page has.
    assert told == [[None] * 3, [60, None, None]]


def test_on_paper_the_letters_that_are_as_wide_as_two_count_twice() -> None:
    assert shares(*["李" * 21] * 4) == [42] * 4
