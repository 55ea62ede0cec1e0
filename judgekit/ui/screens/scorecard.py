"""The scorecard after the work: read it, sign it, dispute it."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from textual.message import Message

from judgekit.core.entry import Accept, GoOn, Ignored
from judgekit.core.lane import own_ms
from judgekit.core.press import Act, AnswerHorn
from judgekit.desk import Judged, Refused, Told
from judgekit.ui.actions import keymap
from judgekit.ui.asking import Asking
from judgekit.ui.athletecodes import CLOSES as CLOSES_CODE
from judgekit.ui.athletecodes import OPENS as OPENS_CODE
from judgekit.ui.athletecodes import why_none
from judgekit.ui.disputekeys import OPENS, Asks
from judgekit.ui.effects import Say
from judgekit.ui.keys import dead_key, latin_of, name_of
from judgekit.ui.screens.beside import AGAIN_S, Beside
from judgekit.ui.screens.cardpicture import CardPicture
from judgekit.ui.screens.hand import Hand
from judgekit.ui.screens.heard import DeskNews, Standing, pressed_ms
from judgekit.ui.screens.messages import Pressed
from judgekit.ui.views.phase import has_ended
from judgekit.ui.views.sheet import (
    SIGNINGS,
)
from judgekit.ui.views.telling import telling

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from textual import events

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


class ScorecardScreen(CardPicture, inherit_bindings=False):
    """One lane's scorecard; digits sign it, once each."""

    class Left(Message):
        """Back to the Floor, or to close the desk."""

        def __init__(self, *, to_floor: bool, pressed: Pressed | None = None) -> None:
            super().__init__()
            self.to_floor = to_floor
            # What of the keys pressed here the Floor has to do.
            self.pressed = pressed

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
        super().__init__(desk, number, judges=judges or {}, standing=standing)
        self._times = times
        self._asking = Asking()
        self._hand = Hand(self, desk, number, self._say)
        self._left = False
        # An act that `y` makes sure of.
        self._unsure: Act | None = None
        # What keys mean on the Floor, STOP above all.
        self.floor_keys = keymap()
        if other is not None:
            self._beside = Beside(self, other, self.show_soon, second=desk.second)

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
        self._codes.close()
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
        if self._is_for_floor(key):
            self._to_floor(Pressed(key, boot_ms))
            return
        if not (self._dispute.step or self._code()) and self._pane.moves(key):
            return
        limit = self._desk.lane(self._number).plan.repeat_ms
        if self._dispute.types or self._hand.takes(key, event, boot_ms, limit):
            self._notice = ""
            if self._dispute.step:
                self._ask(key, event.character or "", boot_ms)
            else:
                self._do(latin_of(key) or key, boot_ms)

    def _is_for_floor(self, key: str) -> bool:
        """Whether STOP or freeze is meant for those who still work.

        In what is typed of a dispute a key is a sign; none begins while others work.
        """
        name = self.floor_keys.get(latin_of(key) or key)
        stops = name in ("stop", "freeze") and not self._dispute.types
        return stops and self._others_work()

    def _to_floor(self, pressed: Pressed | None = None) -> None:
        self._left = True
        self.post_message(self.Left(to_floor=True, pressed=pressed))

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
        if self._takes_code(key):
            return
        name = _CLOSING.get(key, "")
        waiting = self._standing.waiting
        words = self._asking.closing(name, asked, boot_ms, waiting)
        if asked == "sure" and key == "y" and self._unsure is not None:
            self._sure(self._unsure, boot_ms, key)
        elif words is None:
            self._answer(key, boot_ms)
        elif words:
            self._notice = words
        else:
            self.post_message(self.Left(to_floor=False))

    def _takes_code(self, key: str) -> bool:
        """Whether the key is about a sheet's code; others wait while one stands."""
        plan = self._desk.lane(self._number).plan
        taken = self._codes.takes(key, plan)
        if taken and key not in (OPENS_CODE, CLOSES_CODE):
            self._notice = f"{key} does nothing here: {CLOSES_CODE} first"
        return taken

    def _answer(self, key: str, boot_ms: int) -> None:
        if key in ("b", "escape"):
            self._to_floor()
        elif key == OPENS:
            self._open_dispute()
        else:
            self._act(key, boot_ms)

    def _open_dispute(self) -> None:
        if self._others_work():
            self._notice = "Others are at work: a score is questioned after the end."
            return
        said = self._dispute.open(self._desk.lane(self._number))
        self._notice = said.text if isinstance(said, Say) else ""

    def _act(self, key: str, boot_ms: int) -> None:
        act = self._act_of(key)
        if act is None:
            why = why_none() if key == OPENS_CODE else ""
            self._notice = why or dead_key(key, "on the scorecard")
        elif isinstance(act, GoOn):
            held = self._desk.lane(self._number).held
            self._make_sure(act, f"STOP a mistake? y: {held} held count", boot_ms)
        elif isinstance(act, Accept) and self._others_work():
            # A digit may be meant for a lane of the Floor.
            says = next(s.says for s in SIGNINGS if s.key == key)
            self._make_sure(act, f"{says}? y signs; escape: to the Floor", boot_ms)
        else:
            self._submit(act, boot_ms, key)

    def _sure(self, act: Act, boot_ms: int, key: str) -> None:
        self._submit(act, boot_ms, key)
        lane, heat_ms = self._desk.lane(self._number), self._desk.heat_ms(boot_ms)
        at = None if heat_ms is None else own_ms(lane, heat_ms)
        if isinstance(act, GoOn) and not has_ended(lane, at):
            # Whoever works again is judged on the Floor.
            self._to_floor()

    def _make_sure(self, act: Act, words: str, boot_ms: int) -> None:
        self._unsure, self._notice = act, words
        self._asking.ask("sure", boot_ms)

    def _act_of(self, key: str) -> Act | None:
        if key in _ANSWERS and self._desk.lane(self._number).horn_asks:
            return AnswerHorn(counts=_ANSWERS[key])
        lane = self._desk.lane(self._number)
        if key == "g" and lane.stopped and not lane.closed:
            return GoOn(by_mistake=True)
        for signing in SIGNINGS:
            if signing.key == key:
                return Accept(who=signing.who, signed=signing.signed)
        return None

    def _submit(self, act: Act, boot_ms: int, key: str) -> None:
        self._desk.submit(self._number, act, boot_ms=boot_ms, key=key)
