"""The column beside the count: the calls, an open panel, or NO REP in large letters."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widget import Widget

from judgekit.ui.glyphs import stacked
from judgekit.ui.panels import TYPED_MOST, Menu, Page, Panel, Typing
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
        else:
            lines = list(_call_lines(shown.calls, columns, rows))
        text = Content("\n").join(lines[:rows])
        return text if shown.coloured else Content(text.plain)


def _call_lines(calls: Sequence[CallRow], columns: int, rows: int) -> Iterator[Content]:
    """Each call, with what must be there below it where there is room for that."""
    room = columns - _KEY_WIDE
    spare = rows - len(_FIXED) - 2 * len(calls)
    for row in calls:
        if spare < 0:
            yield _keyed(row.key, _cut(f"{row.call}  {row.says}", room))
            continue
        wrapped = _wrapped(row.says, room, 2 if spare else 1)
        spare -= len(wrapped) - 1
        yield _keyed(row.key, row.call)
        for line in wrapped:
            yield styled(f"{' ' * _KEY_WIDE}{line}", "$soft")
    if spare > 0:
        yield Content("")
    for key, call, says in _FIXED:
        yield _keyed(key, call, says)


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
        yield styled("its key again closes", "$soft")
    elif isinstance(panel, Typing):
        yield Content("")
        yield styled(f"  {panel.typed:_<{TYPED_MOST}}", "bold")
        yield styled(_cut(f"  {typed_for}", columns), "")
        yield styled("enter    that is it", "$soft")
        yield styled("backspace  one digit less", "$soft")
        yield styled("0 as first digit is STOP", "$soft")
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


def _wrapped(text: str, columns: int, lines: int) -> list[str]:
    """At most so many lines, broken between words; the last one cut if need be."""
    words = text.split()
    out = [""]
    for number, word in enumerate(words):
        longer = f"{out[-1]} {word}".strip()
        if plain(longer).cell_length <= columns or not out[-1]:
            out[-1] = longer
        elif len(out) < lines:
            out.append(word)
        else:
            rest = " ".join(words[number:])
            out[-1] = _cut(f"{out[-1]} {rest}", columns)
            break
    return out
