"""What every Floor does: keys come in by one door, news and time go to one picture.

Nothing on a Floor can take the focus and nothing is pushed over it. It shows the newest
durable state; STOP alone is shown at the press.
"""

from __future__ import annotations

from time import monotonic, sleep
from typing import TYPE_CHECKING

from textual.events import Key

from judgekit.core.entry import Scale, Stop
from judgekit.desk import Coming, Reading, Ready
from judgekit.ui.effects import Effect, Leave, Opened, Say, Trial
from judgekit.ui.keys import name_of
from judgekit.ui.panels import (
    Arrives,
    Go,
    Known,
    LateGo,
    Submit,
    Swap,
    ToCard,
    ToCheck,
)
from judgekit.ui.screens.early import Early
from judgekit.ui.screens.hand import Hand
from judgekit.ui.screens.heard import DeskNews, Stamps, Standing
from judgekit.ui.screens.messages import Arrived, Checks, Left, Pressed, Scaled
from judgekit.ui.screens.messages import Ready as IsReady
from judgekit.ui.screens.shown import ShownScreen
from judgekit.ui.screens.stopping import Stopping
from judgekit.ui.views.box import box_view
from judgekit.ui.views.floor import opened_again

if TYPE_CHECKING:
    from textual import events

    from judgekit.desk import Desk, News
    from judgekit.ui.moment import Moment
    from judgekit.ui.screens.early import Typed
    from judgekit.ui.views.box import Box
    from judgekit.ui.views.phase import Now

# So long one kept key waits for the one before it, looked at so often.
DECIDED_S = 0.25
_LOOK_S = 0.0005
BACK_MS = 15_000
_TOO_LATE = "pressed on the way to the scorecard"
_TOO_EARLY = "pressed on the way from the scorecard"


