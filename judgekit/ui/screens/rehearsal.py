"""A rehearsal: the Floor of a heat, over which a scripted athlete performs in words."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.lane import own_ms
from judgekit.ui.asking import Asking
from judgekit.ui.controls import Controls
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.messages import Left

if TYPE_CHECKING:
    from judgekit.desk import Desk
    from judgekit.review.performing import Athlete
    from judgekit.ui.panels import Known
    from judgekit.ui.screens.heard import Standing
    from judgekit.ui.widgets.laying import Over

_LOOK_S = 0.05
# After the last rep so long for its call.
LAST_MS = 2500
BEFORE_GO = "Call what you read here. g, then y: the athlete begins at zero."
COUNTDOWN = "The athlete begins at zero."
_THEN = "you are told how you called so far"
LAST = "That was the last rep."


class RehearsalScreen(FloorScreen):
    """The same Floor, keys and desk; it leaves by itself after the last rep."""

    def __init__(
        self,
        athlete: Athlete,
        desk: Desk,
        *,
        known: Known | None = None,
        extra_keys: tuple[tuple[str, tuple[str, ...]], ...] = (),
        standing: Standing | None = None,
    ) -> None:
        super().__init__(desk, known=known, extra_keys=extra_keys, standing=standing)
        self._controls = Controls(known, extra_keys, asking=Asking(_THEN))
        self._athlete = athlete
        self._words = BEFORE_GO

    def on_mount(self) -> None:
        self._look()

    def _look(self) -> None:
        """Let the athlete go on, and show what there is to see."""
        lane = self._desk.lane(self._number)
        heat_ms = self._desk.heat_ms()
        at = None if heat_ms is None else own_ms(lane, heat_ms)
        if at is None and self._athlete.performed:
            self._athlete.back_to_the_line()
        if at is not None and at >= 0:
            self._athlete.look(at, lane)
            if self._is_over(at):
                self.post_message(Left(self._number, to_card=False))
                return
        words = self._says(at)
        if words != self._words:
            self._words = words
            self.show_soon()
        self.set_timer(_LOOK_S, self._look)

    def _is_over(self, at: int) -> bool:
        athlete, lane = self._athlete, self._desk.lane(self._number)
        shown = athlete.is_done and at >= athlete.due_ms + LAST_MS
        # Who was stopped may be let go on.
        return shown or (looking.is_over(lane) and not lane.stopped)

    def _says(self, at: int | None) -> str:
        if at is None:
            return BEFORE_GO
        if at < 0:
            return COUNTDOWN
        done = self._athlete.is_done and at >= self._athlete.due_ms
        return LAST if done else self._athlete.says(at)

    def _over(self) -> Over:
        return replace(super()._over(), performs=self._words)
