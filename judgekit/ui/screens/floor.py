"""The Floor for one lane: every key comes in here once, with the time it was pressed.

Nothing on it can take the focus and nothing is pushed over it. It shows the newest
durable state; STOP alone is shown at the press.
"""

from __future__ import annotations

from time import monotonic, sleep
from typing import TYPE_CHECKING

from textual.events import Key
from textual.message import Message
from textual.screen import Screen

from judgekit.core import doubt
from judgekit.core.entry import NameFault, NoRep, Stop
from judgekit.core.lane import own_ms
from judgekit.core.looking import is_newest_attempt
from judgekit.desk import Coming, Judged, Reading, Ready, Refused, Told
from judgekit.ui.compat import SureTimers
from judgekit.ui.controls import Controls, Moment
from judgekit.ui.effects import Effect, Leave, Opened, Say, Trial
from judgekit.ui.guard import repeat_limit_ms
from judgekit.ui.keys import name_of
from judgekit.ui.notices import Notice
from judgekit.ui.panels import Go, Known, LateGo, Submit, Swap, ToCard, ToCheck
from judgekit.ui.screens.early import Early
from judgekit.ui.screens.hand import Hand, at_once_words
from judgekit.ui.screens.heard import DeskNews, Stamps, Standing
from judgekit.ui.views import history
from judgekit.ui.views.floor import floor_view, opened_again
from judgekit.ui.views.phase import Now, shown_set
from judgekit.ui.views.telling import telling
from judgekit.ui.widgets.face import Face
from judgekit.ui.widgets.laying import Over

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual import events
    from textual.app import ComposeResult

    from judgekit.core.entry import Entry
    from judgekit.core.lanecheck import LaneCheck
    from judgekit.core.state import Lane
    from judgekit.desk import Desk, News
    from judgekit.ui.screens.early import Typed
    from judgekit.ui.views.floor import FloorView

FLASH_S = 1.0
WHY_S = 2.05
# So long one kept key waits for the one before it, looked at so often.
DECIDED_S = 0.25
_LOOK_S = 0.0005
BACK_MS = 15_000
_SECOND_MS = 1000
_TENTH_MS = 100
_TOO_LATE = "pressed on the way to the scorecard"
_TOO_EARLY = "pressed on the way from the scorecard"


