"""The column beside the count: the calls, an open panel, or NO REP in large letters."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from judgekit.ui.glyphs import stacked
from judgekit.ui.panels import TYPED_MOST, Menu, Page, Panel, Typing, Writing
from judgekit.ui.text import cut, width_of, wrapped
from judgekit.ui.widgets.row import Row, Run, filled, fit

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.ui.views.floor import CallRow

KEY_COLUMNS = 3
# Rows of a word in block letters with the calls below it.
_WORD_ROWS = 5
_NO_REP = (("no rep, why next", ""), ("no rep", ""))
_STOP = (("STOP", "unsafe"), ("STOP", ""))
_FIXED = 2
_MORE = "… the rest needs a larger window"
_MANY = 99
_INDENT = 2


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
    elif len(words) == 1 and left > _FIXED:
        drawn += [[], *_call_lines(calls, columns, left)]
    return tuple(filled(runs, columns) for runs in drawn[:rows])


def panel_rows(
    panel: Panel, typed_for: str, count: str, columns: int, rows: int
) -> tuple[Row, ...]:
    """An open panel; one that covers the count shows it in its own first line.

    Where not all of it has room, its last row says so.
    """
    lines = list(_panel_lines(panel, typed_for, count, columns))
    if len(lines) > rows:
        lines[max(0, rows - 1) :] = [[(cut(_MORE, columns), "soft")]]
    return tuple(filled(runs, columns) for runs in lines[: max(0, rows)])


def _drawn(words: tuple[str, ...], columns: int, rows: int) -> list[list[Run]]:
    room = min(rows, _WORD_ROWS) if len(words) == 1 else rows
    return [[(fit(line, columns), "text")] for line in stacked(words, columns, room)]


def _call_lines(
    calls: Sequence[CallRow], columns: int, rows: int
) -> Iterator[list[Run]]:
    """Each call with what must be there, all in the same way: the first that fits.

    Where there is no room for it, the calls stand alone; STOP always stands.
    """
    room = columns - KEY_COLUMNS
    left = rows - _FIXED
    laid = [[_laid(row, room, way) for row in calls] for way in _WAYS]
    lines = next((way for way in laid if sum(map(len, way)) <= left), laid[-1])
    shown = [line for call in lines for line in call]
    if len(shown) < left:
        shown.append([])
    shown.append(_fixed("n", _NO_REP, room))
    yield from shown[: rows - 1]
    yield _fixed("0", _STOP, room)


_WAYS = ("spaced", "below", "beside", "alone")


def _laid(row: CallRow, room: int, way: str) -> list[list[Run]]:
    """One call: its text below it, beside it and on, or no text at all."""
    if way == "alone":
        return [_keyed(row.key, cut(row.call, room))]
    if way == "beside":
        first, *texts = wrapped(row.says, room, _MANY, width_of(row.call) + 2)
    else:
        first, texts = "", wrapped(row.says, room, _MANY)
    indent = " " * KEY_COLUMNS
    below: list[list[Run]] = [[(f"{indent}{text}", "soft")] for text in texts if text]
    apart: list[list[Run]] = [[]] if way == "spaced" else []
    return [_keyed(row.key, row.call, first), *below, *apart]


def _fixed(key: str, ways: Sequence[tuple[str, str]], room: int) -> list[Run]:
    """A key that every movement has, said as long as it fits."""
    fits = (way for way in ways if width_of("  ".join(filter(None, way))) <= room)
    return _keyed(key, *next(fits, ways[-1]))


def _keyed(key: str, words: str, more: str = "") -> list[Run]:
    runs: list[Run] = [(fit(key, KEY_COLUMNS), "key"), (words, "bold")]
    return [*runs, (f"  {more}", "soft")] if more else runs


def _panel_lines(
    panel: Panel, typed_for: str, count: str, columns: int
) -> Iterator[list[Run]]:
    room = columns - width_of(count)
    title, *more = _title_lines(panel.title, room - bool(count))
    yield [(fit(title, room), "head"), (count, "head")]
    for text in more:
        yield [(text, "head")]
    if isinstance(panel, Page):
        yield from _page_lines(panel, columns)
    elif isinstance(panel, Menu):
        yield from _menu_lines(panel, columns)
    elif isinstance(panel, Writing):
        yield from _writing_lines(panel, columns)
    else:
        yield from _typing_lines(panel, typed_for, columns)


def _title_lines(title: str, columns: int) -> list[str]:
    """The title as it is, or in lines where it does not fit."""
    fits = width_of(title) <= columns
    return [title] if fits else wrapped(title, columns, _MANY)


def _menu_lines(menu: Menu, columns: int) -> Iterator[list[Run]]:
    for digit, choice in enumerate(menu.choices, 1):
        says, *more = wrapped(choice.says, columns - KEY_COLUMNS, _MANY)
        yield _keyed(str(digit), says)
        for text in more:
            yield [(f"{' ' * KEY_COLUMNS}{text}", "bold")]
    if not menu.choices:
        yield [("nothing to do here", "soft")]


def _typing_lines(panel: Typing, typed_for: str, columns: int) -> Iterator[list[Run]]:
    yield []
    yield [(f"  {panel.typed:_<{TYPED_MOST}}", "bold")]
    yield [(cut(f"  {typed_for}", columns), "text")]
    ends = f"enter {panel.offered}" if _offers(panel) else "enter that is it"
    for words in (ends, "backspace one digit less"):
        yield [(words, "soft")]
    yield [("0 as first digit is STOP", "soft")]


def _writing_lines(panel: Writing, columns: int) -> Iterator[list[Run]]:
    """The name as far as it is typed: its end, where all of it has no room."""
    room = columns - _INDENT - 1
    typed = panel.typed
    while width_of(typed) > room:
        typed = typed[1:]
    yield []
    yield [(f"{' ' * _INDENT}{typed}_", "bold")]
    yield []
    for words in ("enter that is it", "0 is STOP"):
        yield [(words, "soft")]


def _offers(panel: Typing) -> bool:
    return bool(panel.offered) and not panel.typed


def _page_lines(page: Page, columns: int) -> Iterator[list[Run]]:
    wide = max((len(key) for key, _ in page.lines), default=0) + 1
    for key, says in page.lines:
        yield [(f"{key:<{wide}}", "key"), (cut(says, columns - wide), "text")]
