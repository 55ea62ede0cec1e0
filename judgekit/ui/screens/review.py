"""After the heat: tables with bars, no-reps along the work and on a time line."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen

from judgekit.ui.compat import SureTimers, came_after_escape
from judgekit.ui.keys import dead_key, latin_of, name_of
from judgekit.ui.text import packed, wrapped
from judgekit.ui.views.review import review_lines, title
from judgekit.ui.views.reviewed import Asked
from judgekit.ui.widgets.line import Line
from judgekit.ui.widgets.sheetpane import SheetPane

if TYPE_CHECKING:
    from collections.abc import Mapping

    from textual import events
    from textual.app import ComposeResult

    from judgekit.ui.views.reviewed import Look, Reviewed

_NEXT = "tab next view"
_TURNS: Mapping[Look, str] = {
    "faults": "left, right: grouped otherwise",
    "when": "left, right: by rep, round or minute",
}
_KEYS = ("m: one movement", "bib and enter: one athlete", "q leaves")
_TYPING = ("enter takes it", "escape drops it")
_EDGES = 2
_LONGEST = 12
_MANY = 9


class ReviewScreen(SureTimers, Screen[None], inherit_bindings=False):
    """What was judged, looked at in several ways; nothing is written."""

    AUTO_FOCUS = None

    class Left(Message):
        """Whoever looks has seen enough."""

    def __init__(self, of: Reviewed) -> None:
        super().__init__()
        self._of = of
        self._asked = Asked()
        self._typed = ""
        self._says = ""
        self._rows = 0
        self._pane = SheetPane(id="review")

    def compose(self) -> ComposeResult:
        yield Line(id="reviewhead")
        yield self._pane
        yield Line(id="reviewkeys")

    def on_mount(self) -> None:
        self.watch(self._pane, "scroll_y", self._show_keys, init=False)

    def on_resize(self) -> None:
        self._show()

    def on_sheet_pane_laid(self) -> None:
        self._show_keys()

    def on_key(self, event: events.Key) -> None:
        event.stop()
        key = name_of(event.key, event.character)
        if key is None:
            return
        # Nothing here is held with Alt, and an Escape must not be lost in haste.
        if came_after_escape(event):
            self._pressed("escape")
        self._pressed(key)

    def _pressed(self, key: str) -> None:
        self._says = ""
        known = latin_of(key) or key
        if self._types(known) or self._turns(known) or self._pane.moves(known):
            return
        if known == "q":
            self.post_message(self.Left())
        else:
            self._says = dead_key(key, "here")
            self._show_keys()

    def _turns(self, key: str) -> bool:
        """Whether a key asks for something else to be shown."""
        match key:
            case "tab":
                self._ask(self._asked.next_look())
            case "left" | "right" if self._asked.look in _TURNS:
                self._ask(self._asked.turned(1 if key == "right" else -1))
            case "m":
                self._ask(self._of.next_movement(self._asked))
            case "escape" if self._asked.bib or self._asked.card:
                self._ask(replace(self._asked, bib="", card=""))
            case "escape":
                self.post_message(self.Left())
            case _:
                return False
        return True

    def _types(self, key: str) -> bool:
        """Whether a key belongs to a bib that is typed: one begins with a digit."""
        if not self._typed and not key.isdecimal():
            return False
        if key == "enter":
            self._pick(self._typed)
        elif key == "escape":
            self._typed = ""
            self._show_keys()
        elif key == "backspace":
            self._typed = self._typed[:-1]
            self._show_keys()
        elif len(key) == 1 and len(self._typed) < _LONGEST:
            self._typed += key
            self._show_keys()
        else:
            return False
        return True

    def _pick(self, typed: str) -> None:
        """One athlete by bib; leading noughts need not be typed."""
        self._typed = ""
        people = self._of.people
        bare = typed.lstrip("0")
        near = [bib for bib in people if bib.casefold().lstrip("0") == bare]
        if typed in people or len(near) == 1:
            self._ask(replace(self._asked, bib=typed if typed in people else near[0]))
        else:
            there = ", ".join(sorted(people)) or "nobody"
            self._says = f"Nobody with bib {typed} was judged; {there}."
            self._show_keys()

    def _ask(self, asked: Asked) -> None:
        self._asked = asked
        self._pane.moves("home")
        self._show()

    def _show(self) -> None:
        columns = self.size.width - _EDGES
        self.query_one("#reviewhead", Line).show(title(self._of, self._asked))
        shown = review_lines(self._of, self._asked, columns)
        self._rows = len(shown)
        self._pane.put(shown)
        self._show_keys()

    def _show_keys(self) -> None:
        """What keys do here, what one has just not done, and whether there is more."""
        typed = (f"bib {self._typed}", *_TYPING) if self._typed else ()
        columns = self.size.width - _EDGES
        says = wrapped(self._says, columns, _MANY) if self._says else []
        some = self._asked.bib or self._asked.card
        back = ("escape: everybody, every movement",) if some else ()
        more = tuple(filter(None, [self._pane.more_of(self._rows)]))
        turns = _TURNS.get(self._asked.look)
        here = (_NEXT, turns) if turns else (_NEXT,)
        words = typed or (*says, *more, *back, *here, *_KEYS)
        lines = packed(words, columns, 3)
        self.query_one("#reviewkeys", Line).show(*lines, layout=True)
