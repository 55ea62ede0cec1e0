"""The column beside the count: the calls, an open panel, or NO REP in large letters."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from textual.content import Content
from textual.widget import Widget

from judgekit.ui.glyphs import stacked
from judgekit.ui.panels import TYPED_MOST, Menu, Page, Panel, Typing, closes
from judgekit.ui.text import cut, plain, styled, wrapped
from judgekit.ui.views.floor import CallRow

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence


_KEY_WIDE = 3
# Rows of a word in block letters with the calls below it.
_WORD_ROWS = 5
_FIXED = (("n", "no rep, why next", ""), ("0", "STOP", "unsafe"))


@dataclass(frozen=True, slots=True)
class _Shown:
    calls: tuple[CallRow, ...] = ()
    panel: Panel | None = None
    typed_for: str = ""
    count: str = ""
    words: tuple[str, ...] = ()
    coloured: bool = True


class Side(Widget, can_focus=False):
    """Draws whatever it was given last, as its size allows."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self._shown = _Shown()

    def show(
        self,
        calls: tuple[CallRow, ...],
        *,
        panel: Panel | None,
        typed_for: str = "",
        count: str = "",
        words: tuple[str, ...] = (),
        coloured: bool = True,
    ) -> None:
        """Show `words` in block letters, else the panel, else the calls.

        A single word leaves the calls below it, where there is room.

        A panel that covers the count shows it in its own first line. On a ground
        that is not the usual one the text is not `coloured`.
        """
        given = _Shown(calls, panel, typed_for, count, words, coloured)
        if given != self._shown:
            self._shown = given
            self.refresh(layout=False)

    def render(self) -> Content:
        columns, rows = self.size
        shown = self._shown
        if shown.words:
            return _drawn(shown, columns, rows)
        if shown.panel is not None:
            covers = self.screen.has_class("-narrow")
            count = shown.count if covers else ""
            lines = list(_panel_lines(shown.panel, shown.typed_for, count, columns))
            if isinstance(shown.panel, Page) and len(lines) > rows:
                more = styled("… the rest needs a larger window", "$soft")
                lines[rows - 1 :] = [more]
        else:
            lines = list(_call_lines(shown.calls, columns, rows))
        text = Content("\n").join(lines[:rows])
        return text if shown.coloured else Content(text.plain)


def _drawn(shown: _Shown, columns: int, rows: int) -> Content:
    """The words in block letters; below a single one the calls, one line each."""
    both = len(shown.words) == 1
    room = min(rows, _WORD_ROWS) if both else rows
    lines = [plain(line) for line in stacked(shown.words, columns, room)[:rows]]
    left = rows - len(lines) - 1
    if both and left > len(_FIXED):
        lines += [Content(""), *_call_lines(shown.calls, columns, left)]
    return Content("\n").join(lines[:rows])


def _call_lines(calls: Sequence[CallRow], columns: int, rows: int) -> Iterator[Content]:
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
        yield Content("")
    for key, call, says in _FIXED:
        yield _keyed(key, call, says)


def _laid(
    row: CallRow, room: int, way: Literal["below", "beside", "cut"]
) -> list[Content]:
    """One call: its text below it, beside it and on, or cut to one line in all."""
    if way == "cut":
        return [_keyed(row.key, cut(f"{row.call}  {row.says}", room))]
    if way == "below":
        first, texts = "", wrapped(row.says, room, 2)
    else:
        start = plain(row.call).cell_length + 2
        first, *texts = wrapped(row.says, room, 2, start)
    indent = " " * _KEY_WIDE
    return [
        _keyed(row.key, row.call, first),
        *(styled(f"{indent}{text}", "$soft") for text in texts if text),
    ]


def _keyed(key: str, words: str, more: str = "") -> Content:
    return Content.assemble(
        styled(f"{key:<{_KEY_WIDE}}", "bold $blue"),
        styled(words, "bold"),
        styled(f"  {more}" if more else "", "$soft"),
    )


def _panel_lines(
    panel: Panel, typed_for: str, count: str, columns: int
) -> Iterator[Content]:
    title = cut(panel.title, columns - len(count) - 1)
    yield styled(f"{title:<{columns - len(count)}}{count}", "bold $orange")
    if isinstance(panel, Menu):
        for digit, choice in enumerate(panel.choices, 1):
            yield _keyed(str(digit), cut(choice.says, columns - _KEY_WIDE))
        if not panel.choices:
            yield styled("nothing to do here", "$soft")
        yield styled(f"{closes(panel)} closes", "$soft")
    elif isinstance(panel, Typing):
        yield Content("")
        yield styled(f"  {panel.typed:_<{TYPED_MOST}}", "bold")
        yield styled(cut(f"  {typed_for}", columns), "")
        yield styled("enter    that is it", "$soft")
        yield styled("backspace  one digit less", "$soft")
        yield styled("0 as first digit is STOP", "$soft")
        yield styled(f"{closes(panel)} closes", "$soft")
    else:
        yield from _page_lines(panel, columns)


def _page_lines(page: Page, columns: int) -> Iterator[Content]:
    wide = max(len(key) for key, _ in page.lines) + 1
    for key, says in page.lines:
        yield Content.assemble(
            styled(f"{key:<{wide}}", "bold $blue"), plain(cut(says, columns - wide))
        )
