"""The scorecard's picture: the sheet, and the lines below it, whatever goes wrong."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from time import monotonic
from typing import TYPE_CHECKING

from textual.screen import Screen

from judgekit.core.lane import own_ms
from judgekit.core.score import score
from judgekit.reports.scorecard import scorecard
from judgekit.ui.athletecodes import CodeKeys, codes_of
from judgekit.ui.compat import SureTimers
from judgekit.ui.disputekeys import DisputeKeys
from judgekit.ui.screens.heard import Standing
from judgekit.ui.text import packed
from judgekit.ui.views.disputing import dispute_footer
from judgekit.ui.views.phase import is_working
from judgekit.ui.views.sheet import MOST_WORDS, footer, sheet
from judgekit.ui.views.sheetcode import code_footer, code_lines, opening
from judgekit.ui.widgets.line import Line
from judgekit.ui.widgets.sheetpane import SheetPane

if TYPE_CHECKING:
    from collections.abc import Mapping

    from textual.app import ComposeResult

    from judgekit.core.score import Score
    from judgekit.core.state import Lane
    from judgekit.desk import Desk
    from judgekit.ui.athletecodes import AthleteCode
    from judgekit.ui.screens.beside import Beside

_NARROWEST = 36
# So long after the time for questions it is surely over.
_PAST_S = 0.1


class CardPicture(SureTimers, Screen[None], inherit_bindings=False):
    """Draws one lane's scorecard; what its keys do is the screen's own."""

    AUTO_FOCUS = None

    def __init__(
        self,
        desk: Desk,
        number: int,
        *,
        judges: Mapping[str, str],
        standing: Standing | None,
    ) -> None:
        super().__init__()
        self._desk = desk
        self._number = number
        self._judges = judges
        self._standing = standing or Standing()
        self._times_words = ""
        # When it was first drawn since it was asked for.
        self._ready = inf
        self._dispute = DisputeKeys()
        self._codes = CodeKeys()
        self._pane = SheetPane(id="sheet")
        self._beside: Beside | None = None
        self._final_at = 0
        self._drawn_wide = 0
        self._notice = ""

    def compose(self) -> ComposeResult:
        yield self._pane
        yield Line(id="cardalarm")
        yield Line(id="cardnotice")
        yield Line(id="sign")
        yield Line(id="cardkeys")

    def _failed(self, error: Exception) -> None:
        kind = type(error).__name__
        self._notice = f"Something failed here ({kind}). The log is safe; go on."

    def show_soon(self) -> None:
        """Draw anew; what cannot be drawn is said and ends nothing."""
        if self._ready == inf:
            self._ready = monotonic()
        self._draw()

    def _draw(self) -> None:
        try:
            self._draw_lines()
            self._draw_card()
        except Exception as error:  # noqa: BLE001 - the desk stays open whatever fails
            kind = type(error).__name__
            self._alarm(f"Drawing failed ({kind}). The log is safe; keys still work.")

    @property
    def _columns(self) -> int:
        """How wide the card is; pads may lie beside it."""
        return self._pane.size.width or self.size.width

    def _alarm(self, text: str) -> None:
        _put(self.query_one("#cardalarm", Line), text)

    def _draw_lines(self) -> None:
        """What can be answered, and what must be known: whatever the card says."""
        _put(self.query_one("#cardnotice", Line), self._notice)
        answers = packed(self._keys()[0], self._columns)
        self.query_one("#sign", Line).show(*answers, layout=True)
        self._draw_keys()
        self._alarm(self._standing.over_all(self._number) or self._unsaved())

    def _draw_keys(self) -> None:
        """The other keys, with what of the card is not on the screen."""
        _, rest = self._keys()
        # The place is kept free: other words must not change the layout.
        free = () if self._dispute.step or self._code() else (MOST_WORDS,)
        lines = packed((*rest, *free), self._columns)
        lines[-1] = lines[-1].replace(MOST_WORDS, self._pane.more)
        self.query_one("#cardkeys", Line).show(*lines, layout=True)

    def _keys(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        lane = self._desk.lane(self._number)
        if self._dispute.step:
            return dispute_footer(self._dispute, lane)
        if (shown := self._code()) is not None:
            return code_footer(shown, last=self._codes.is_last(lane.plan))
        answers, rest = footer(lane, others_work=self._others_work())
        return answers, (*opening(len(codes_of(lane.plan))), *rest)

    def _code(self) -> AthleteCode | None:
        """The code of a sheet that is shown instead of the scorecard."""
        return self._codes.shown(self._desk.lane(self._number).plan)

    def _others_work(self) -> bool:
        """Whether any lane of the desk is at work, so that the Floor may be needed."""
        lanes = [self._desk.lane(number) for number in self._desk.lanes]
        heat_ms = self._desk.heat_ms()
        return any(
            is_working(lane, None if heat_ms is None else own_ms(lane, heat_ms))
            for lane in lanes
        )

    def _unsaved(self) -> str:
        waiting = self._standing.waiting
        return f"NOT SAVED: {waiting} waiting. {self._standing.why}" if waiting else ""

    def _draw_when_final(self, until: int | None) -> None:
        """The card once more when the time for questions is over."""
        if until is None or until == self._final_at:
            return
        self._final_at = until
        left = until - self._desk.clock.wall_ms()
        self.set_timer(max(0, left) / 1000 + _PAST_S, self.show_soon)

    def _result(self, lane: Lane) -> tuple[Score, str]:
        """The score, and what two judges counted where it takes two."""
        wall = self._desk.clock.wall_ms()
        if self._beside is None:
            return score(lane, wall), ""
        return self._beside.score(lane, wall)

    def _draw_card(self) -> None:
        shown = self._code()
        self.set_class(shown is not None, "-code")
        if shown is not None:
            self._pane.put(code_lines(shown.code, *self._pane.size))
            return
        lane = self._desk.lane(self._number)
        code = self._desk.logging_code(self._number)
        if self._beside is not None:
            code = self._beside.code(code)
        result, judges = self._result(lane)
        self._draw_when_final(result.until)
        card = scorecard(
            lane,
            result,
            log_code=code,
            runs=self._times_words,
            judge=self._judges.get(lane.judge, ""),
        )
        self._drawn_wide = self._columns
        width = max(_NARROWEST, self._drawn_wide)
        self._pane.put(sheet(replace(card, judges=judges), width))
        # How far the card reaches is known once it is laid out.
        self.call_after_refresh(self._draw_keys)

    def on_sheet_pane_laid(self) -> None:
        """How wide the card is, and how much room a code has, is known only now."""
        if self._code() is not None or self._drawn_wide != self._columns:
            self._draw()


def _put(line: Line, text: str) -> None:
    """A line that takes no room while it says nothing."""
    line.show(text, layout=True)
    line.set_class(bool(text), "-on")
