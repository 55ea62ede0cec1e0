"""Tables for people in the format that was asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports import layout
from judgekit.reports.terminal import fitted_table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.cli.output import Output
    from judgekit.reports.layout import Table
    from judgekit.reports.page import Page


def for_people(tables: Sequence[Table], output: Output) -> str:
    """Several tables below each other as a terminal's text, Markdown or HTML."""
    if output.format == "html":
        return layout.as_html(*tables)
    if output.format == "markdown":
        return "\n".join(layout.as_markdown(table) for table in tables)
    return "\n".join(fitted_table(table, output.width) for table in tables)


def pages(found: Sequence[Page], output: Output) -> str:
    """Pages below each other as a terminal's text, Markdown or HTML."""
    from judgekit.reports import page

    if output.format == "html":
        return page.page_html(*found)
    laid = [page_in(output.format, one, output.width) for one in found]
    return ("\n" if output.format == "markdown" else "\n\n").join(laid)


def page_in(format_: str, one: Page, width: int | None) -> str:
    """One page as Markdown, or for a terminal of that many cells."""
    from judgekit.reports import page

    if format_ == "markdown":
        return page.page_markdown(one)
    return page.page_text(one, width)


def write_pages(found: Sequence[Page], output: Output) -> None:
    """Write pages in the format that was asked for, PDF too."""
    if output.format != "pdf":
        output.write(pages(found, output))
        return
    from judgekit.cli.output import say_all
    from judgekit.reports.pagepaper import page_pdf
    from judgekit.reports.typefaces import Typefaces, lacking_words

    faces = Typefaces(output.font_folder)
    output.write(page_pdf(found, faces))
    say_all(lacking_words(faces.lacking))


def one_table(table: Table, output: Output) -> str:
    """One table in any of the formats."""
    if output.format == "csv":
        return layout.as_csv(table)
    if output.format == "json":
        return layout.as_json(table)
    return for_people([table], output)
