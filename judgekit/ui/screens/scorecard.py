"""The scorecard after the work: read it, sign it, dispute it."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from judgekit.core.entry import Accept, Dispute
from judgekit.core.press import Act, AnswerHorn
from judgekit.core.score import score
from judgekit.desk import Judged, Refused, Told
from judgekit.reports.scorecard import scorecard
from judgekit.ui.controls import AGAIN_MS
from judgekit.ui.keys import name_of
from judgekit.ui.screens.heard import DeskNews
from judgekit.ui.text import plain, styled
from judgekit.ui.views.sheet import DISPUTES, SIGNINGS, Kind, SheetLine, footer, sheet
from judgekit.ui.widgets.line import Line

if TYPE_CHECKING:
    from collections.abc import Mapping

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
_NARROWEST = 40
_ANSWERS = {"y": True, "n": False}


class ScorecardScreen(Screen[None], inherit_bindings=False):
    """One lane's scorecard; digits sign it, once each."""

    AUTO_FOCUS = None

    class Left(Message):
        """Back to the Floor, or to close the desk."""

        def __init__(self, *, to_floor: bool) -> None:
            super().__init__()
            self.to_floor = to_floor

    def __init__(
        self, desk: Desk, number: int, *, judges: Mapping[str, str] | None = None
    ) -> None:
        super().__init__()
        self._judges = judges or {}
        self._desk = desk
        self._number = number
        self._ready = 0.0
        self._close_ms: int | None = None
        self._disputing = False
        self._notice = ""

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="sheet", can_focus=False):
            yield Static(id="card", markup=False)
        yield Line(id="cardnotice")
        yield Line(id="sign")
        yield Line(id="cardkeys")

    def on_mount(self) -> None:
        self._desk.listen(self._take_news)

    def on_screen_resume(self) -> None:
        # What was pressed before this screen stood was not meant for it.
        self._ready = monotonic()
        self._notice = ""
        self._show()

    def on_resize(self) -> None:
        self._show()

    def _take_news(self, news: News) -> None:
        self.post_message(DeskNews(news))

    def on_desk_news(self, message: DeskNews) -> None:
        match message.news:
            case Judged(lane=number) if number == self._number:
                self._notice = ""
            case Refused(says=says) | Told(says=says):
                self._notice = says
            case _:
                return
        self._show()

    # --- keys -------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        key = name_of(event.key, event.character)
        if key is None or event.time < self._ready:
            return
        self._notice = ""
        closing, self._close_ms = self._close_ms, None
        boot_ms = self._desk.clock.boot_ms()
        if key == "q":
            self._close(boot_ms, closing)
        elif not self._scroll(key):
            self._answer(key, boot_ms)
        self._show()

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()

    def _close(self, boot_ms: int, before: int | None) -> None:
        if before is not None and boot_ms - before <= AGAIN_MS:
            self.post_message(self.Left(to_floor=False))
            return
        self._close_ms = boot_ms
        self._notice = "q again closes this desk. The heat can be opened again."

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
            self.post_message(self.Left(to_floor=True))
            return
        disputing, self._disputing = self._disputing, False
        if disputing and key in DISPUTES:
            self._submit(Dispute(about=DISPUTES[key]), boot_ms, key)
            return
        if key == "d":
            self._disputing = not disputing
            return
        act = self._act_of(key)
        if act is None:
            self._notice = f"{key} does nothing on the scorecard."
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

    def _show(self) -> None:
        lane = self._desk.lane(self._number)
        code = self._desk.logging_code(self._number)
        judge = self._judges.get(lane.judge, "")
        card = scorecard(lane, score(lane), log_code=code, judge=judge)
        width = max(_NARROWEST, self.size.width - 4)
        content = Content("\n").join(_drawn(line) for line in sheet(card, width))
        self.query_one("#card", Static).update(content)
        first, second = footer(lane)
        if self._disputing:
            listed = "   ".join(f"{key} {about}" for key, about in DISPUTES.items())
            first = f"Disputed:   {listed}"
        self.query_one("#cardnotice", Line).show(self._notice, layout=True)
        self.query_one("#sign", Line).show(first, layout=True)
        self.query_one("#cardkeys", Line).show(second, layout=True)


def _drawn(line: SheetLine) -> Content:
    style = _STYLES[line.kind]
    return styled(line.text, style) if style else plain(line.text)
