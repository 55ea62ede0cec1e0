"""The emergency box at every size: whom to call before all else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.text import cut, joined, width_of, wrapped
from judgekit.ui.widgets import parts
from judgekit.ui.widgets.block import block_lines
from judgekit.ui.widgets.row import Row, filled, fit, run
from judgekit.ui.widgets.side import panel_rows

if TYPE_CHECKING:
    from judgekit.ui.views.box import Box
    from judgekit.ui.widgets.laying import Over
    from judgekit.ui.widgets.row import Tone

_ENDS = 2
_BIG = 5
# With fewer rows STOP is no block letters.
_ROOMY, _ROWS_FOR_GAPS = 18, 10
_MOST_LINES = 4
# What to do stands beside how from so many columns on.
_BESIDE_FROM = 36
_PANEL_FROM = 4


def box_rows(box: Box, over: Over, width: int, height: int) -> tuple[Row, ...]:
    """All rows of the screen, each exactly `width` cells."""
    columns = max(1, width - _ENDS)
    head = _head(box, columns, height)
    foot = _foot(box, over, columns)
    rows = height - len(head) - len(foot)
    calls = _calls(box, columns)
    if calls and height >= _ROWS_FOR_GAPS:
        calls = [parts.blank(columns), *calls]
    calls = calls[: max(0, rows)]
    body = [*calls, *_signs(box, over, columns, rows - len(calls))]
    lines = [*head, *parts.exactly(body, rows, columns), *foot][:height]
    end = [run("", "text", 1)] if width > _ENDS else []
    return tuple(filled([*end, *row], width) for row in lines)


def _head(box: Box, columns: int, height: int) -> list[Row]:
    lines: list[str] = []
    if height >= _ROOMY:
        lines = [*block_lines(("STOP",), (), columns // 2, _BIG)]
        clock = block_lines((box.clock,), (), columns // 2, _BIG)
        lines = [
            fit(left, columns // 2) + fit(right, columns - columns // 2, right=True)
            for left, right in zip(lines, (*clock, *[""] * _BIG), strict=False)
        ]
        lines.append("")
        first = box.who
    else:
        first = cut(f"STOP {box.clock}  {box.who}", columns)
    said = [first, *wrapped(box.frozen, columns, 2)]
    if height < _ROWS_FOR_GAPS:
        # Whom to call goes before what the count is.
        said = said[:1]
    named = parts.ends((said[0],), (box.now, ""), ("bold", "bold"), columns)
    return [
        *((run(line, "text", columns),) for line in lines),
        named,
        *((run(line, "bold", columns),) for line in said[1:]),
    ]


def _calls(box: Box, columns: int) -> list[Row]:
    """What to do and how, the words in lines where they do not fit."""
    if columns < _BESIDE_FROM:
        said = (f"{what} {how}" for what, how in box.calls)
        lines = [line for words in said for line in wrapped(words, columns, 2)]
        return [(run(line, "bold", columns),) for line in lines]
    wide = max((width_of(what) for what, _ in box.calls), default=0) + 2
    rows: list[Row] = []
    for what, how in box.calls:
        room = columns - wide
        for number, line in enumerate(wrapped(how, max(8, room), _MOST_LINES)):
            label = fit(what if number == 0 else "", wide)
            rows.append(filled([(label, "alarm"), (line, "bold")], columns))
    return rows


def _signs(box: Box, over: Over, columns: int, rows: int) -> list[Row]:
    """Which sign it was, as said or to be said; or another panel that is open."""
    said: list[Row] = [(run(f"Sign: {box.sign}", "bold", columns),)] if box.sign else []
    if over.panel is None or rows < _PANEL_FROM:
        return said
    room = rows - 1 - len(said)
    panel = panel_rows(over.panel, over.typed_for, "", columns, room)
    return [parts.blank(columns), *said, *panel]


def _foot(box: Box, over: Over, columns: int) -> list[Row]:
    notice: list[Row] = []
    if over.notice:
        notice = [(run(over.notice, "notice", columns),)]
    tone: Tone = "soft" if box.saved == "saved" else "waiting"
    room = columns - width_of(box.saved) - 1
    keys = joined(box.keys, room)
    ends = (keys, ""), (box.saved,)
    return [*notice, parts.ends(*ends, ("bold", tone), columns)]
