"""The Floor for several lanes: a class, or two athletes side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import doubt
from judgekit.core.entry import Freeze, NameFault, NoRep, Stop
from judgekit.core.looking import is_newest_attempt
from judgekit.desk import Coming, Joined, Judged, Refused, Told
from judgekit.ui.guard import MOST_AT_ONCE
from judgekit.ui.manykeys import (
    NO_LANE,
    Dropped,
    ForAll,
    ForLane,
    FreezeAll,
    Gone,
    ManyKeys,
    NoLane,
    Scene,
)
from judgekit.ui.panels import Submit
from judgekit.ui.screens.hand import Hand, at_once_words
from judgekit.ui.screens.judging import JudgeScreen
from judgekit.ui.screens.lanesnow import LanesNow
from judgekit.ui.screens.lanetimers import LaneTimers
from judgekit.ui.screens.manycontrols import DESK, ManyControls
from judgekit.ui.screens.manyrows import Picture
from judgekit.ui.screens.manywords import joined_words, lost_words
from judgekit.ui.views.phase import Now
from judgekit.ui.views.telling import telling
from judgekit.ui.widgets.laying import Over
from judgekit.ui.widgets.manyface import ManyFace

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual import events
    from textual.app import ComposeResult

    from judgekit.core.entry import Entry
    from judgekit.core.state import Lane
    from judgekit.desk import Desk, News
    from judgekit.ui.manykeys import Step
    from judgekit.ui.panels import Known
    from judgekit.ui.screens.heard import Standing
    from judgekit.ui.screens.messages import Shared
    from judgekit.ui.views.many import ManyView

# An act takes two keys here, its lane's digit and its own.
_MOST_AT_ONCE = 2 * MOST_AT_ONCE


class ManyScreen(JudgeScreen):
    """One coach, several athletes."""

    def __init__(
        self,
        desk: Desk | Coming,
        *,
        known: Known | None = None,
        extra_keys: Iterable[tuple[str, tuple[str, ...]]] = (),
        standing: Standing | None = None,
    ) -> None:
        extra = tuple(extra_keys)
        self._keys = ManyKeys(desk.lanes, extra)
        super().__init__(desk, known=known, standing=standing)
        if self._standing.chosen is not None:
            self._keys.stay_with(self._standing.chosen)
            self._standing.chosen = None
        self._controls = ManyControls(self._known, extra, self._lanes)
        self._face = ManyFace()
        # What the key just pressed would write.
        self._sign = ""
        self._picture = Picture(self._keys, self._standing)
        self._lane_timers = LaneTimers(self, self._picture.forget)

    def _is_there(self, desk: Desk) -> None:
        super()._is_there(desk)
        self._hand = Hand(self, desk, self._lanes[0], self._say, _MOST_AT_ONCE)
        self._lanes_now = LanesNow(desk, self._standing)

    def _sit_down(self, desk: Desk) -> None:
        super()._sit_down(desk)
        for number in self._lanes:
            self._lane_timers.await_go(number, desk.lane(number), desk.heat_ms())

    def compose(self) -> ComposeResult:
        yield self._face

    # --- keys -------------------------------------------------------------------------

    def _is_stop(self, key: str) -> bool:
        return self._keys.is_stop(key)

    def _pressed(self, key: str, event: events.Key, boot_ms: int) -> None:
        self._sign = event.character or ""
        scene = self._scene(key, boot_ms)
        typed = scene.typed
        place = self._keys.place_of(key)
        limit = self._lanes_now.limit_ms(place, boot_ms)
        if not typed and not self._hand.takes(key, event, boot_ms, limit, place):
            return
        stood = self._stands()
        self._trial = None
        self._notice.clear()
        for step in self._keys.press(key, boot_ms, scene):
            self._step(step)
        if key == "escape" or self._keys.chosen != self._stopping.boxed:
            # The coach turns elsewhere.
            self._stopping.boxed = None
        if not typed and not self._notice.at(boot_ms) and at_once_words(event):
            self._say(at_once_words(event))
        # A judgement is drawn once, when it is durable.
        if stood != self._stands():
            self.show_soon()

    def _scene(self, key: str, boot_ms: int) -> Scene:
        chosen = self._keys.chosen
        owners = (DESK,) if chosen is None else (chosen, DESK)
        wants = (n for n in owners if self._controls[n].wants(key, boot_ms, self._sign))
        wanted = next(wants, None)
        return Scene(
            started=self._desk.zero_boot_ms is not None,
            wanted_by=wanted,
            typed=wanted is not None and self._controls[wanted].types(key, self._sign),
            open=self._controls.is_open(),
            asked=self._controls[DESK].asks(boot_ms),
            calls=self._lanes_now.calls,
            asking=lambda first: self._lanes_now.asking(first, boot_ms),
            shut=chosen is not None and self._lanes_now.is_shut(chosen),
        )

    def _step(self, step: Step) -> None:
        match step:
            case ForLane(lane=number):
                self._press(number, step.key, step.boot_ms)
            case ForAll():
                self._press(DESK, step.key, step.boot_ms)
            case FreezeAll(boot_ms=boot_ms):
                self._freeze_all(boot_ms)
            case Gone() | Dropped() | NoLane():
                self._say(lost_words(step))
                self._hand.drop(step.key, NO_LANE, step.boot_ms)
            case _:
                self._controls.leave_off()

    def _freeze_all(self, boot_ms: int) -> None:
        """The next digit says whose STOP it is, whatever was open."""
        self._controls.leave_off()
        number = self._for_all()
        holds = self._desk.lane(number).holds
        if not any(hold.kind == "freeze" for hold in holds):
            self._desk.submit(number, Freeze(), boot_ms=boot_ms, key="0")

    def _press(self, of: int, key: str, boot_ms: int) -> None:
        """A key for a lane's controls, or for the desk's."""
        number = of or self._for_all()
        moment = self._lanes_now.moment(number, boot_ms, of_all=of == DESK)
        controls = self._controls[of]
        stood = controls.panel
        effect = controls.press(key, moment, self._sign)
        stops = isinstance(effect, Submit) and isinstance(effect.act, Stop)
        if stops and self._keys.may_mean_ten(key, number, boot_ms):
            self._say(f"Lane {number} is STOPPED. Meant lane 10? g, then tab, 1")
        if controls.panel is not stood:
            controls.opened_at(self._clock.boot_ms())
        self._do(number, effect, moment, key)
        self._controls.leave_off(but=of)

    def _front(self) -> int:
        """The lane that stands for all: the chosen one, else the first still in it."""
        return self._keys.chosen or self._lanes_now.front()

    def _for_all(self) -> int:
        """The lane whose acts are the whole heat's: one that is judged here."""
        return self._lanes_now.open_or_front(self._keys.chosen)

    def _stands(self) -> tuple[object, ...]:
        """What a key may change on the screen at once."""
        keys = self._keys
        return (
            self._trial,
            self._notice.at(self._clock.boot_ms()),
            self._controls.panels(),
            self._stopping.boxed,
            dict(self._stopping.pressed),
            keys.chosen,
            keys.page,
            [one.words for one in keys.waiting],
            keys.types,
        )

    def _choose_none(self) -> None:
        self._controls.leave_off()
        self._keys.choose_none()

    def _lapse(self, now: int) -> None:
        self._controls.lapse(now)
        for step in self._keys.lapse(now, panel=self._controls.is_open()):
            self._step(step)

    # --- news -------------------------------------------------------------------------

    def _told(self, news: News) -> None:
        match news:
            case Judged(lane=number):
                for entry in news.entries:
                    self._judged(number, news.state, entry)
                self._stopping.follow(news, self._controls[number], self._desk)
                self._lane_timers.await_go(number, news.state, self._desk.heat_ms())
            case Refused(lane=number, says=says):
                self._stopping.settle(number)
                self._say(f"Lane {number}: {says}")
            case Told(says=says):
                self._say(says)
            case Joined(lane=number):
                self._join(number)
            case _:
                pass

    def _join(self, number: int) -> None:
        """One more lane stands among the others; the chosen one stays chosen."""
        self._lanes = self._desk.lanes
        self._keys.take_in(self._lanes)
        self._controls.take_in(number)
        self._say(joined_words(self._desk, number, self._keys.gone))

    def _judged(self, number: int, lane: Lane, entry: Entry) -> None:
        words = telling(lane, entry, self._hand.told)
        if words:
            self._say(f"Lane {number}: {words}")
        if doubt.newest(lane) is not None:
            self._lane_timers.asked(number)
        match entry.body:
            case Stop():
                self._stopping.settle(number)
            case NoRep():
                self._lane_timers.flash(number)
            case NameFault(target=target) if is_newest_attempt(lane, target):
                self._lane_timers.flash(number)
            case _:
                pass

    def on_shared(self, message: Shared) -> None:
        self._picture.shared = message.words
        self.show_soon()

    # --- showing ----------------------------------------------------------------------

    def _alarm(self, words: str) -> None:
        self._face.alarm(words)

    def _draw(self) -> None:
        self._face.show(self._view(), self._over())

    def _view(self) -> ManyView:
        if self._early is not None and isinstance(self._shown, Coming):
            return self._picture.early(self._shown, self._early)
        return self._picture.view(self._desk, self._front(), self._now)

    def _now(self, number: int) -> Now:
        plan = self._desk.lane(number).plan
        return Now(
            heat_ms=self._desk.heat_ms(),
            second=self._desk.second,
            waiting=self._standing.waiting,
            stop_ms=self._stopping.pressed.get(number),
            panel=self._controls[number].panel is not None,
            checks=self._desk.checks_lanes,
            judges=self._known.judges,
            stopped_days=self._known.stopped.get(plan.bib, 0),
        )

    def _over(self) -> Over:
        now = self._clock.boot_ms()
        chosen = self._keys.chosen or DESK
        notice = self._standing.over_all(chosen) or self._notice.at(now)
        controls = self._controls.opened()
        return Over(
            notice=notice or self._standing.unsaved,
            trial=self._trial,
            panel=controls.panel,
            typed_for=controls.typed_for(),
            panel_keys=controls.panel_keys(now),
            flashing=self._lane_timers.flashing,
            box=self._box(),
        )
