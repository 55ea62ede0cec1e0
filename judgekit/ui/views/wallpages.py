"""Sheets of a briefing laid out as pages of one screen: nothing is cut, ever.

A heading stands in block letters where they fit; what does not fit below it goes on
the next page, under the same heading.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.ui.glyphs import fitted
from judgekit.ui.text import safe, width_of, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.ui.views.wall import Said, Sheet

# A heading has this share of the rows, and its text a label this share of the columns.
_HEAD_SHARE = 4
_LABEL_SHARE = 3
_GAP = 2
_MANY = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row of a page: a word of the label's column, and what is said."""

    label: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One screen; `sheet` is the number of the sheet that it shows some of."""

    sheet: int
    of: str
    head: tuple[str, ...]
    body: tuple[Line, ...]


def pages(sheets: Sequence[Sheet], columns: int, rows: int) -> tuple[Page, ...]:
    """Every page of so many columns and rows, in their order."""
    return tuple(
        Page(sheet=number, of=sheet.of, head=head, body=tuple(body))
        for number, sheet in enumerate(sheets)
        for head in [_head(sheet.heading, columns, rows)]
        for body in _parted(sheet.rows, columns, max(1, rows - len(head) - 1))
    )


def _head(heading: str, columns: int, rows: int) -> tuple[str, ...]:
    plain = safe(heading).replace(",", "")
    lines = fitted(plain, columns, -(-rows // _HEAD_SHARE))
    if len(lines) > 1:
        return tuple(lines)
    return tuple(wrapped(heading.upper(), columns, _MANY))


def _parted(said: Sequence[Said], columns: int, rows: int) -> Iterator[list[Line]]:
    """The rows page by page; each stays whole where a page holds it.

    With room to spare blank lines part them.
    """
    label = max((width_of(one.label) for one in said), default=0)
    blocks = [_block(one, label, columns) for one in said]
    apart = sum(map(len, blocks)) + len(blocks) - 1 <= rows
    page: list[Line] = []
    for block in blocks:
        if page and len(page) + len(block) > rows:
            yield page
            page = []
        if apart and page:
            page.append(Line())
        page += block
        while len(page) > rows:
            yield page[:rows]
            page = page[rows:]
    yield page


def _block(said: Said, label: int, columns: int) -> list[Line]:
    """One row: its label beside what is said, above it where columns are few."""
    above = label > columns // _LABEL_SHARE
    indent = 0 if above or not said.label else label + _GAP
    texts = [text for line in said.lines for text in _broken(line, columns - indent)]
    if not indent:
        head = [Line(label=cut) for cut in wrapped(said.label, columns, _MANY) if cut]
        return [*head, *(Line(text=text) for text in texts)]
    first = safe(said.label)
    pad = " " * (indent - width_of(first))
    blank = " " * indent
    labels = [first + pad, *(blank for _ in texts[1:])]
    return [
        Line(label=word, text=text) for word, text in zip(labels, texts, strict=True)
    ]


def _broken(line: str, columns: int) -> list[str]:
    """A line in as many as it takes, each set in as the line itself is."""
    lead = " " * (len(line) - len(line.lstrip(" ")))
    room = max(1, columns - len(lead))
    return [lead + text for text in wrapped(line, room, _MANY)]
