"""The column beside the count: the calls, an open panel, or NO REP in large letters."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from textual.content import Content
from textual.widget import Widget

from judgekit.ui.glyphs import stacked
from judgekit.ui.panels import TYPED_MOST, Menu, Page, Panel, Typing, closes
from judgekit.ui.text import plain, styled
from judgekit.ui.views.floor import CallRow

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence


_KEY_WIDE = 3
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
            drawn = stacked(shown.words, columns, rows)
            return Content("\n").join(plain(line) for line in drawn[:rows])
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
        return [_keyed(row.key, _cut(f"{row.call}  {row.says}", room))]
    if way == "below":
        first, texts = "", _wrapped(row.says, room, 2)
    else:
        start = plain(row.call).cell_length + 2
        first, *texts = _wrapped(row.says, room, 2, start)
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
    title = _cut(panel.title, columns - len(count) - 1)
    yield styled(f"{title:<{columns - len(count)}}{count}", "bold $orange")
    if isinstance(panel, Menu):
        for digit, choice in enumerate(panel.choices, 1):
            yield _keyed(str(digit), _cut(choice.says, columns - _KEY_WIDE))
        if not panel.choices:
            yield styled("nothing to do here", "$soft")
        yield styled(f"{closes(panel)} closes", "$soft")
    elif isinstance(panel, Typing):
        yield Content("")
        yield styled(f"  {panel.typed:_<{TYPED_MOST}}", "bold")
        yield styled(_cut(f"  {typed_for}", columns), "")
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
            styled(f"{key:<{wide}}", "bold $blue"), plain(_cut(says, columns - wide))
        )


def _cut(text: str, columns: int) -> str:
    """The text, or as much as fits with a sign that there is more."""
    content = plain(text)
    if content.cell_length <= columns:
        return text
    return f"{content.truncate(max(1, columns - 1)).plain.rstrip()}…"


def _wrapped(text: str, columns: int, lines: int, taken: int = 0) -> list[str]:
    """At most so many lines, broken between words; the last one cut if need be.

    The first `taken` columns of the first line are something else's.
    """
    words = text.split()
    out = [""]
    for number, word in enumerate(words):
        room = columns - (taken if len(out) == 1 else 0)
        longer = f"{out[-1]} {word}".strip()
        if plain(longer).cell_length <= room:
            out[-1] = longer
        elif len(out) < lines and (out[-1] or taken):
            out.append(word)
        else:
            rest = " ".join(words[number:])
            out[-1] = _cut(f"{out[-1]} {rest}".strip(), room)
            break
    return out
