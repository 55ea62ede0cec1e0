"""Bare Textual apps to hold the Floor against: screens and keys, and nothing else.

Run as a file, `python bare.py same|stock|still|eight`, so that no judgekit is imported.
`same` has the Floor's layout at 80 x 24 and changes as much text with a key and with a
second; `stock` is one Digits and a clock of tenths, `still` without the clock; `eight`
has eight lanes of Digits and a bar, and a key counts in the first.
"""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, ClassVar

from rich.segment import Segment
from textual.app import App, ComposeResult
from textual.containers import Horizontal, Vertical
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Digits, ProgressBar, Static

if TYPE_CHECKING:
    from textual.events import Key

TARGET = 9000
LANES = 8
_DIGITS = {
    "0": "### #.# #.# #.# ###",
    "1": ".#. ##. .#. .#. ###",
    "2": "### ..# ### #.. ###",
    "3": "### ..# .## ..# ###",
    "4": "#.# #.# ### ..# ..#",
    "5": "### #.. ### ..# ###",
    "6": "### #.. ### #.# ###",
    "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ###",
}
_CALLS = """\
d  DEPTH  crease of the hip
   below the top of the knee
s  STAND  hips and knees
   straight
e  ELBOWS  elbows ahead of the
   bar and clear of the legs
h  SHELF  the bar rests on the
   shoulders
a  LOAD  the bar carries the
   division's load, collars on

n  no rep, why next
0  STOP  unsafe"""


def _rows(text: str, beside: tuple[str, ...]) -> list[str]:
    """Block digits, two cells to a square, with small lines beside them."""
    rows = []
    for row in range(5):
        squares = (_DIGITS[digit].split()[row] for digit in text)
        cells = " ".join(
            "".join("██" if square == "#" else "  " for square in pattern)
            for pattern in squares
        )
        rows.append(f"{cells}  {beside[row]}")
    return rows


class Count(Widget):
    """Block digits that repaint the cells that changed."""

    def __init__(self) -> None:
        super().__init__(id="count")
        self._rows = _rows("0000", ("",) * 5)

    def show(self, number: int) -> None:
        before = self._rows
        beside = ("", f"of {TARGET}", "", "✓ good", "")
        self._rows = _rows(f"{number:04}", beside)
        pairs = list(zip(before, self._rows, strict=True))
        changed = [y for y, (old, new) in enumerate(pairs) if old != new]
        left = min(
            next(
                (x for x, (a, b) in enumerate(zip(*pairs[y], strict=False)) if a != b),
                0,
            )
            for y in changed
        )
        width = self.size.width - left
        self.refresh(Region(left, changed[0], width, changed[-1] - changed[0] + 1))

    def render_line(self, y: int) -> Strip:
        style = self.rich_style
        text = self._rows[y] if y < len(self._rows) else ""
        return Strip([Segment(text, style)]).adjust_cell_length(self.size.width, style)


