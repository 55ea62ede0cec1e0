"""Steps of the wall clock and sleep of the machine: noticed, never silently mended."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import ClockJump, Gap
from judgekit.core.quantity import show_time

if TYPE_CHECKING:
    from judgekit.desk.clock import Clock

# Two clocks that part by more than this were stepped, or one of them slept.
JUMP_MS = 250


class ClockWatch:
    """Compares the machine's clocks with each other since it last looked."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._step, self._nap = self._apart()

    def look(self) -> list[tuple[ClockJump | Gap, str]]:
        """What happened since, as bodies of entries with the words for the screen."""
        step, nap = self._apart()
        stepped, slept = step - self._step, nap - self._nap
        self._step, self._nap = step, nap
        seen: list[tuple[ClockJump | Gap, str]] = []
        if slept > JUMP_MS:
            why = f"the computer slept {show_time(slept)}"
            seen.append((Gap(off_ms=0, why=why), f"{why}; the heat clock ran on"))
        if abs(stepped) > JUMP_MS:
            says = f"clock jumped {stepped / 1000:g} s; the heat clock ran on"
            seen.append((ClockJump(by_ms=stepped), says))
        return seen

    def _apart(self) -> tuple[int, int]:
        boot = self._clock.boot_ms()
        return self._clock.wall_ms() - boot, boot - self._clock.awake_ms()
