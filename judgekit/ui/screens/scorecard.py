"""The scorecard after the work: read it, sign it, dispute it."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from time import monotonic
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen

from judgekit.core.entry import Accept, Ignored
from judgekit.core.press import Act, AnswerHorn
from judgekit.core.score import score
from judgekit.desk import Judged, Refused, Told
from judgekit.reports.scorecard import scorecard
from judgekit.ui.asking import Asking
from judgekit.ui.compat import SureTimers
from judgekit.ui.disputekeys import OPENS, Asks, DisputeKeys
from judgekit.ui.effects import Say
from judgekit.ui.keys import dead_key, latin_of, name_of
from judgekit.ui.screens.beside import AGAIN_S, Beside
from judgekit.ui.screens.hand import Hand
from judgekit.ui.screens.heard import DeskNews, Standing, pressed_ms
from judgekit.ui.text import packed
from judgekit.ui.views.disputing import dispute_footer
from judgekit.ui.views.sheet import (
    MOST_WORDS,
    SIGNINGS,
    footer,
    sheet,
)
from judgekit.ui.views.telling import telling
from judgekit.ui.widgets.line import Line
from judgekit.ui.widgets.sheetpane import SheetPane

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from textual import events
    from textual.app import ComposeResult

    from judgekit.core.score import Score
    from judgekit.core.state import Lane
    from judgekit.desk import Desk, News
    from judgekit.ui.screens.beside import Other

_NARROWEST = 36
# So long after the time for questions it is surely over.
_PAST_S = 0.1
_ANSWERS = {"y": True, "n": False}
# The two keys that mean the same here as on the Floor.
_CLOSING = {"q": "close", "y": "yes"}
_TOO_EARLY = "pressed before the scorecard stood"
_TOO_LATE = "pressed on the way from the scorecard"


class ScorecardScreen(SureTimers, Screen[None], inherit_bindings=False):
    """One lane's scorecard; digits sign it, once each."""

    AUTO_FOCUS = None

    class Left(Message):
        """Back to the Floor, or to close the desk."""

        def __init__(self, *, to_floor: bool) -> None:
            super().__init__()
            self.to_floor = to_floor

    def __init__(
        self,
        desk: Desk,
        number: int,
        *,
        judges: Mapping[str, str] | None = None,
        times: Callable[[], str] = str,
        standing: Standing | None = None,
        other: Other | None = None,
    ) -> None:
        super().__init__()
        self._judges = judges or {}
        self._times = times
        self._desk = desk
        self._number = number
        self._standing = standing or Standing()
        self._asking = Asking()
        self._hand = Hand(self, desk, number, self._say)
        self._times_words = ""
        # When it was first drawn since it was asked for.
        self._ready = inf
        self._left = False
        self._dispute = DisputeKeys()
        self._pane = SheetPane(id="sheet")
        self._beside: Beside | None = None
        if other is not None:
            self._beside = Beside(self, other, self.show_soon, second=desk.second)
        self._final_at = 0
        self._notice = ""

    def compose(self) -> ComposeResult:
        yield self._pane
        yield Line(id="cardalarm")
        yield Line(id="cardnotice")
        yield Line(id="sign")
        yield Line(id="cardkeys")

    def on_mount(self) -> None:
        self._desk.listen(self._take_news)
        self.watch(self._pane, "scroll_y", self._draw_keys, init=False)
        if self._beside is not None:
            self.set_interval(AGAIN_S, self._beside.look)

    def asked_for(self) -> None:
        """It will be shown: what is pressed before it is drawn was not meant for it."""
        self._ready = inf
        self._left = False
        self._dispute.close()
        self._notice = ""
        self._times_words = self._times()
        if self.is_mounted:
            self.show_soon()

    def on_screen_resume(self) -> None:
        if self._beside is not None:
            self._beside.look()
        self.show_soon()

    def on_resize(self) -> None:
        self.show_soon()

    def _take_news(self, news: News) -> None:
        self.post_message(DeskNews(news))

    def on_desk_news(self, message: DeskNews) -> None:
        try:
            self._hear(message.news)
        except Exception as error:  # noqa: BLE001 - the desk stays open whatever fails
            self._failed(error)
        self.show_soon()

    def _hear(self, news: News) -> None:
        self._standing.hear(news)
        match news:
            case Judged(lane=number, state=lane) if number == self._number:
                odd = [e for e in news.entries if isinstance(e.body, Ignored)]
                said = (telling(lane, e, self._hand.told) for e in odd)
                # What a key was told stays: the log's news of one before may be late.
                self._notice = " ".join(filter(None, (self._notice, *said)))
            case Refused(lane=number, says=says) if number == self._number:
                self._notice = says
            case Told(says=says):
                self._notice = says
            case _:
                pass

    # --- keys -------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        try:
            self._pressed(event)
        except Exception as error:  # noqa: BLE001 - the desk stays open whatever fails
            self._failed(error)
        self.show_soon()

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self._say("Pasted text answers nothing.")
        self._hand.drop("text", "was pasted", self._desk.clock.boot_ms())

    def _pressed(self, event: events.Key) -> None:
        key = name_of(event.key, event.character)
        if key is None or self._standing.closing:
            return
        boot_ms = pressed_ms(self._desk.clock, event)
        if event.time < self._ready or self._left:
            self._drop(key, boot_ms, _TOO_LATE if self._left else _TOO_EARLY)
            return
        if not self._dispute.step and self._pane.moves(key):
            return
        limit = self._desk.lane(self._number).plan.repeat_ms
        if self._dispute.types or self._hand.takes(key, event, boot_ms, limit):
            self._notice = ""
            if self._dispute.step:
                self._ask(key, event.character or "", boot_ms)
            else:
                self._do(latin_of(key) or key, boot_ms)

    def _ask(self, key: str, sign: str, boot_ms: int) -> None:
        """A key of a dispute under way."""
        effect = self._dispute.press(key, sign, self._desk.lane(self._number))
        if isinstance(effect, Say):
            self._notice = effect.text
        elif isinstance(effect, Asks):
            self._submit(effect.dispute, boot_ms, key)

    def _say(self, text: str) -> None:
        self._notice = text
        self.show_soon()

    def _drop(self, key: str, boot_ms: int, why: str) -> None:
        """A key between two screens answers nothing; it is told and kept."""
        self._notice = f"{key} {why}: not counted"
        self._hand.drop(key, why, boot_ms)

    def _do(self, key: str, boot_ms: int) -> None:
        asked = self._asking.taken(boot_ms)
        name = _CLOSING.get(key, "")
        waiting = self._standing.waiting
        words = self._asking.closing(name, asked, boot_ms, waiting)
        if words is None:
            self._answer(key, boot_ms)
        elif words:
            self._notice = words
        else:
            self.post_message(self.Left(to_floor=False))

    def _answer(self, key: str, boot_ms: int) -> None:
        if key == "b":
            self._left = True
            self.post_message(self.Left(to_floor=True))
            return
        if key == OPENS:
            said = self._dispute.open(self._desk.lane(self._number))
            self._notice = said.text if isinstance(said, Say) else ""
            return
        act = self._act_of(key)
        if act is None:
            self._notice = dead_key(key, "on the scorecard")
        else:
            self._submit(act, boot_ms, key)

    def _act_of(self, key: str) -> Act | None:
        if key in _ANSWERS and self._desk.lane(self._number).horn_asks:
            return AnswerHorn(counts=_ANSWERS[key])
        for signing in SIGNINGS:
            if signing.key == key:
                return Accept(who=signing.who, signed=signing.signed)
        return None

    def _submit(self, act: Act, boot_ms: int, key: str) -> None:
        self._desk.submit(self._number, act, boot_ms=boot_ms, key=key)

    # --- showing ----------------------------------------------------------------------

    def _failed(self, error: Exception) -> None:
        kind = type(error).__name__
        self._notice = f"Something failed here ({kind}). The log is safe; go on."

    def show_soon(self) -> None:
        """Draw anew; what cannot be drawn is said and ends nothing."""
        if self._ready == inf:
            self._ready = monotonic()
        try:
            self._draw_lines()
            self._draw_card()
        except Exception as error:  # noqa: BLE001 - the desk stays open whatever fails
            kind = type(error).__name__
            self._alarm(f"Drawing failed ({kind}). The log is safe; keys still work.")

    def _alarm(self, text: str) -> None:
        _put(self.query_one("#cardalarm", Line), text)

    def _draw_lines(self) -> None:
        """What can be answered, and what must be known: whatever the card says."""
        _put(self.query_one("#cardnotice", Line), self._notice)
        answers = packed(self._keys()[0], self.size.width)
        self.query_one("#sign", Line).show(*answers, layout=True)
        self._draw_keys()
        self._alarm(self._standing.over_all(self._number) or self._unsaved())

    def _draw_keys(self) -> None:
        """The other keys, with what of the card is not on the screen."""
        _, rest = self._keys()
        # The place is kept free: other words must not change the layout.
        free = () if self._dispute.step else (MOST_WORDS,)
        lines = packed((*rest, *free), self.size.width)
        lines[-1] = lines[-1].replace(MOST_WORDS, self._pane.more)
        self.query_one("#cardkeys", Line).show(*lines, layout=True)

    def _keys(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        lane = self._desk.lane(self._number)
        return (
            dispute_footer(self._dispute, lane) if self._dispute.step else footer(lane)
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
        lane = self._desk.lane(self._number)
        code = self._desk.logging_code(self._number)
        result, judges = self._result(lane)
        self._draw_when_final(result.until)
        card = scorecard(
            lane,
            result,
            log_code=code,
            runs=self._times_words,
            judge=self._judges.get(lane.judge, ""),
        )
        width = max(_NARROWEST, self.size.width)
        self._pane.put(sheet(replace(card, judges=judges), width))
        # How far the card reaches is known once it is laid out.
        self.call_after_refresh(self._draw_keys)


def _put(line: Line, text: str) -> None:
    """A line that takes no room while it says nothing."""
    line.show(text, layout=True)
    line.set_class(bool(text), "-on")
