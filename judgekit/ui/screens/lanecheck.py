"""The lane check before go: each item answered by a key, or by what a tape shows."""

from __future__ import annotations

import threading
from contextlib import suppress
from math import inf
from time import monotonic
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen

from judgekit.core.checkentry import Check
from judgekit.desk import Judged, Refused, Started, Told
from judgekit.ui.checkkeys import Answers, CheckKeys, ToFloor
from judgekit.ui.compat import SureTimers
from judgekit.ui.effects import Say
from judgekit.ui.keys import name_of
from judgekit.ui.screens.hand import Hand
from judgekit.ui.screens.heard import DeskNews, Standing, pressed_ms
from judgekit.ui.text import wrapped
from judgekit.ui.views.check import check_view
from judgekit.ui.views.checkwords import check_told
from judgekit.ui.widgets.checklaying import check_rows
from judgekit.ui.widgets.painted import Painted
from judgekit.ui.widgets.row import filled

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual import events
    from textual.app import ComposeResult
    from textual.geometry import Size

    from judgekit.core.entry import Entry
    from judgekit.core.lanecheck import LaneCheck
    from judgekit.desk import Desk, News
    from judgekit.ui.checkkeys import CheckEffect
    from judgekit.ui.views.check import CheckView


class Earlier(Message, bubble=False):
    """What this day's heats before this one say of the lane, once it is read."""

    def __init__(self, entries: tuple[Entry, ...]) -> None:
        super().__init__()
        self.entries = entries


class LaneCheckScreen(SureTimers, Screen[None], inherit_bindings=False):
    """One lane's check; nothing on it counts, and go takes the judge off it."""

    AUTO_FOCUS = None

    class Left(Message):
        """Back to the Floor."""

    def __init__(
        self,
        desk: Desk,
        number: int,
        *,
        people: Sequence[str] = (),
        earlier: Callable[[], tuple[Entry, ...]] = tuple,
        standing: Standing | None = None,
    ) -> None:
        super().__init__()
        self._desk = desk
        self._number = number
        self._standing = standing or Standing()
        self._keys = CheckKeys(people)
        self._read_earlier = earlier
        self._earlier: tuple[Entry, ...] = ()
        self._hand = Hand(self, desk, number, self._say)
        self._paper = Painted(id="lanecheck")
        self._notice = ""
        # When it was first drawn since it was asked for.
        self._ready = inf
        self._left = False

    def compose(self) -> ComposeResult:
        yield self._paper

    def on_mount(self) -> None:
        self._desk.listen(self._take_news)
        # Other heats' logs are read beside the screen: they only spare some keys.
        threading.Thread(target=self._look_back, name="checks", daemon=True).start()

    def asked_for(self) -> None:
        """It will be shown: what is pressed before it is drawn was not meant for it."""
        self._ready = inf
        self._left = False
        self._notice = ""
        check = self._check()
        if check is not None and check.open:
            self._keys.focus = check.open[0].id
        if self.is_mounted:
            self.show_soon()

    def on_screen_resume(self) -> None:
        self.show_soon()

    def on_resize(self) -> None:
        self.show_soon()

    def _look_back(self) -> None:
        with suppress(Exception):
            self.post_message(Earlier(self._read_earlier()))

    def on_earlier(self, message: Earlier) -> None:
        self._earlier = message.entries
        self.show_soon()

    def _check(self) -> LaneCheck | None:
        return self._desk.lane_check(self._number, self._earlier)

    # --- news -------------------------------------------------------------------------

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
            case Started():
                # Whoever called it: nothing is typed any more when it is open again.
                self._keys.back()
                self._leave()
            case Judged(lane=number) if number == self._number:
                self._answered(news)
            case Refused(lane=number, says=says) if number == self._number:
                self._notice = says
            case Told(says=says):
                self._notice = says
            case _:
                pass

    def _answered(self, news: Judged) -> None:
        for entry in news.entries:
            body = entry.body
            if not isinstance(body, Check):
                continue
            self._notice = check_told(news.state, body) or self._notice
            if body.answer == "refused":
                self._keys.refused(body.item)

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

    def _pressed(self, event: events.Key) -> None:
        key = name_of(event.key, event.character)
        check = self._check()
        if key is None or self._standing.closing or check is None:
            return
        if event.time < self._ready or self._left:
            return
        boot_ms = pressed_ms(self._desk.clock, event)
        lane = self._desk.lane(self._number)
        if self._keys.types or self._hand.takes(
            key, event, boot_ms, lane.plan.repeat_ms
        ):
            self._notice = ""
            sign = event.character or ""
            self._do(self._keys.press(key, sign, lane, check), boot_ms, key)

    def _do(self, effect: CheckEffect, boot_ms: int, key: str) -> None:
        match effect:
            case Answers(checks=checks, says=says):
                self._notice = says
                for check in checks:
                    self._desk.submit(self._number, check, boot_ms=boot_ms, key=key)
            case Say(text=text):
                self._notice = text
            case ToFloor():
                self._leave()
            case _:
                pass

    def _leave(self) -> None:
        if not self._left and self.is_current:
            self._left = True
            self.post_message(self.Left())

    # --- showing ----------------------------------------------------------------------

    def _say(self, text: str) -> None:
        self._notice = text
        self.show_soon()

    def _failed(self, error: Exception) -> None:
        kind = type(error).__name__
        self._notice = f"Something failed here ({kind}). The log is safe; go on."

    def show_soon(self) -> None:
        """Draw anew; what cannot be drawn is said and ends nothing."""
        if self._ready == inf:
            self._ready = monotonic()
        try:
            self._draw()
        except Exception as error:  # noqa: BLE001 - the desk stays open whatever fails
            kind = type(error).__name__
            self._alarm(f"Drawing failed ({kind}). The log is safe; escape leaves.")

    def _draw(self) -> None:
        check = self._check()
        if check is None or not self._room.area:
            return
        said = (
            self._standing.over_all(self._number)
            or self._notice
            or self._standing.unsaved
        )
        self._paper.put(check_rows(self._view(check), said, *self._room))

    def _view(self, check: LaneCheck) -> CheckView:
        return check_view(self._desk.lane(self._number).plan, check, self._keys)

    @property
    def _room(self) -> Size:
        """Where it is drawn: the whole screen."""
        return self.size

    def _alarm(self, words: str) -> None:
        columns, rows = self._room
        lines = wrapped(words, max(1, columns), max(1, rows))
        self._paper.put(tuple(filled([(line, "alarm")], columns) for line in lines))
