"""A Floor as it is shown: drawn anew when something has changed, and with the clock."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.screen import Screen

from judgekit.ui.compat import SureTimers
from judgekit.ui.notices import Notice

if TYPE_CHECKING:
    from judgekit.desk import Coming, Desk
    from judgekit.ui.effects import Trial

_SECOND_MS = 1000
_TENTH_MS = 100


class ShownScreen(SureTimers, Screen[None], inherit_bindings=False):
    """Draws a desk's lanes, and says what nobody judged; whatever fails, it goes on."""

    AUTO_FOCUS = None

    def __init__(self, desk: Desk | Coming) -> None:
        super().__init__()
        self._shown = desk
        self._clock = desk.clock
        self._lanes = desk.lanes
        self._notice = Notice()
        self._trial: Trial | None = None
        self._trial_until: int | None = None
        self._stale = False

    # --- what a kind of Floor has of its own ------------------------------------------

    def _lapse(self, now: int) -> None:
        """What has stood for its time is over: panels, choices."""
        raise NotImplementedError

    def _draw(self) -> None:
        raise NotImplementedError

    def _alarm(self, words: str) -> None:
        """Words over a picture that cannot be made."""
        raise NotImplementedError

    # --- telling ----------------------------------------------------------------------

    def _try(self, effect: Trial) -> None:
        """Show in large words what a key would do."""
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

    # --- showing ----------------------------------------------------------------------

    def _tick(self) -> None:
        """Once a second, or a tenth where the plan is that fine; always recomputed."""
        self._expire()
        plan = self._shown.lane(self._lanes[0]).plan
        step = _TENTH_MS if plan.precision_ms < _SECOND_MS else _SECOND_MS
        heat = self._shown.heat_ms() or 0
        self.set_timer((step - heat % step + 1) / 1000, self._tick)

    def _expire(self) -> None:
        """What has stood for its time is over."""
        now = self._clock.boot_ms()
        if self._trial_until is not None and now >= self._trial_until:
            self._trial, self._trial_until = None, None
        self._lapse(now)
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
            good = sum(self._shown.lane(n).work.good for n in self._lanes)
            kind = type(error).__name__
            words = f"Drawing failed ({kind}). Counting goes on: {good} in all."
            self._alarm(words)
