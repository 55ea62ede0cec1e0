"""What stands on a wall: one page at a time, large, turned with one key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from judgekit.ui.compat import SureTimers
from judgekit.ui.keys import dead_key, latin_of, name_of
from judgekit.ui.text import fitting, packed, plain, styled
from judgekit.ui.views.wallpages import pages
from judgekit.ui.widgets.line import Line

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult

    from judgekit.ui.views.wall import Again, Sheet
    from judgekit.ui.views.wallpages import Page

# What turns pages, remote clickers and number pads too.
_ON = frozenset({"space", "enter", "right", "down", "pagedown", "n"})
_BACK = frozenset({"backspace", "left", "up", "pageup", "b"})
_LEAVE = frozenset({"q", "escape"})
_KEYS = ("space on", "b back", "q leaves")
_EDGES = 2
_BETWEEN = 3
# Which page it is, at its longest.
_LONGEST = "page 99 of 99"
# How long what is shown may be old.
AGAIN_SECONDS = 3.0


class WallScreen(SureTimers, Screen[None], inherit_bindings=False):
    """Pages of sheets; a larger or smaller window only parts them anew.

    What `again` gives every few seconds takes the place of the sheets, on the page
    that is shown.
    """

    class Left(Message):
        """Whoever turns the pages has read enough."""

    def __init__(self, sheets: tuple[Sheet, ...], again: Again | None = None) -> None:
        super().__init__()
        self._sheets = sheets
        self._again = again
        self._looking = False
        self._pages: tuple[Page, ...] = ()
        self._at = 0

    def compose(self) -> ComposeResult:
        yield Line(id="wallhead")
        yield Static("", id="wallbody", markup=False)
        yield Line(id="wallkeys")

    def on_mount(self) -> None:
        if self._again is not None:
            self.set_interval(AGAIN_SECONDS, self._look_again)

    def on_resize(self, event: events.Resize) -> None:
        """The same sheet from its beginning, unless its pages stay as they were."""
        laid = self._laid(event.size.width, event.size.height)
        sheet = self._pages[self._at].sheet if self._pages else 0
        if laid != self._pages:
            self._pages = laid
            self._at = next(at for at, page in enumerate(laid) if page.sheet == sheet)
        self._show()

    def _laid(self, columns: int, rows: int) -> tuple[Page, ...]:
        room = columns - _EDGES
        keys = len(packed((_LONGEST, *_KEYS), room, _BETWEEN))
        return pages(self._sheets, room, rows - keys)

    def _look_again(self) -> None:
        """Read in a thread; one look at a time, as a log may take longer than that."""
        if self._again is not None and not self._looking:
            self._looking = True
            self.run_worker(self._read, thread=True, exit_on_error=False)

    def _read(self) -> None:
        try:
            found = self._again() if self._again is not None else None
        finally:
            self._looking = False
        if found is not None and found != self._sheets:
            self.app.call_from_thread(self._take, found)

    def _take(self, sheets: tuple[Sheet, ...]) -> None:
        self._sheets = sheets
        self._pages = self._laid(self.size.width, self.size.height)
        self._at = min(self._at, len(self._pages) - 1)
        self._show()

    def on_key(self, event: events.Key) -> None:
        event.stop()
        key = name_of(event.key, event.character)
        if key is None:
            return
        known = latin_of(key) or key
        if known in _LEAVE:
            self.post_message(self.Left())
        elif known in _ON:
            self.turned(1)
        elif known in _BACK:
            self.turned(-1)
        elif known in ("home", "end"):
            self._at = 0 if known == "home" else len(self._pages) - 1
            self._show()
        else:
            self._show(dead_key(key, "here"))

    def turned(self, by: int) -> None:
        """A page on, or back."""
        if 0 <= self._at + by < len(self._pages):
            self._at += by
            self._show()
        else:
            self._show(f"This is the {'last' if by > 0 else 'first'} page.")

    def _where(self) -> str:
        return f"page {self._at + 1} of {max(1, len(self._pages))}"

    def _show(self, says: str = "") -> None:
        """The page, and below it which one it is, or what a key has just not done."""
        page = self._pages[self._at]
        self.query_one("#wallhead", Line).show(*page.head, layout=True)
        body = Content("\n").join(
            Content.assemble(styled(line.label, "bold $blue"), plain(line.text))
            for line in page.body
        )
        self.query_one("#wallbody", Static).update(body)
        columns = self.size.width - _EDGES
        where = fitting((f"{self._where()}  {page.of}", self._where()), columns // 2)
        lines = packed((says or where, *_KEYS), columns, _BETWEEN)
        # Whose page it is may stand behind the keys where it has no room before them.
        named = packed((says or where, *_KEYS, page.of), columns, _BETWEEN)
        if page.of not in where and len(named) == len(lines):
            lines = named
        self.query_one("#wallkeys", Line).show(*lines, layout=True)