class JudgeScreen(ShownScreen, inherit_bindings=False):
    """A Floor of one lane or of several; each kind says what a key means on it."""

    def __init__(
        self,
        desk: Desk | Coming,
        *,
        known: Known | None = None,
        standing: Standing | None = None,
    ) -> None:
        super().__init__(desk)
        # Until its log is read a desk decides nothing, and keys are kept for it.
        self._early: Early | None = None
        self._asked_go = False
        self._known = known or Known()
        self._standing = standing or Standing()
        self._stopping = Stopping()
        self._stamps = Stamps()
        self._ready = 0.0
        self._left = False
        if isinstance(desk, Coming):
            self._early = Early(desk)
        else:
            self._is_there(desk)

    def _is_there(self, desk: Desk) -> None:
        self._desk = self._shown = desk
        self._hand = Hand(self, desk, self._lanes[0], self._say)

    # --- what a kind of Floor has of its own ------------------------------------------

    def _pressed(self, key: str, event: events.Key, boot_ms: int) -> None:
        """A key that is not kept back."""
        raise NotImplementedError

    def _is_stop(self, key: str) -> bool:
        raise NotImplementedError

    def _told(self, news: News) -> None:
        """News of the desk, once it is there."""
        raise NotImplementedError

    def _now(self, number: int) -> Now:
        """The moment, as it is drawn for a lane."""
        raise NotImplementedError

    def _choose_none(self) -> None:
        """From now on no lane is chosen and no panel is open."""
        raise NotImplementedError

    # --- opening ----------------------------------------------------------------------

    def on_mount(self) -> None:
        if isinstance(self._shown, Coming):
            self._shown.listen(self._take_news)
            # Reading takes the whole machine's attention, so the picture comes first.
            self.call_after_refresh(self._shown.start)
        else:
            self._sit_down(self._shown)
        self._show()
        self._tick()

    def _sit_down(self, desk: Desk) -> None:
        desk.listen(self._take_news)
        again = opened_again([desk.lane(n) for n in self._lanes], desk.heat_ms())
        if self._standing.back or again:
            self._say(self._standing.back or again, BACK_MS)

    def _opened(self, coming: Coming, early: Early) -> None:
        """The log is read: what was pressed meanwhile is taken, then all that comes."""
        self.post_message(IsReady(coming.desk))
        if coming.desk is None:
            return
        self._early = None
        try:
            self._is_there(coming.desk)
            self._sit_down(coming.desk)
            for pressed in early.kept():
                self._take(*pressed)
                self._until_decided(coming.desk)
        finally:
            coming.handed_over()

    def _until_decided(self, desk: Desk) -> None:
        """What a kept key means hangs on the one before it, as on a Floor in use.

        A disk that is so slow decides later, and the keys are taken as they stand.
        """
        limit = monotonic() + DECIDED_S
        while monotonic() < limit and (
            desk.at_stake > desk.unsaved or self._going(desk)
        ):
            sleep(_LOOK_S)
        self._asked_go = False

    def _going(self, desk: Desk) -> bool:
        return self._asked_go and desk.zero_boot_ms is None

    def on_screen_resume(self) -> None:
        if self._left:
            # What was pressed before the Floor was back was meant for no count on it.
            self._ready = monotonic()
        self._left = False

    # --- keys -------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        self._take_or_keep(event)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self._take_or_keep(event)

    def _take_or_keep(self, event: Typed) -> None:
        key = name_of(event.key, event.character) if isinstance(event, Key) else ""
        if key is None or self._standing.closing:
            return
        pressed = key, event, self._stamps.of(self._clock, event)
        if self._early is None:
            self._take(*pressed)
        else:
            self._early.keep(pressed, stops=self._is_stop(key))
            self.show_soon()

    def _take(self, key: str, event: Typed, boot_ms: int) -> None:
        try:
            if not isinstance(event, Key):
                self._say("Pasted text counts nothing.")
                self._hand.drop("text", "was pasted", boot_ms)
            elif self._left or event.time < self._ready:
                why = _TOO_LATE if self._left else _TOO_EARLY
                self._hand.drop(key, why, boot_ms, told=False)
            else:
                self._pressed(key, event, boot_ms)
        except Exception as error:  # noqa: BLE001 - the heat goes on whatever fails
            self._failed(error)

    def on_pressed(self, message: Pressed) -> None:
        try:
            self._choose_none()
            typed = Key(message.key, None)
            self._pressed(message.key, typed, message.boot_ms)
        except Exception as error:  # noqa: BLE001 - the heat goes on whatever fails
            self._failed(error)
        self.show_soon()

    def _do(self, number: int, effect: Effect, moment: Moment, key: str) -> None:
        """What a key of a lane comes to."""
        match effect:
            case Submit():
                self._submit(number, effect, moment, key)
            case Go() | Swap() | LateGo():
                self._ask_desk(number, effect, moment.boot_ms)
            case Say(dead=dead):
                self._say(effect.text, effect.for_ms)
                if dead:
                    self._hand.drop(key, dead, moment.boot_ms, place=number)
            case Trial():
                self._try(effect)
            case ToCheck() | ToCard() | Leave() | Arrives():
                self._go_to(number, effect, moment.boot_ms)
            case Opened():
                pass

    def _submit(self, number: int, effect: Submit, moment: Moment, key: str) -> None:
        if isinstance(effect.act, Stop):
            self._stopping.press(number, moment.at, box=self._has_box())
        made = moment.boot_ms if effect.boot_ms is None else effect.boot_ms
        if isinstance(effect.act, Scale):
            self.post_message(Scaled(number, effect.act, made, key))
            return
        self._desk.submit(number, effect.act, boot_ms=made, key=key)

    def _has_box(self) -> bool:
        """Whether a box fills the screen after STOP."""
        return True

    def _box(self) -> Box | None:
        """The emergency box, while there is one."""
        if self._stopping.boxed is None:
            return None  # before the log is read there is no desk to ask
        number = self._stopping.whose(self._desk)
        if number is None:
            return None
        lane, now = self._desk.lane(number), self._now(number)
        return box_view(lane, now, self._known.emergency)

    def _go_to(
        self, number: int, effect: ToCheck | ToCard | Leave | Arrives, boot_ms: int
    ) -> None:
        """What the app around the Floor has to do."""
        if isinstance(effect, Arrives):
            self.post_message(Arrived(effect.mate, boot_ms))
            return
        self._left = not isinstance(effect, Leave)
        if isinstance(effect, ToCheck):
            self.post_message(Checks(number))
        else:
            self.post_message(Left(number, to_card=self._left))

    def _ask_desk(self, number: int, effect: Go | Swap | LateGo, boot_ms: int) -> None:
        """What concerns more than one lane's work."""
        match effect:
            case Go(why=why):
                self._asked_go = True
                self._desk.call_go(boot_ms=boot_ms, why=why)
            case Swap(other=other):
                self._desk.swap(number, other, boot_ms=boot_ms)
            case LateGo():
                self._desk.call_late_go(number, boot_ms=boot_ms)

    # --- news -------------------------------------------------------------------------

    def _take_news(self, news: News) -> None:
        """Called in the desk's thread; posting is safe from any."""
        self.post_message(DeskNews(news))

    def on_desk_news(self, message: DeskNews) -> None:
        try:
            self._hear(message.news)
        except Exception as error:  # noqa: BLE001 - the heat goes on whatever fails
            self._failed(error)
        self.show_soon()

    def on_learnt(self) -> None:
        self.show_soon()

    def _hear(self, news: News) -> None:
        self._standing.hear(news)
        if self._early is None:
            self._told(news)
        elif isinstance(self._shown, Coming):
            if isinstance(news, Reading):
                self._early.percent = news.percent
            elif isinstance(news, Ready):
                self._opened(self._shown, self._early)
