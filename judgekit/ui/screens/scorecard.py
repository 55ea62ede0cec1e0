"""The scorecard after the work: read it, sign it, dispute it."""

from __future__ import annotations

from math import inf
from time import monotonic
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from judgekit.core.entry import Accept, Dispute, Ignored
from judgekit.core.press import Act, AnswerHorn
from judgekit.core.score import score
from judgekit.desk import Judged, Refused, Told
from judgekit.reports.scorecard import scorecard
from judgekit.ui.asking import Asking
from judgekit.ui.compat import SureTimers
from judgekit.ui.keys import dead_key, latin_of, name_of
from judgekit.ui.screens.hand import Hand
from judgekit.ui.screens.heard import DeskNews, Standing, pressed_ms
from judgekit.ui.text import packed, plain, styled
from judgekit.ui.views.sheet import (
    DISPUTES,
    MOST_WORDS,
    SIGNINGS,
    Kind,
    SheetLine,
    footer,
    more_words,
    sheet,
)
from judgekit.ui.views.telling import telling
from judgekit.ui.widgets.line import Line

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from textual import events
    from textual.app import ComposeResult

    from judgekit.desk import Desk, News

_STYLES: dict[Kind, str] = {
    "head": "bold",
    "score": "bold $blue",
    "plain": "",
    "soft": "$soft",
    "ask": "bold $orange",
}
_NARROWEST = 36
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
        self._disputing = False
        self._notice = ""

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="sheet", can_focus=False):
            yield Static(id="card", markup=False)
        yield Line(id="cardalarm")
        yield Line(id="cardnotice")
        yield Line(id="sign")
        yield Line(id="cardkeys")

    def on_mount(self) -> None:
        self._desk.listen(self._take_news)
        pane = self.query_one("#sheet", VerticalScroll)
        self.watch(pane, "scroll_y", self._draw_keys, init=False)

    def asked_for(self) -> None:
        """It will be shown: what is pressed before it is drawn was not meant for it."""
        self._ready = inf
        self._left = self._disputing = False
        self._notice = ""
        self._times_words = self._times()
        if self.is_mounted:
            self.show_soon()

    def on_screen_resume(self) -> None:
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
        if self._scroll(key):
            return
        limit = self._desk.lane(self._number).plan.repeat_ms
        if self._hand.takes(key, event, boot_ms, limit):
            self._notice = ""
            self._do(latin_of(key) or key, boot_ms)

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

    def _scroll(self, key: str) -> bool:
        panes = self.query_one("#sheet", VerticalScroll)
        moves = {
            "down": panes.scroll_down,
            "up": panes.scroll_up,
            "pagedown": panes.scroll_page_down,
            "space": panes.scroll_page_down,
            "pageup": panes.scroll_page_up,
            "home": panes.scroll_home,
            "end": panes.scroll_end,
        }
        if key not in moves:
            return False
        moves[key](animate=False)
        return True

    def _answer(self, key: str, boot_ms: int) -> None:
        if key == "b":
            self._left = True
            self.post_message(self.Left(to_floor=True))
            return
        disputing, self._disputing = self._disputing, False
        if key == "d":
            self._disputing = not disputing
        if key == "d" or (disputing and key == "escape"):
            return
        if disputing and key in DISPUTES:
            self._submit(Dispute(about=DISPUTES[key]), boot_ms, key)
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
        pane = self.query_one("#sheet", VerticalScroll)
        at, most = pane.scroll_y, pane.max_scroll_y
        more = more_words(above=at > 0, below=at < most)
        _, rest = self._keys()
        # The place is kept free: other words must not change the layout.
        lines = packed((*rest, MOST_WORDS), self.size.width)
        lines[-1] = lines[-1].replace(MOST_WORDS, more)
        self.query_one("#cardkeys", Line).show(*lines, layout=True)

    def _keys(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        return footer(self._desk.lane(self._number), disputing=self._disputing)

    def _unsaved(self) -> str:
        waiting = self._standing.waiting
        return f"NOT SAVED: {waiting} waiting. {self._standing.why}" if waiting else ""

    def _draw_card(self) -> None:
        lane = self._desk.lane(self._number)
        code = self._desk.logging_code(self._number)
        card = scorecard(
            lane,
            score(lane),
            log_code=code,
            runs=self._times_words,
            judge=self._judges.get(lane.judge, ""),
        )
        width = max(_NARROWEST, self.size.width)
        content = Content("\n").join(_drawn(line) for line in sheet(card, width))
        self.query_one("#card", Static).update(content)
        # How far the card reaches is known once it is laid out.
        self.call_after_refresh(self._draw_keys)


def _put(line: Line, text: str) -> None:
    """A line that takes no room while it says nothing."""
    line.show(text, layout=True)
    line.set_class(bool(text), "-on")


def _drawn(line: SheetLine) -> Content:
    style = _STYLES[line.kind]
    return styled(line.text, style) if style else plain(line.text)
