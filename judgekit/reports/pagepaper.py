"""Pages of text, charts and tables as PDF, in the look of all others."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from judgekit.reports.layout import EMPTY
from judgekit.reports.look import source
from judgekit.reports.typeset import pdf

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.reports.layout import Table
    from judgekit.reports.page import Page, Section
    from judgekit.reports.typefaces import Typefaces

_Data = dict[str, object]


def page_pdf(pages: Sequence[Page], faces: Typefaces) -> bytes:
    """One file of all pages, each beginning on a sheet of its own."""
    data: _Data = {"pages": [_page(page) for page in pages]}
    return pdf(source("look.typ") + source("page.typ"), data, faces)


def _page(page: Page) -> _Data:
    return {
        "title": page.title,
        "under": page.under,
        "sections": [_section(section) for section in page.shown],
    }


def _section(section: Section) -> _Data:
    return {
        "title": section.title,
        "figure": section.figure,
        "charts": [asdict(chart) for chart in section.charts],
        "lines": section.lines,
        "rows": [{"label": row.label, "lines": row.lines} for row in section.rows],
        "tables": [_table(table) for table in section.filled],
    }


def _table(table: Table) -> _Data:
    """Cells as texts; the column with the longest words takes the room that is left."""
    rows = [
        [EMPTY if cell is None else str(cell) for cell in row] for row in table.rows
    ]
    longest = [max(map(len, column)) for column in zip(*rows, strict=True)]
    widest = longest.index(max(longest))
    return {
        "columns": [
            {
                "heading": column.heading,
                "right": column.align == "right",
                "wide": place == widest,
            }
            for place, column in enumerate(table.columns)
        ],
        "rows": rows,
    }
