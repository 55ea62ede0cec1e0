"""Pages of text and tables laid out: for a terminal, as Markdown and as HTML.

A page knows nothing of its subject. All text is data: never markup, never a command.
"""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, Literal

from judgekit.core.values import dataclass
from judgekit.reports.chart import Chart, Splits, drawn_chart
from judgekit.reports.layout import (
    EMPTY,
    MANY,
    Table,
    as_markdown_rows,
    markdown_block,
    markdown_text,
    visible,
    wrapped,
)
from judgekit.reports.look import template
from judgekit.reports.terminal import fitted_lines

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from markupsafe import Markup


_HANG = "  "
_USUAL_WIDTH = 80
# Of more rows with bars than so many only the first are open on a screen.
_MOST_BARS, _AT_FIRST = 10, 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A line with a word before it: what it is, and what it says, `more` below it."""

    label: str
    says: str
    more: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """All that it says, a line each."""
        return (self.says, *self.more)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A titled part of a page: figure, charts, lines, labelled rows, then tables.

    `leads` is for what everybody must be able to read: larger, across the whole page.
    What is `closed` is so on a screen until somebody asks for it, never on paper.
    `figure` is drawn with letters of one width, its lines already as wide as they may.
    Each table after the first stands below its title and notes.
    """

    title: str
    leads: bool = False
    closed: bool = False
    figure: tuple[str, ...] = ()
    charts: tuple[Chart, ...] = ()
    lines: tuple[str, ...] = ()
    rows: tuple[Row, ...] = ()
    tables: tuple[Table, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to show."""
        return not (self.has_words or self.filled)

    @property
    def has_words(self) -> bool:
        """Whether anything but tables is in it."""
        return bool(self.figure or self.charts or self.lines or self.rows)

    @property
    def filled(self) -> tuple[Table, ...]:
        """The tables that have rows."""
        return tuple(table for table in self.tables if table.rows)

    @property
    def drawn(self) -> tuple[Chart, ...]:
        """The charts that are more than letters: others are bars of a table there."""
        return tuple(
            chart for chart in self.charts if isinstance(chart, Splits) or chart.along
        )

    @property
    def many(self) -> int:
        """How many rows it has."""
        return len(self.rows) + sum(len(table.rows) for table in self.tables)

    def is_further(self, table: Table) -> bool:
        """Whether a table is not the first one that has rows."""
        return table is not self.filled[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A whole page; sections with nothing in them are left out when it is laid out.

    One for the wall is printed across the sheet in columns, a report down the sheet.
    """

    title: str
    under: str = ""
    sections: tuple[Section, ...]
    kind: Literal["wall", "report"] = "wall"

    @property
    def shown(self) -> tuple[Section, ...]:
        """The sections that have something to say."""
        return tuple(section for section in self.sections if not section.is_empty)


def table_page(title: str, tables: Sequence[Table]) -> Page:
    """A page of tables, each under its own title with its notes."""
    return Page(
        title=title,
        kind="report",
        sections=tuple(
            Section(title=table.title, lines=table.notes, tables=(table,))
            for table in tables
        ),
    )


def page_text(page: Page, width: int | None = None) -> str:
    """A page for a terminal of that many cells (None: as wide as it gets)."""
    lines = [*wrapped(visible(page.title), width), *wrapped(visible(page.under), width)]
    for section in page.shown:
        lines += ["", visible(section.title).upper()]
        lines += _section_lines(section, width)
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _section_lines(section: Section, width: int | None) -> Iterator[str]:
    drawn = [*map(visible, section.figure), *_drawn(section, width or _USUAL_WIDTH)]
    yield from drawn
    if drawn and (section.filled or section.lines or section.rows):
        yield ""
    for line in section.lines:
        yield from _hung(line, width)
    space = max((len(row.label) for row in section.rows), default=0)
    for row in section.rows:
        yield from _labelled(row, space, width)
    for table in section.filled:
        if section.is_further(table):
            yield from ("", visible(table.title))
            yield from (line for note in table.notes for line in _hung(note, width))
        yield from fitted_lines(table, width)


def _drawn(section: Section, width: int) -> Iterator[str]:
    """The charts of a section in letters."""
    for number, chart in enumerate(section.charts):
        if number:
            yield ""
        yield visible(chart.of)
        yield from drawn_chart(chart, width)


def _hung(line: str, width: int | None) -> list[str]:
    """A line broken between words, what follows set in under its own beginning."""
    lead = len(line) - len(line.lstrip(" "))
    room = None if width is None else width - lead
    first, *more = wrapped(visible(line).strip(), room)
    if room is not None and more:
        more = wrapped(" ".join(more), room - len(_HANG))
    return [" " * lead + first, *(" " * lead + _HANG + text for text in more)]


def _labelled(row: Row, space: int, width: int | None) -> list[str]:
    lead = visible(row.label).ljust(space) + "  "
    room = None if width is None else width - len(lead)
    first, *more = (text for says in row.lines for text in wrapped(visible(says), room))
    return [lead + first, *(" " * len(lead) + text for text in more)]


def page_markdown(page: Page) -> str:
    """A page as Markdown; every text is escaped."""
    return "\n".join(_markdown_lines(page)) + "\n"


def _markdown_lines(page: Page) -> Iterator[str]:
    yield f"# {markdown_text(page.title)}"
    if page.under:
        yield from ("", markdown_text(page.under))
    for section in page.shown:
        yield from ("", f"## {markdown_text(section.title)}", "")
        drawn = [*section.figure, *_drawn(section, _USUAL_WIDTH)]
        if drawn:
            # Indented by four it is code: no sign in it is markup.
            yield from (f"    {visible(line)}".rstrip() for line in drawn)
            yield ""
        for line in section.lines:
            lead = len(line) - len(line.lstrip(" "))
            yield f"{' ' * lead}- {markdown_block(line.strip())}"
        for row in section.rows:
            yield f"- **{markdown_text(row.label)}**: {markdown_text(row.says)}"
            yield from (f"  - {markdown_block(says)}" for says in row.more)
        for table in section.filled:
            yield from _markdown_table(section, table)


def _markdown_table(section: Section, table: Table) -> Iterator[str]:
    further = section.is_further(table)
    notes = table.notes if further else ()
    if further:
        yield from ("", f"### {markdown_text(table.title)}", "")
    yield from (f"- {markdown_block(note)}" for note in notes)
    if notes or (section.has_words and not further):
        yield ""  # without it the table would be a part of the last row
    yield from as_markdown_rows(table)


def page_html(*pages: Page) -> str:
    """One file that fetches nothing and runs nothing; large enough to hang up.

    It is named after the first page; each begins on a sheet of its own in print.
    """
    numbers = count(1)
    return template("page.html").render(
        pages=pages,
        empty=EMPTY,
        many=MANY,
        kind=pages[0].kind,
        most=_MOST_BARS,
        at_first=_AT_FIRST,
        pictures=lambda chart: _pictures(chart, f"chart{next(numbers)}"),
    )


def _pictures(chart: Chart, key: str) -> Iterator[tuple[str, Markup]]:
    """The drawings of a chart with the widths that each is for."""
    from markupsafe import Markup

    from judgekit.reports.drawing import BROWSER
    from judgekit.reports.plot import svg

    for for_, wide in (
        (("narrow", False), ("wide", True))
        if isinstance(chart, Splits)
        else (("", False),)
    ):
        drawn = svg(chart, f"{key}{for_}", BROWSER, wide=wide)
        yield for_, Markup(drawn)  # noqa: S704 - its texts are escaped there
