"""Pages of text, charts and tables as PDF, in the look of all others."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.reports.chart import Splits
from judgekit.reports.drawing import Paint
from judgekit.reports.layout import EMPTY, cell_width
from judgekit.reports.look import source
from judgekit.reports.typeset import pdf

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.reports.chart import Chart
    from judgekit.reports.layout import Bars, Table
    from judgekit.reports.page import Page, Section
    from judgekit.reports.typefaces import Typefaces

_Data = dict[str, object]
# About so many letters of a table fit side by side, gaps between columns counted.
_LETTERS, _BETWEEN = 110, 2
# A bar is as wide as so many of them, if not wider.
_BAR = 24
# Only columns with longer words than these may wrap, or fewer if they fill the page.
_SHORT, _LONGEST = 24, 60
# As in look.typ.
_PAINT = Paint(
    ink="#000000", soft="#454545", grid="#a0a0a0", back="#ffffff", mark="#005a94"
)


def page_pdf(pages: Sequence[Page], faces: Typefaces) -> bytes:
    """One file of all pages, each beginning on a sheet of its own."""
    pictures: list[str] = []
    data: _Data = {"pages": [_page(page, faces, pictures) for page in pages]}
    template = source("look.typ") + source("page.typ")
    return pdf(template, data, faces, pictures)


def _page(page: Page, faces: Typefaces, pictures: list[str]) -> _Data:
    return {
        "title": page.title,
        "under": page.under,
        "sections": [_section(section, faces, pictures) for section in page.shown],
    }


def _section(section: Section, faces: Typefaces, pictures: list[str]) -> _Data:
    return {
        "title": section.title,
        "figure": section.figure,
        "charts": [_chart(chart, faces, pictures) for chart in section.drawn],
        "lines": section.lines,
        "rows": [{"label": row.label, "lines": row.lines} for row in section.rows],
        "tables": [_table_of(section, table) for table in section.filled],
    }


def _chart(chart: Chart, faces: Typefaces, pictures: list[str]) -> _Data:
    """A chart's title and which of the pictures it is."""
    from judgekit.reports.plot import svg

    spelt = chart.spelt(faces.spelt)
    paint = replace(_PAINT, families=tuple(faces.families))
    pictures.append(svg(spelt, f"chart{len(pictures)}", paint, wide=True))
    grows = isinstance(chart, Splits)
    return {"of": chart.of, "grows": grows, "picture": len(pictures) - 1}


def _table_of(section: Section, table: Table) -> _Data:
    """A table; one that is not a section's first has its title and notes with it."""
    further = section.is_further(table)
    return {
        **_table(table),
        "title": table.title if further else "",
        "notes": table.notes if further else (),
    }


def _table(table: Table) -> _Data:
    """A table with its cells as texts, and how much of the width long words share."""
    rows = [
        [EMPTY if cell is None else str(cell) for cell in row] for row in table.rows
    ]
    heads = [column.heading for column in table.columns]
    longest = [
        max(map(cell_width, column)) for column in zip(heads, *rows, strict=True)
    ]
    kept = _kept(longest, _LETTERS if table.bars is None else _LETTERS - _BAR)
    return {
        "columns": [
            {
                "heading": column.heading,
                "right": column.align == "right",
                # None: as wide as its words; else they wrap.
                "share": min(many, _LONGEST) if many > kept else None,
            }
            for column, many in zip(table.columns, longest, strict=True)
        ],
        "rows": rows,
        "bars": None if table.bars is None else _bars(table.bars),
    }


def _bars(bars: Bars) -> _Data:
    """Bars in parts of their axis."""
    return {
        "key": bars.key,
        "share": _BAR,
        "end": bars.end,
        "whole": None if bars.whole is None else bars.whole / bars.end,
        "ranges": [
            None if one is None else [at / bars.end for at in one]
            for one in bars.ranges
        ],
    }


def _kept(longest: Sequence[int], letters: int) -> int:
    """Columns of at most so many letters have all their room; others share the rest.

    The rest is as much for each of them, so that no word is squeezed to nothing.
    """
    room = letters - _BETWEEN * len(longest)
    if sum(longest) <= room:
        return max(longest)
    levels = range(_SHORT, 0, -1)
    return next((n for n in levels if sum(min(n, m) for m in longest) <= room), 0)
