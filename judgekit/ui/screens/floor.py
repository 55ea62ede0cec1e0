"""The Floor for one lane: every key comes in here once, with the time it was pressed.

Nothing on it can take the focus and nothing is pushed over it. It shows the newest
durable state; STOP alone is shown at the press.
"""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen

from judgekit.core.entry import Early, Ignored, NameFault, NoRep, Stop
from judgekit.desk import Judged, Lost, Refused, Saved, Told, Unsaved
from judgekit.ui.controls import Controls, Effect, Go, Leave, Moment, Opened, Say, Trial
from judgekit.ui.keys import HeldKeys, name_of, repeat_limit_ms
from judgekit.ui.panels import LateGo, Submit, Swap, ToCard
from judgekit.ui.screens.heard import DeskNews
from judgekit.ui.views import history
from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.phase import Now, shown_set
from judgekit.ui.widgets.face import LAYOUTS, Face, Over, layout_for
from judgekit.ui.widgets.line import Line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual import events
    from textual.app import ComposeResult

    from judgekit.core.state import Lane
    from judgekit.desk import Desk, News
    from judgekit.ui.panels import Known

FLASH_S = 1.0
WHY_S = 2.05
NOTICE_MS = 5000
HELD_S = 0.2
_SECOND_MS = 1000
_TENTH_MS = 100


