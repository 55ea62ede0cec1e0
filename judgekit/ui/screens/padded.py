"""Screens with pads for a finger, for browsers and touch screens.

A tap is a key with the time at which the finger came down. It comes in at the door that
keys come in at; only the guard against held keys lets it pass, as no finger repeats.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol, TypeVar, cast

from textual.screen import Screen

from judgekit.ui.compat import Tap
from judgekit.ui.panels import Menu, Page
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.lanecheck import LaneCheckScreen
from judgekit.ui.screens.scorecard import ScorecardScreen
from judgekit.ui.text import width_of
from judgekit.ui.views import pads
from judgekit.ui.views.floor import all_calls
from judgekit.ui.widgets.laying import WHOLE_COLUMNS
from judgekit.ui.widgets.pads import Pads

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.events import Key
    from textual.geometry import Size

    from judgekit.core.lanecheck import LaneCheck
    from judgekit.core.state import Lane
    from judgekit.ui.views.check import CheckView
    from judgekit.ui.views.floor import FloorView
    from judgekit.ui.views.pads import Board
    from judgekit.ui.widgets.laying import Over

S = TypeVar("S", bound=Screen[None])
# Lower screens have low pads; on others so much of a choice can be read.
_HIGH, _ON_A_PAD = 30, 40
# What ends the typing of a number.
_ENDS = ("enter", "escape", pads.LESS)


class _Keyed(Protocol):
    """A screen that takes keys."""

    def on_key(self, event: Key) -> None: ...


class Padded(Screen[None], inherit_bindings=False):
    """What screens do with pads alike: one `on_key` takes a tap as it takes a key."""

    # On a low screen the count needs the rows more than fingers do; on a wide one pads
    # lie beside it.
    VERTICAL_BREAKPOINTS = [(0, "-low"), (_HIGH, "-high")]  # noqa: RUF012 - as Textual has it
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (96, "-wide")]  # noqa: RUF012 - likewise

    def compose(self) -> ComposeResult:
        self._turned = ""
        self._board = Pads(id="pads")
        yield from super().compose()
        yield self._board

    def on_pads_touched(self, message: Pads.Touched) -> None:
        message.stop()
        key = message.pad.key
        if key in (pads.MORE, pads.DIGITS):
            self._turned = key
        else:
            self._turned = self._turned_after(key)
            if key != pads.LESS:
                self._tap(Tap(key, _sign(key), at=message.at))
        self.show_board()

    def _tap(self, tap: Tap) -> None:
        cast("_Keyed", self).on_key(tap)

    def _turned_after(self, key: str) -> str:
        """Which pads stay after a key: a number is typed to its end."""
        typing = self._turned == pads.DIGITS and key not in _ENDS
        return pads.DIGITS if typing else ""

    def tapped(self, x: int, y: int, at: float) -> None:
        """A finger came down on a cell of the screen."""
        if not self.region.contains(x, y):
            return
        widget, region = self.get_widget_at(x, y)
        if isinstance(widget, Pads):
            widget.touch(x - region.x, y - region.y, at)

    def board(self) -> Board:
        """The pads of the moment."""
        raise NotImplementedError

    def show_board(self) -> None:
        """Draw the pads anew."""
        self._board.show(self.board())


class PadFloor(Padded, FloorScreen, inherit_bindings=False):
    """The Floor above its pads, and STOP above the Floor."""

    _seen: FloorView

    def compose(self) -> ComposeResult:
        yield Pads(id="stoppad", board=pads.STOP_BOARD)
        yield from super().compose()

    def board(self) -> Board:
        lane = self._shown.lane(self._number)
        now = self._clock.boot_ms()
        asks = self._controls.asks(now) or asks_yes(self._seen, lane)
        calls = all_calls(lane, self._shown.heat_ms())
        return pads.floor_board(
            self._seen, calls, super()._over(), self._turned, asks=asks
        )

    def _draw(self) -> None:
        super()._draw()
        self.show_board()

    def _view(self) -> FloorView:
        # The pads say what keys do, in the same words; a phone's count needs the room.
        self._seen = super()._view()
        calls = self._seen.calls if self.size.width >= WHOLE_COLUMNS else ()
        return replace(self._seen, hint=(), calls=calls)

    def _over(self) -> Over:
        return for_fingers(super()._over(), self.size.height)


class PadCheck(Padded, LaneCheckScreen, inherit_bindings=False):
    """The lane check above its pads."""

    def board(self) -> Board:
        check = self._check()
        return pads.check_board(
            self._keys.mode,
            self._turned,
            self._keys.people,
            measures=check is not None and self._keys.item(check).takes is not None,
        )

    @property
    def _room(self) -> Size:
        """What the pads leave of the screen, once that is laid out."""
        return self._paper.size

    def on_resize(self) -> None:
        self.call_after_refresh(self.show_soon)

    def _view(self, check: LaneCheck) -> CheckView:
        # The pads say what keys do; the unit, and that all is answered, they do not.
        view = super()._view(check)
        told = (
            words for words in view.keys if words.startswith(("in ", "all answered"))
        )
        return replace(view, keys=tuple(said.partition(":")[0] for said in told))

    def _draw(self) -> None:
        super()._draw()
        self.show_board()


class PadCard(Padded, ScorecardScreen, inherit_bindings=False):
    """The scorecard above its pads."""

    def board(self) -> Board:
        step = self._dispute.step
        if step:
            return pads.dispute_board(step)
        answers, rest = self._keys()
        if self._code() is not None:
            return pads.code_board(rest)
        return pads.card_board(answers, rest)

    def _draw_lines(self) -> None:
        super()._draw_lines()
        self.show_board()


def for_fingers(over: Over, height: int) -> Over:
    """Pads stand for keys, and for a list's choices where they can be read on them.

    What the list asks is still said, and that a panel is about to close.
    """
    closing = tuple(words for words in over.panel_keys if "closes in" in words)
    panel, box = over.panel, over.box
    if isinstance(panel, Menu) and height >= _HIGH and _are_short(panel):
        panel = Page(opener=panel.opener, title=panel.title, lines=())
    if box is not None:
        box = replace(box, keys=())
    return replace(over, panel_keys=closing, panel=panel, box=box)


def _are_short(menu: Menu) -> bool:
    return all(width_of(choice.says) <= _ON_A_PAD for choice in menu.choices)


def asks_yes(view: FloorView, lane: Lane) -> bool:
    """Whether the banner asks what YES answers, and not for a reason or for g."""
    return view.banner_kind == "quiet" or (
        view.banner_kind == "ask" and bool(lane.horn_asks)
    )


def _sign(key: str) -> str | None:
    """What the key would write."""
    sign = " " if key == "space" else key
    return sign if len(sign) == 1 else None


_PADDED: tuple[type[Padded], ...] = (PadFloor, PadCheck, PadCard)


def padded(plain: type[S]) -> type[S]:
    """The same screen with pads."""
    return cast("type[S]", next(one for one in _PADDED if issubclass(one, plain)))
