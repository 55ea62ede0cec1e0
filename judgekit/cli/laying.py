"""Tables for people in the format that was asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports import layout

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.cli.output import Output
    from judgekit.reports.layout import Table


def for_people(tables: Sequence[Table], output: Output) -> str:
    """Several tables below each other as a terminal's text, Markdown or HTML."""
    if output.format == "html":
        return layout.as_html(*tables)
    if output.format == "markdown":
        return "\n".join(layout.as_markdown(table) for table in tables)
    return "\n".join(layout.as_table(table, output.width) for table in tables)


def one_table(table: Table, output: Output) -> str:
    """One table in any of the formats."""
    if output.format == "csv":
        return layout.as_csv(table)
    if output.format == "json":
        return layout.as_json(table)
    return for_people([table], output)