class FloorScreen(Screen[None], inherit_bindings=False):
    """One judge, one athlete."""

    AUTO_FOCUS = None

    class Left(Message):
        """The judge leaves the Floor: to the scorecard, or to close the desk."""

        def __init__(self, *, to_card: bool) -> None:
            super().__init__()
            self.to_card = to_card

    def __init__(
        self,
        desk: Desk,
        number: int,
        *,
        known: Known | None = None,
        extra_keys: Iterable[tuple[str, tuple[str, ...]]] = (),
    ) -> None:
        super().__init__()
        self._desk = desk
        self._number = number
        self._controls = Controls(known, extra_keys)
        self._held = HeldKeys()
        self._waiting = 0
        self._stop_ms: int | None = None
        self._notice = ""
        self._notice_until = 0
        self._lost = ""
        self._trial: Trial | None = None
        self._flash: tuple[str, ...] = ()
        self._flashes = 0
        self._stale = False

    # --- laying out -------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        yield Face()

    def on_mount(self) -> None:
        self._desk.listen(self._take_news)
        self._show()
        self._tick()

    def on_resize(self, event: events.Resize) -> None:
        fits = layout_for(event.size.width, event.size.height)
        for layout in LAYOUTS:
            self.set_class(layout == fits, f"-{layout}")
        self._show_soon()

    # --- keys -------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        now = self._desk.clock.boot_ms()
        boot_ms = now - max(0, round((monotonic() - event.time) * 1000))
        try:
            self._pressed(name_of(event.key, event.character), boot_ms)
        except Exception as error:  # noqa: BLE001 - the heat goes on whatever fails
            self._failed(error)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self._say("Pasted text counts nothing.")

    def _pressed(self, key: str | None, boot_ms: int) -> None:
        if key is None:
            return
        lane = self._desk.lane(self._number)
        if not self._controls.types(key) and not self._is_press(key, boot_ms, lane):
            return
        moment = Moment(lane=lane, boot_ms=boot_ms, heat_ms=self._desk.heat_ms(boot_ms))
        stood = (self._trial, self._notice, self._controls.panel, self._stop_ms)
        self._trial, self._notice = None, ""
        self._do(self._controls.press(key, moment), moment, key)
        # A judgement is drawn once, when it is durable.
        if stood != (self._trial, self._notice, self._controls.panel, self._stop_ms):
            self._show_soon()

    def _is_press(self, key: str, boot_ms: int, lane: Lane) -> bool:
        """Whether it is a press of its own; repeats of a held key are told."""
        limit = self._limit_ms(lane)
        counts = self._held.press(key, boot_ms, limit)
        self._tell_held(boot_ms)
        if not counts:
            self._say(f"{key} is held: repeats do not count.")
            self.set_timer(HELD_S, self._held_over)
        return counts

    def _limit_ms(self, lane: Lane) -> int:
        card = lane.plan.card_of(shown_set(lane))
        return repeat_limit_ms(lane.plan.repeat_ms, card.floor_ms)

    def _held_over(self) -> None:
        self._tell_held(self._desk.clock.boot_ms())

    def _tell_held(self, boot_ms: int) -> None:
        limit = self._limit_ms(self._desk.lane(self._number))
        for run in self._held.ended(boot_ms, limit):
            self._say(f"Held {run.key}: {history.repeats(run.many)} not counted.")
            if self._desk.zero_boot_ms is not None:
                self._desk.repeat(
                    self._number,
                    run.key,
                    first_ms=run.first_ms,
                    last_ms=run.last_ms,
                    many=run.many,
                )

    def _do(self, effect: Effect, moment: Moment, key: str) -> None:
        match effect:
            case Submit(act=act):
                if isinstance(act, Stop):
                    self._stop_ms = moment.at
                self._desk.submit(self._number, act, boot_ms=moment.boot_ms, key=key)
            case Go() | Swap() | LateGo():
                self._ask_desk(effect, moment.boot_ms)
            case Say() | Trial():
                self._tell(effect)
            case Leave() | ToCard():
                self.post_message(self.Left(to_card=isinstance(effect, ToCard)))
            case Opened():
                pass

    def _ask_desk(self, effect: Go | Swap | LateGo, boot_ms: int) -> None:
        """What concerns more than this lane's work."""
        match effect:
            case Go():
                self._desk.call_go(boot_ms=boot_ms)
            case Swap(other=other):
                self._desk.swap(self._number, other, boot_ms=boot_ms)
            case LateGo():
                self._desk.call_late_go(self._number, boot_ms=boot_ms)

    def _tell(self, effect: Say | Trial) -> None:
        if isinstance(effect, Trial):
            self._trial = effect
        else:
            self._say(effect.text)

    def _failed(self, error: Exception) -> None:
        kind = type(error).__name__
        self._say(f"Something failed here ({kind}). The log is safe; go on counting.")

    def _say(self, text: str) -> None:
        self._notice = text
        self._notice_until = self._desk.clock.boot_ms() + NOTICE_MS
        self._show_soon()

    # --- news -------------------------------------------------------------------------

    def _take_news(self, news: News) -> None:
        """Called in the desk's thread; posting is safe from any."""
        self.post_message(DeskNews(news))

    def on_desk_news(self, message: DeskNews) -> None:
        try:
            self._hear(message.news)
        except Exception as error:  # noqa: BLE001 - the heat goes on whatever fails
            self._failed(error)
        self._show_soon()

    def _hear(self, news: News) -> None:
        match news:
            case Judged(lane=number) if number == self._number:
                self._judged(news)
            case Refused(lane=number, says=says) if number == self._number:
                self._stop_ms = None
                self._say(says)
            case Lost(lane=number, to=to) if number == self._number:
                self._lost = f"{to} judges this lane now. This desk counts no more."
            case Unsaved(waiting=waiting):
                self._waiting = waiting
            case Saved():
                self._waiting = 0
            case Told(says=says):
                self._say(says)
            case _:
                pass

    def _judged(self, news: Judged) -> None:
        for entry in news.entries:
            body = entry.body
            if isinstance(body, Stop):
                self._stop_ms = None
            elif isinstance(body, NoRep):
                self._start_flash(history.called(news.state, entry.ref))
            elif isinstance(body, NameFault):
                self._start_flash(history.called(news.state, body.target))
            elif isinstance(body, Early | Ignored):
                self._say(f"{history.words(news.state, entry).capitalize()}.")

    def _start_flash(self, calls: str) -> None:
        self._flash = ("NO REP", *(calls.upper().split(", ") if calls else ()))
        self._flashes += 1
        this = self._flashes
        self.set_timer(FLASH_S, lambda: self._end_flash(this))
        self.set_timer(WHY_S, self._show_soon)

    def _end_flash(self, which: int) -> None:
        if which == self._flashes:
            self._flash = ()
            self._show_soon()

    # --- showing ----------------------------------------------------------------------

    def _tick(self) -> None:
        """Once a second, or a tenth where the plan is that fine; always recomputed."""
        boot = self._desk.clock.boot_ms()
        if self._notice and boot >= self._notice_until:
            self._notice = ""
        self._controls.lapse(boot)
        self._show_soon()
        lane = self._desk.lane(self._number)
        step = _TENTH_MS if lane.plan.precision_ms < _SECOND_MS else _SECOND_MS
        heat = self._desk.heat_ms(boot) or 0
        self.set_timer((step - heat % step + 1) / 1000, self._tick)

    def _show_soon(self) -> None:
        # A burst of presses is drawn once, after the last of them.
        if not self._stale:
            self._stale = True
            self.call_later(self._show)

    def _show(self) -> None:
        self._stale = False
        try:
            self._draw()
        except Exception as error:  # noqa: BLE001 - the heat goes on whatever fails
            good = self._desk.lane(self._number).work.good
            kind = type(error).__name__
            words = f"Drawing failed ({kind}). Counting goes on: {good} in all."
            self.query_one("#banner", Line).show(words)

    def _draw(self) -> None:
        lane = self._desk.lane(self._number)
        now = Now(
            heat_ms=self._desk.heat_ms(),
            second=self._desk.second,
            waiting=self._waiting,
            stop_ms=self._stop_ms,
        )
        view = floor_view(lane, now)
        self.set_class(bool(self._flash), "-no-rep")
        self.set_class(view.phase == "stopped" and not self._flash, "-stopped")
        self.set_class(self._controls.panel is not None, "-panel")
        self.query_one(Face).show(
            view,
            Over(
                notice=self._lost or self._notice,
                flash=self._flash,
                trial=self._trial,
                panel=self._controls.panel,
                typed_for=self._controls.typed_for(),
            ),
        )
