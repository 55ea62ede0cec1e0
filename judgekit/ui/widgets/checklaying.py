"""Where the lane check stands at each size: rows of exact width.

The item in focus, what is typed about it and what was told are never pushed out; the
list is as long as there is room for, and moves with the focus.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.glyphs import ROWS, fitted
from judgekit.ui.text import cut, fitting, packed, width_of, wrapped
from judgekit.ui.views.check import MOVES
from judgekit.ui.widgets.row import Row, filled, run

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.ui.views.check import CheckRow, CheckView
    from judgekit.ui.widgets.row import Tone

# From so many columns on what is planned stands in the list, too.
_WIDE = 64
_ROOMY = 16
_LEAST_LIST = 3
_HEAD = 3
_MORE = "↕"
_STATE = 22
_GAP = 2


def check_rows(
    view: CheckView, notice: str, width: int, height: int
) -> tuple[Row, ...]:
    """All rows of the lane check, each exactly `width` cells."""
    columns = max(1, width - 2)
    roomy = height >= _ROOMY
    foot = _foot(view, notice, columns, roomy=roomy)
    below = height - (_HEAD if roomy else 1)
    room = max(1, below - len(foot), min(_LEAST_LIST, below))
    more = len(view.rows) > room
    head = _head(view, columns, roomy=roomy, more=more)
    listed = _list(view.rows, columns, room)
    spare = height - len(head) - len(listed) - len(foot)
    rows = [*head, *listed, *_large(view.big, columns, spare), *foot][:height]
    end = run("", "text", 1)
    return tuple(filled([end, *row, end], width) for row in rows)


def _large(words: str, columns: int, spare: int) -> list[Row]:
    """The words in block letters, where the rows that are left hold them."""
    above = [""] if spare > ROWS else []
    lines = fitted(words, columns, spare - len(above)) if spare >= ROWS else []
    drawn = lines if len(lines) > 1 else []
    below = [""] * (spare - len(above) - len(drawn))
    return [(run(line, "text", columns),) for line in (*above, *drawn, *below)]


def _head(view: CheckView, columns: int, *, roomy: bool, more: bool) -> list[Row]:
    """What it is, how much is open, and a sign where not all items are in view."""
    left = f"{view.left} {_MORE}" if more else view.left
    wide = min(width_of(left), columns)
    title = cut(fitting(view.title, columns - wide - 1), columns - wide - 1)
    rows: list[Row] = [(run(title, "head", columns - wide), run(left, "bold", wide))]
    if roomy:
        rows += [(run(view.athlete, "text", columns),), (run("", "text", columns),)]
    return rows


def _foot(view: CheckView, notice: str, columns: int, *, roomy: bool) -> list[Row]:
    most = 3 if roomy else 2
    prompt = len(view.prompt) // columns + 2
    rows: list[Row] = [(run("", "text", columns),)] if roomy else []
    rows += _lines(view.planned, "bold", columns, 2 if roomy else 1)
    if roomy or not (view.prompt or notice):
        rows += _lines(view.how, "text", columns, most)
    rows += _lines(notice, "notice", columns, most)
    rows += _lines(view.prompt, "key", columns, prompt)
    keys = packed([key for key in view.keys if roomy or key != MOVES], columns)
    return [*rows, *((run(line, "soft", columns),) for line in keys)]


def _lines(text: str, tone: Tone, columns: int, most: int) -> list[Row]:
    if not text:
        return []
    return [(run(line, tone, columns),) for line in wrapped(text, columns, most)]


def _list(rows: Sequence[CheckRow], columns: int, room: int) -> list[Row]:
    """As many items as there is room for, the one in focus among them."""
    at = next((n for n, row in enumerate(rows) if row.focus), 0)
    first = max(0, min(at - room // 2, len(rows) - room))
    name = min(max(width_of(row.name) for row in rows), columns // 2)
    return [_item(row, name, columns) for row in rows[first : first + room]]


def _item(row: CheckRow, name: int, columns: int) -> Row:
    tone: Tone = "ask" if row.focus else "text"
    state: Tone = tone if row.focus else ("soft" if row.sign == "✓" else "bold")
    start = run(f"{row.sign} {row.name}", tone, name + _GAP)
    left = columns - name - 2 * _GAP
    if columns < _WIDE:
        return start, run("", tone, _GAP), run(row.state, state, left)
    planned = left - _STATE - _GAP
    return (
        start,
        run("", tone, _GAP),
        run(row.planned, tone, planned),
        run("", tone, _GAP),
        run(row.state, state, _STATE),
    )
