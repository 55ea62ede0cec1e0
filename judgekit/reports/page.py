"""Pages of text and tables laid out: for a terminal, as Markdown and as HTML.

A page knows nothing of its subject. All text is data: never markup, never a command.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.layout import (
    EMPTY,
    Table,
    as_markdown_rows,
    markdown_block,
    markdown_text,
    table_lines,
    visible,
    wrapped,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from jinja2 import Template

_HANG = "  "


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
    """A titled part of a page: a figure, plain lines, labelled rows, then tables.

    `leads` is for what everybody must be able to read: larger, across the whole page.
    `figure` is drawn with letters of one width, its lines already as wide as they may.
    """

    title: str
    leads: bool = False
    figure: tuple[str, ...] = ()
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
        return bool(self.figure or self.lines or self.rows)

    @property
    def filled(self) -> tuple[Table, ...]:
        """The tables that have rows."""
        return tuple(table for table in self.tables if table.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A whole page; sections with nothing in them are left out when it is laid out."""

    title: str
    under: str = ""
    sections: tuple[Section, ...]

    @property
    def shown(self) -> tuple[Section, ...]:
        """The sections that have something to say."""
        return tuple(section for section in self.sections if not section.is_empty)


def page_text(page: Page, width: int | None = None) -> str:
    """A page for a terminal of that many cells (None: as wide as it gets)."""
    lines = [*wrapped(visible(page.title), width), *wrapped(visible(page.under), width)]
    for section in page.shown:
        lines += ["", visible(section.title).upper()]
        lines += map(visible, section.figure)
        if section.figure and section.filled:
            lines.append("")
        for line in section.lines:
            lines += _hung(line, width)
        space = max((len(row.label) for row in section.rows), default=0)
        for row in section.rows:
            lines += _labelled(row, space, width)
        for table in section.filled:
            lines += table_lines(table, width)
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _hung(line: str, width: int | None) -> list[str]:
    """A line broken between words, what follows set in under its own beginning."""
    lead = len(line) - len(line.lstrip(" "))
    first, *more = wrapped(
        visible(line).strip(), None if width is None else width - lead
    )
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
        if section.figure:
            # Indented by four it is code: no sign in it is markup.
            yield from (f"    {visible(line)}" for line in section.figure)
            yield ""
        for line in section.lines:
            lead = len(line) - len(line.lstrip(" "))
            yield f"{' ' * lead}- {markdown_block(line.strip())}"
        for row in section.rows:
            yield f"- **{markdown_text(row.label)}**: {markdown_text(row.says)}"
            yield from (f"  - {markdown_block(says)}" for says in row.more)
        for table in section.filled:
            if section.has_words:
                yield ""  # without it the table would be a part of the last row
            yield from as_markdown_rows(table)


def page_html(*pages: Page) -> str:
    """One file that fetches nothing and runs nothing; large enough to hang up.

    It is named after the first page; each begins on a sheet of its own in print.
    """
    return _template().render(pages=pages, empty=EMPTY)


@cache
def _template() -> Template:
    from jinja2 import Environment

    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.filters["seen"] = visible
    return environment.from_string(_HTML)


