"""The column beside the count: the calls, an open panel, or NO REP in large letters."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from judgekit.ui.glyphs import stacked
from judgekit.ui.panels import TYPED_MOST, Menu, Page, Panel, Typing, closes
from judgekit.ui.text import cut, width_of, wrapped
from judgekit.ui.widgets.row import Row, Run, filled, fit

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.ui.views.floor import CallRow

_KEY_WIDE = 3
# Rows of a word in block letters with the calls below it.
_WORD_ROWS = 5
_FIXED = (("n", "no rep, why next", ""), ("0", "STOP", "unsafe"))
_MORE = "… the rest needs a larger window"


@lru_cache(maxsize=16)
def side_rows(
    calls: tuple[CallRow, ...], words: tuple[str, ...], columns: int, rows: int
) -> tuple[Row, ...]:
    """The words in block letters, else the calls; at most so many rows.

    A single word leaves the calls below it, where there is room.
    """
    drawn = _drawn(words, columns, rows) if words else []
    left = rows - len(drawn) - 1 if drawn else rows
    if not words:
        drawn = list(_call_lines(calls, columns, rows))
    elif len(words) == 1 and left > len(_FIXED):
        drawn += [[], *_call_lines(calls, columns, left)]
    return tuple(filled(runs, columns) for runs in drawn[:rows])


def panel_rows(
    panel: Panel, typed_for: str, count: str, columns: int, rows: int
) -> tuple[Row, ...]:
    """An open panel; one that covers the count shows it in its own first line."""
    lines = list(_panel_lines(panel, typed_for, count, columns))
    if isinstance(panel, Page) and len(lines) > rows:
        lines[rows - 1 :] = [[(cut(_MORE, columns), "soft")]]
    return tuple(filled(runs, columns) for runs in lines[:rows])


def _drawn(words: tuple[str, ...], columns: int, rows: int) -> list[list[Run]]:
    room = min(rows, _WORD_ROWS) if len(words) == 1 else rows
    return [[(fit(line, columns), "text")] for line in stacked(words, columns, room)]


def _call_lines(
    calls: Sequence[CallRow], columns: int, rows: int
) -> Iterator[list[Run]]:
    """Each call with what must be there, all in the same way: as much as fits."""
    room = columns - _KEY_WIDE
    left = rows - len(_FIXED)
    ways = [[_laid(row, room, way) for row in calls] for way in ("below", "beside")]
    lines = next((way for way in ways if sum(map(len, way)) <= left), None)
    if lines is None:
        lines = [_laid(row, room, "cut") for row in calls]
    for laid in lines:
        yield from laid
    if sum(map(len, lines)) < left:
        yield []
    for key, call, says in _FIXED:
        yield _keyed(key, call, says)


def _laid(
    row: CallRow, room: int, way: Literal["below", "beside", "cut"]
) -> list[list[Run]]:
    """One call: its text below it, beside it and on, or cut to one line in all."""
    if way == "cut":
        return [_keyed(row.key, cut(f"{row.call}  {row.says}", room))]
    if way == "below":
        first, texts = "", wrapped(row.says, room, 2)
    else:
        start = width_of(row.call) + 2
        first, *texts = wrapped(row.says, room, 2, start)
    indent = " " * _KEY_WIDE
    below: list[list[Run]] = [[(f"{indent}{text}", "soft")] for text in texts if text]
    return [_keyed(row.key, row.call, first), *below]


def _keyed(key: str, words: str, more: str = "") -> list[Run]:
    runs: list[Run] = [(fit(key, _KEY_WIDE), "key"), (words, "bold")]
    return [*runs, (f"  {more}", "soft")] if more else runs


def _panel_lines(
    panel: Panel, typed_for: str, count: str, columns: int
) -> Iterator[list[Run]]:
    room = columns - width_of(count)
    yield [(fit(cut(panel.title, room - 1), room), "head"), (count, "head")]
    if isinstance(panel, Menu):
        for digit, choice in enumerate(panel.choices, 1):
            yield _keyed(str(digit), cut(choice.says, columns - _KEY_WIDE))
        if not panel.choices:
            yield [("nothing to do here", "soft")]
        yield [(f"{closes(panel)} closes", "soft")]
    elif isinstance(panel, Typing):
        yield []
        yield [(f"  {panel.typed:_<{TYPED_MOST}}", "bold")]
        yield [(cut(f"  {typed_for}", columns), "text")]
        for words in (
            "enter    that is it",
            "backspace  one digit less",
            "0 as first digit is STOP",
            f"{closes(panel)} closes",
        ):
            yield [(words, "soft")]
    else:
        yield from _page_lines(panel, columns)


def _page_lines(page: Page, columns: int) -> Iterator[list[Run]]:
    wide = max(len(key) for key, _ in page.lines) + 1
    for key, says in page.lines:
        yield [(f"{key:<{wide}}", "key"), (cut(says, columns - wide), "text")]