class SameApp(App[None]):
    """The Floor's layout; a key and a second change as much text as they do there."""

    ENABLE_COMMAND_PALETTE = False
    CSS = """
    Screen { layout: vertical; padding: 0 1; overflow: hidden; background: #0A1018; }
    Horizontal { height: 1; }
    Static { height: 1; width: 1fr; color: #F4F7FB; }
    #cap, #place, #noreps { width: 30; }
    #clock { width: 10; text-align: right; text-style: bold; }
    #cap, #place { text-align: right; }
    #what { margin-top: 1; }
    #movement { text-style: bold; color: #6CC0F0; }
    #middle { height: 1fr; }
    #left { width: 1fr; height: 100%; padding-right: 1; }
    #count { height: 11; margin-top: 1; }
    #side { width: 30; height: 100%; margin-top: 1; }
    #saved { width: 24; text-align: right; }
    """

    def compose(self) -> ComposeResult:
        with Horizontal(id="top"):
            yield Static(" Quayside   heat 1  lane 1", id="title")
            yield Static("cap 59:00   58:00 left", id="cap")
            yield Static("1:00", id="clock")
        with Horizontal(id="who"):
            yield Static("27  Ines Varga   Women", id="athlete")
            yield Static("", id="place")
        with Horizontal(id="what"):
            yield Static("FRONT SQUAT  42.5 kg", id="movement")
            yield Static("no-reps 0", id="noreps")
        with Horizontal(id="middle"):
            with Vertical(id="left"):
                yield Count()
                yield Static("░" * 47, id="bar")
                yield Static("next  toes-to-bar", id="next")
            yield Static(_CALLS, id="side")
        yield Static("", id="banner")
        yield Static("", id="last")
        yield Static("", id="notice")
        with Horizontal(id="foot"):
            yield Static("space good rep   backspace take back   ? keys", id="hint")
            yield Static("saved", id="saved")

    def on_mount(self) -> None:
        self._done = 0
        self._began = time.monotonic()
        self._stamps: list[str] = []
        self._count = self.query_one(Count)
        self._last = self.query_one("#last", Static)
        self._clock = self.query_one("#clock", Static)
        self._cap = self.query_one("#cap", Static)
        self.set_interval(1.0, self._tick)

    def on_key(self, _: Key) -> None:
        self._done += 1
        heat = time.monotonic() - self._began
        stamp = f"{heat // 60:.0f}:{heat % 60:04.1f}  rep {self._done}"
        self._stamps = [stamp, *self._stamps[:2]]
        self._count.show(self._done)
        self._last.update("     ".join(self._stamps), layout=False)

    def _tick(self) -> None:
        heat = int(time.monotonic() - self._began)
        self._clock.update(f"{heat // 60}:{heat % 60:02}", layout=False)
        left = 3540 - heat
        self._cap.update(f"cap 59:00   {left // 60}:{left % 60:02} left", layout=False)


class StockApp(App[None]):
    """One Digits, and a clock of tenths as one would write it first."""

    CSS = "Digits { width: 40; } #clock { width: 40; margin-top: 2; }"
    clock: ClassVar[bool] = True

    def compose(self) -> ComposeResult:
        yield Digits("0000", id="count")
        yield Static("0.0", id="clock")

    def on_mount(self) -> None:
        self._done = 0
        self._began = time.monotonic()
        if self.clock:
            self.set_interval(0.1, self._tick)

    def on_key(self, _: Key) -> None:
        self._done += 1
        self.query_one("#count", Digits).update(f"{self._done:04}")

    def _tick(self) -> None:
        since = time.monotonic() - self._began
        self.query_one("#clock", Static).update(f"{since:.1f}")


class StillApp(StockApp):
    """The same without the clock."""

    clock = False


class EightApp(App[None]):
    """Eight lanes, each with Digits and a bar, and one clock of tenths."""

    CSS = """
    #lanes { height: 22; layout: grid; grid-size: 2 4; }
    #lanes Vertical { height: 5; }
    Digits { width: 20; }
    """

    def compose(self) -> ComposeResult:
        yield Static("0.0", id="clock")
        with Vertical(id="lanes"):
            for _ in range(LANES):
                with Vertical():
                    yield Digits("0000")
                    yield ProgressBar(total=100, show_eta=False)
        yield Static("space good rep", id="hint")

    def on_mount(self) -> None:
        self._done = 0
        self._began = time.monotonic()
        self.set_interval(0.1, self._tick)

    def on_key(self, _: Key) -> None:
        self._done += 1
        self.query(Digits).first().update(f"{self._done:04}")

    def _tick(self) -> None:
        since = time.monotonic() - self._began
        self.query_one("#clock", Static).update(f"{since:.1f}")


APPS: dict[str, type[App[None]]] = {
    "same": SameApp,
    "stock": StockApp,
    "still": StillApp,
    "eight": EightApp,
}

if __name__ == "__main__":
    APPS[sys.argv[1]]().run(mouse=False)