_HTML = """\
{% macro laid(section) %}
<section{{ ' class="lead"' | safe if section.leads }}>
<h2><bdi>{{ section.title | seen }}</bdi></h2>
{% if section.figure %}
<pre><bdi>{{ section.figure | map("seen") | join("\n") }}</bdi></pre>
{% endif %}
{% if section.lines %}
<ul>
{% for line in section.lines %}
<li{{ ' class="in"' | safe if line.startswith(" ") }}><bdi>{{ line.strip() | seen }}\
</bdi></li>
{% endfor %}
</ul>
{% endif %}
{% if section.rows %}
<dl>
{% for row in section.rows %}
<dt><bdi>{{ row.label | seen }}</bdi></dt>
{% for says in row.lines %}
<dd><bdi>{{ says | seen }}</bdi></dd>
{% endfor %}
{% endfor %}
</dl>
{% endif %}
{% for table in section.filled %}
<table>
<thead><tr>
{% for column in table.columns %}
<th scope="col" class="{{ column.align }}"><bdi>{{ column.heading | seen }}</bdi></th>
{% endfor %}
</tr></thead>
<tbody>
{% for row in table.rows %}
<tr>
{% for cell in row %}
<td class="{{ table.columns[loop.index0].align }}"><bdi>\
{{ (cell if cell is not none else empty) | string | seen }}</bdi></td>
{% endfor %}
</tr>
{% endfor %}
</tbody>
</table>
{% endfor %}
</section>
{% endmacro %}
<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" \
content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{ pages[0].title | seen }}</title>
<style>
:root { color-scheme: light dark; }
body { font: 1.05rem/1.4 system-ui, sans-serif; margin: 0 auto; padding: 1.2rem;
  max-width: 76rem; }
h1 { font-size: 2.4rem; line-height: 1.1; margin: 0; }
.under { font-size: 1.2rem; margin: 0.2rem 0 1rem; }
.rest { columns: 26rem 2; column-gap: 2.2rem; }
article + article { break-before: page; margin-top: 2rem; }
section { break-inside: avoid; margin: 0 0 1.1rem; }
h2 { font-size: 1.25rem; margin: 0 0 0.3rem; border-bottom: 2px solid currentColor;
  break-after: avoid; }
ul { list-style: none; margin: 0; padding: 0; }
li { padding-left: 1rem; text-indent: -1rem; }
li.in { margin-left: 1rem; }
pre { overflow-x: auto; }
dl { display: grid; grid-template-columns: fit-content(32%) 1fr;
  gap: 0.1rem 0.8rem; margin: 0.2rem 0; align-content: start; }
dt { grid-column: 1; font-weight: 700; }
dd { grid-column: 2; margin: 0; }
.lead { display: grid; grid-template-columns: 3fr 2fr; gap: 0 2.2rem;
  font-size: 1.3rem; }
.lead h2 { grid-column: 1 / -1; }
table { border-collapse: collapse; width: 100%; margin: 0.3rem 0; }
th, td { text-align: left; vertical-align: top; padding: 0.1rem 0.6rem 0.1rem 0;
  border-bottom: 1px solid #767676; }
.right { text-align: right; font-variant-numeric: tabular-nums; }
@media screen and (max-width: 60rem) { .rest { columns: 1; }
  .lead { grid-template-columns: 1fr; } }
@media screen and (max-width: 32rem) { dl { grid-template-columns: 1fr; }
  dd { grid-column: 1; } }
@media print { @page { size: A4 landscape; margin: 9mm; }
  :root { color-scheme: light; }
  article + article { margin-top: 0; }
  body { font-size: 8.1pt; line-height: 1.2; max-width: none; padding: 0; }
  h1 { font-size: 22pt; } .under { font-size: 10pt; margin: 0 0 2mm; }
  h2 { font-size: 10.5pt; margin: 0 0 0.5mm; border-bottom-width: 1.5px; }
  section { margin: 0 0 2mm; } .lead { font-size: 12pt; }
  .lead h2 { font-size: 13pt; } .rest { columns: 3; column-gap: 6mm; }
  dl { gap: 0 2mm; margin: 0; } td, th { padding: 0 2mm 0 0; } }
</style>
</head>
<body>
{% for page in pages %}
<article>
<h1><bdi>{{ page.title | seen }}</bdi></h1>
{% if page.under %}<p class="under"><bdi>{{ page.under | seen }}</bdi></p>{% endif %}
<main>
{% for section in page.shown if section.leads %}
{{ laid(section) }}
{% endfor %}
<div class="rest">
{% for section in page.shown if not section.leads %}
{{ laid(section) }}
{% endfor %}
</div>
</main>
</article>
{% endfor %}
</body>
</html>
"""