class FloorScreen(SureTimers, Screen[None], inherit_bindings=False):
    """One judge, one athlete."""

    AUTO_FOCUS = None

    class Left(Message):
        """The judge leaves the Floor: to the scorecard, or to close the desk."""

        def __init__(self, *, to_card: bool) -> None:
            super().__init__()
            self.to_card = to_card

    class Checks(Message):
        """The judge goes to the lane check."""

    class Ready(Message):
        """The log is read: here is the desk, or None where it was refused."""

        def __init__(self, desk: Desk | None) -> None:
            super().__init__()
            self.desk = desk

    def __init__(
        self,
        desk: Desk | Coming,
        number: int,
        *,
        known: Known | None = None,
        extra_keys: Iterable[tuple[str, tuple[str, ...]]] = (),
        standing: Standing | None = None,
    ) -> None:
        super().__init__()
        # Until its log is read a desk decides nothing, and keys are kept for it.
        self._early: Early | None = None
        self._asked_go = False
        self._shown = desk
        self._clock = desk.clock
        self._number = number
        self._known = known or Known()
        self._controls = Controls(self._known, extra_keys)
        self._standing = standing or Standing()
        self._stop_ms: int | None = None
        self._notice = Notice()
        self._trial: Trial | None = None
        self._trial_until: int | None = None
        self._face = Face()
        self._stamps = Stamps()
        self._ready = 0.0
        self._flash: tuple[str, ...] = ()
        self._flashes = 0
        self._stale = False
        self._left = False
        if isinstance(desk, Coming):
            self._early = Early(desk, number)
        else:
            self._is_there(desk)

    def _is_there(self, desk: Desk) -> None:
        self._desk = self._shown = desk
        self._hand = Hand(self, desk, self._number, self._say)

    # --- laying out -------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        yield self._face

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
        again = opened_again(desk.lane(self._number), desk.heat_ms())
        if self._standing.back or again:
            self._say(self._standing.back or again, BACK_MS)

    def _opened(self, coming: Coming, early: Early) -> None:
        """The log is read: what was pressed meanwhile is taken, then all that comes."""
        self.post_message(self.Ready(coming.desk))
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
            self._early.keep(pressed, stops=self._controls.stops(key))
            self.show_soon()

    def _take(self, key: str, event: Typed, boot_ms: int) -> None:
        try:
            if isinstance(event, Key):
                self._pressed(key, event, boot_ms)
            else:
                self._say("Pasted text counts nothing.")
                self._hand.drop("text", "was pasted", boot_ms)
        except Exception as error:  # noqa: BLE001 - the heat goes on whatever fails
            self._failed(error)

    def _pressed(self, key: str, event: events.Key, boot_ms: int) -> None:
        if self._left or event.time < self._ready:
            why = _TOO_LATE if self._left else _TOO_EARLY
            self._hand.drop(key, why, boot_ms, told=False)
            return
        # Asked before the lane: what is decided meanwhile may only be counted in hand.
        in_hand = self._desk.at_stake
        lane = self._desk.lane(self._number)
        typed = self._controls.types(key)
        heat_ms = self._desk.heat_ms(boot_ms)
        limit = self._limit_ms(lane, heat_ms)
        if not typed and not self._hand.takes(key, event, boot_ms, limit):
            return
        moment = Moment(
            lane=lane,
            boot_ms=boot_ms,
            heat_ms=heat_ms,
            waiting=self._standing.waiting,
            in_hand=in_hand,
            check=self._check_before_go(lane),
        )
        stood = self._stands()
        self._trial = None
        self._notice.clear()
        effect = self._controls.press(key, moment)
        self._do(effect, moment, key)
        if isinstance(effect, Say) and effect.dead:
            self._hand.drop(key, effect.dead, boot_ms)
        if not typed and not self._notice.at(boot_ms) and at_once_words(event):
            self._say(at_once_words(event))
        # A judgement is drawn once, when it is durable.
        if stood != self._stands():
            self.show_soon()

    def _check_before_go(self, lane: Lane) -> LaneCheck | None:
        """The lane check while it is asked for: no key of a heat waits for it."""
        return None if lane.started else self._desk.lane_check(self._number)

    def _stands(self) -> tuple[object, ...]:
        """What a key may change on the screen at once."""
        notice = self._notice.at(self._clock.boot_ms())
        return self._trial, notice, self._controls.panel, self._stop_ms

    def _limit_ms(self, lane: Lane, heat_ms: int | None) -> int:
        at = None if heat_ms is None else own_ms(lane, heat_ms)
        card = lane.plan.card_of(shown_set(lane, at))
        return repeat_limit_ms(lane.plan.repeat_ms, card.floor_ms)

    def _do(self, effect: Effect, moment: Moment, key: str) -> None:
        match effect:
            case Submit(act=act, boot_ms=made):
                if isinstance(act, Stop):
                    self._stop_ms = moment.at
                made = moment.boot_ms if made is None else made
                self._desk.submit(self._number, act, boot_ms=made, key=key)
            case Go() | Swap() | LateGo():
                self._ask_desk(effect, moment.boot_ms)
            case Say() | Trial():
                self._tell(effect)
            case ToCheck():
                self._left = True
                self.post_message(self.Checks())
            case Leave() | ToCard():
                self._left = isinstance(effect, ToCard)
                self.post_message(self.Left(to_card=self._left))
            case Opened():
                pass

    def _ask_desk(self, effect: Go | Swap | LateGo, boot_ms: int) -> None:
        """What concerns more than this lane's work."""
        match effect:
            case Go(why=why):
                self._asked_go = True
                self._desk.call_go(boot_ms=boot_ms, why=why)
            case Swap(other=other):
                self._desk.swap(self._number, other, boot_ms=boot_ms)
            case LateGo():
                self._desk.call_late_go(self._number, boot_ms=boot_ms)

    def _tell(self, effect: Say | Trial) -> None:
        if isinstance(effect, Say):
            self._say(effect.text, effect.for_ms)
            return
        now = self._clock.boot_ms()
        self._trial = effect
        self._trial_until = now + effect.for_ms if effect.for_ms else None
        if effect.for_ms:
            self.set_timer(effect.for_ms / 1000, self._expire)

    def _failed(self, error: Exception) -> None:
        kind = type(error).__name__
        self._say(f"Something failed here ({kind}). The log is safe; go on counting.")

    def _say(self, text: str, for_ms: int = 0) -> None:
        self._notice.say(text, self._clock.boot_ms(), for_ms)
        if for_ms:
            self.set_timer(for_ms / 1000, self._expire)
        self.show_soon()

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

    def _hear(self, news: News) -> None:
        self._standing.hear(news, self._number)
        if self._early is not None and isinstance(self._shown, Coming):
            if isinstance(news, Reading):
                self._early.percent = news.percent
            elif isinstance(news, Ready):
                self._opened(self._shown, self._early)
            return
        match news:
            case Judged(lane=number) if number == self._number:
                self._judged(news)
            case Refused(lane=number, says=says) if number == self._number:
                self._stop_ms = None
                self._say(says)
            case Told(says=says):
                self._say(says)
            case _:
                pass

    def _judged(self, news: Judged) -> None:
        for entry in news.entries:
            self._judged_one(news.state, entry)

    def _judged_one(self, lane: Lane, entry: Entry) -> None:
        words = telling(lane, entry, self._hand.told)
        if words:
            self._say(words)
        if doubt.newest(lane) is not None:
            # A question that nobody answers goes by itself.
            self.set_timer((doubt.ASKED_MS + 50) / 1000, self.show_soon)
        match entry.body:
            case Stop():
                self._stop_ms = None
            case NoRep():
                self._start_flash(history.called(lane, entry.ref))
            case NameFault(target=target) if is_newest_attempt(lane, target):
                self._start_flash(history.called(lane, target))
            case _:
                pass

    def _start_flash(self, calls: str) -> None:
        self._flash = ("NO REP", *(calls.upper().split(", ") if calls else ()))
        self._flashes += 1
        this = self._flashes
        self.set_timer(FLASH_S, lambda: self._end_flash(this))
        self.set_timer(WHY_S, self.show_soon)

    def _end_flash(self, which: int) -> None:
        if which == self._flashes:
            self._flash = ()
            self.show_soon()

    # --- showing ----------------------------------------------------------------------

    def _tick(self) -> None:
        """Once a second, or a tenth where the plan is that fine; always recomputed."""
        self._expire()
        lane = self._shown.lane(self._number)
        step = _TENTH_MS if lane.plan.precision_ms < _SECOND_MS else _SECOND_MS
        heat = self._shown.heat_ms() or 0
        self.set_timer((step - heat % step + 1) / 1000, self._tick)

    def _expire(self) -> None:
        """What has stood for its time is over."""
        now = self._clock.boot_ms()
        if self._trial_until is not None and now >= self._trial_until:
            self._trial, self._trial_until = None, None
        self._controls.lapse(now)
        self.show_soon()

    def show_soon(self) -> None:
        """Draw anew: a burst of presses once, after the last of them."""
        if not self._stale:
            self._stale = True
            self.call_later(self._show)

    def _show(self) -> None:
        self._stale = False
        try:
            self._draw()
        except Exception as error:  # noqa: BLE001 - the heat goes on whatever fails
            good = self._shown.lane(self._number).work.good
            kind = type(error).__name__
            words = f"Drawing failed ({kind}). Counting goes on: {good} in all."
            self._face.alarm(words)

    def _draw(self) -> None:
        self._face.show(self._view(), self._over())

    def _view(self) -> FloorView:
        if self._early is not None:
            return self._early.view()
        now = Now(
            heat_ms=self._desk.heat_ms(),
            second=self._desk.second,
            waiting=self._standing.waiting,
            stop_ms=self._stop_ms,
            panel=self._controls.panel is not None,
            checks=self._desk.checks_lanes,
            judges=self._known.judges,
        )
        return floor_view(self._desk.lane(self._number), now)

    def _over(self) -> Over:
        now = self._clock.boot_ms()
        notice = self._standing.over_all or self._notice.at(now)
        return Over(
            notice=notice or self._standing.unsaved,
            flash=self._flash,
            trial=self._trial,
            panel=self._controls.panel,
            typed_for=self._controls.typed_for(),
            panel_keys=self._controls.panel_keys(now),
        )
