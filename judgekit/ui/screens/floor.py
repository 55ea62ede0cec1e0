"""The Floor for one lane: one judge, one athlete, the count as large as it can be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import doubt
from judgekit.core.entry import NameFault, NoRep, Stop
from judgekit.core.lane import own_ms
from judgekit.core.looking import is_newest_attempt
from judgekit.core.people import Emergency
from judgekit.desk import Joined, Judged, Refused, Told
from judgekit.ui.controls import Controls
from judgekit.ui.guard import repeat_limit_ms
from judgekit.ui.moment import Moment
from judgekit.ui.screens.hand import at_once_words
from judgekit.ui.screens.judging import JudgeScreen
from judgekit.ui.screens.messages import Grew
from judgekit.ui.views import history
from judgekit.ui.views.early import early_view
from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.phase import Now, shown_set
from judgekit.ui.views.telling import telling
from judgekit.ui.widgets.face import Face
from judgekit.ui.widgets.laying import Over

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual import events
    from textual.app import ComposeResult

    from judgekit.core.entry import Entry
    from judgekit.core.state import Lane
    from judgekit.desk import Coming, Desk, News
    from judgekit.ui.panels import Known
    from judgekit.ui.screens.heard import Standing
    from judgekit.ui.views.floor import FloorView

FLASH_S = 1.0
WHY_S = 2.05


class FloorScreen(JudgeScreen):
    """One judge, one athlete."""

    def __init__(
        self,
        desk: Desk | Coming,
        *,
        known: Known | None = None,
        extra_keys: Iterable[tuple[str, tuple[str, ...]]] = (),
        standing: Standing | None = None,
    ) -> None:
        super().__init__(desk, known=known, standing=standing)
        self._number = desk.lanes[0]
        self._controls = Controls(self._known, extra_keys)
        self._face = Face()
        self._flash: tuple[str, ...] = ()
        self._flashes = 0

    def compose(self) -> ComposeResult:
        yield self._face

    # --- keys -------------------------------------------------------------------------

    def _is_stop(self, key: str) -> bool:
        return self._controls.stops(key)

    def _pressed(self, key: str, event: events.Key, boot_ms: int) -> None:
        # Asked before the lane: what is decided meanwhile may only be counted in hand.
        in_hand = self._desk.at_stake
        lane = self._desk.lane(self._number)
        typed = self._controls.types(key, event.character or "")
        heat_ms = self._desk.heat_ms(boot_ms)
        limit = self._limit_ms(lane, heat_ms)
        if not typed and not self._hand.takes(key, event, boot_ms, limit):
            return
        # No key of a heat waits for the lane check.
        check = None if lane.started else self._desk.lane_check(self._number)
        moment = Moment(
            lane=lane,
            boot_ms=boot_ms,
            heat_ms=heat_ms,
            waiting=self._standing.waiting,
            in_hand=in_hand,
            checks=check is not None,
            open_items=0 if check is None else len(check.unexplained),
        )
        stood = self._stands()
        self._trial = None
        self._notice.clear()
        effect = self._controls.press(key, moment, event.character or "")
        self._do(self._number, effect, moment, key)
        if key == "escape":
            # The judge wants the count back.
            self._stopping.boxed = None
        if not typed and not self._notice.at(boot_ms) and at_once_words(event):
            self._say(at_once_words(event))
        # A judgement is drawn once, when it is durable.
        if stood != self._stands():
            self.show_soon()

    def _has_box(self) -> bool:
        return self._known.emergency != Emergency()

    def _stands(self) -> tuple[object, ...]:
        """What a key may change on the screen at once."""
        notice = self._notice.at(self._clock.boot_ms())
        stop_ms = self._stopping.pressed.get(self._number)
        return self._trial, notice, self._controls.panel, stop_ms, self._stopping.boxed

    def _limit_ms(self, lane: Lane, heat_ms: int | None) -> int:
        at = None if heat_ms is None else own_ms(lane, heat_ms)
        card = lane.plan.card_of(shown_set(lane, at))
        return repeat_limit_ms(lane.plan.repeat_ms, card.floor_ms)

    def _choose_none(self) -> None:
        self._controls.leave_off()

    def _lapse(self, now: int) -> None:
        self._controls.lapse(now)

    def on_screen_resume(self) -> None:
        self._grown()

    def _grown(self) -> None:
        """Whether another screen has to show the desk from now on."""
        if len(self._shown.lanes) > 1 and self.is_current:
            self.post_message(Grew())

    # --- news -------------------------------------------------------------------------

    def _told(self, news: News) -> None:
        match news:
            case Judged(lane=number) if number == self._number:
                for entry in news.entries:
                    self._judged(news.state, entry)
                self._stopping.follow(news, self._controls, self._desk)
            case Refused(lane=number, says=says) if number == self._number:
                self._stopping.settle(number)
                self._say(says)
            case Told(says=says):
                self._say(says)
            case Joined():
                self._grown()
            case _:
                pass

    def _judged(self, lane: Lane, entry: Entry) -> None:
        words = telling(lane, entry, self._hand.told)
        if words:
            self._say(words)
        if doubt.newest(lane) is not None:
            # A question that nobody answers goes by itself.
            self.set_timer((doubt.ASKED_MS + 50) / 1000, self.show_soon)
        match entry.body:
            case Stop():
                self._stopping.settle(self._number)
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

    def _alarm(self, words: str) -> None:
        self._face.alarm(words)

    def _draw(self) -> None:
        self._face.show(self._view(), self._over())

    def _view(self) -> FloorView:
        lane = self._shown.lane(self._number)
        if self._early is not None:
            return early_view(
                lane,
                percent=self._early.percent,
                kept=self._early.many,
                stopped=self._early.stopped,
                second=self._shown.second,
            )
        return floor_view(lane, self._now(self._number))

    def _now(self, number: int) -> Now:
        plan = self._desk.lane(number).plan
        return Now(
            heat_ms=self._desk.heat_ms(),
            second=self._desk.second,
            waiting=self._standing.waiting,
            stop_ms=self._stopping.pressed.get(number),
            panel=self._controls.panel is not None,
            checks=self._desk.checks_lanes,
            judges=self._known.judges,
            stopped_days=self._known.stopped.get(plan.bib, 0),
        )

    def _over(self) -> Over:
        now = self._clock.boot_ms()
        notice = self._standing.over_all(self._number) or self._notice.at(now)
        return Over(
            notice=notice or self._standing.unsaved,
            flash=self._flash,
            trial=self._trial,
            panel=self._controls.panel,
            typed_for=self._controls.typed_for(),
            panel_keys=self._controls.panel_keys(now),
            box=self._box(),
        )
