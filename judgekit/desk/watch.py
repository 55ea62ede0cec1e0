"""Steps of the clocks, sleep, and a program that stood still: noticed, never mended."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import ClockJump, Gap
from judgekit.core.quantity import show_time

if TYPE_CHECKING:
    from judgekit.desk.clock import Clock

# Two clocks that part by more than this were stepped, or one of them slept.
JUMP_MS = 250
# For so long after a standstill keys may still be read that were pressed during it.
FIRST_MS = 500


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


class Standstill:
    """Notices that the whole program was stopped while it only waited.

    Keys pressed meanwhile are stamped when they are read, so that the first ones
    after it may be late by as long as it lasted. `since` and `until` are moments of
    the boot clock, until when a press is one of those.
    """

    def __init__(self, clock: Clock, wait_ms: int) -> None:
        self._clock = clock
        self._most_ms = wait_ms + JUMP_MS
        self._waits = clock.awake_ms()
        self._since = 0
        self._until = 0
        self.ms = 0

    def waits(self) -> None:
        """The desk begins to wait."""
        self._waits = self._clock.awake_ms()

    def woke(self) -> str:
        """The desk waits no more; words for the screen if it slept too long."""
        waited = self._clock.awake_ms() - self._waits
        if waited <= self._most_ms:
            return ""
        now = self._clock.boot_ms()
        self.ms = waited
        self._since, self._until = now - JUMP_MS, now + FIRST_MS
        return self.words

    @property
    def words(self) -> str:
        """How long it was, and what to do about it."""
        return (
            f"The program stood still for {self.ms / 1000:.1f} s. Presses just after "
            "may be that late: check the count"
        )

    def doubts(self, boot_ms: int) -> Gap | None:
        """What the log says before the first press that may be late, once."""
        if not self._since < boot_ms <= self._until:
            return None
        self._since = self._until
        return Gap(off_ms=self.ms, why="the program stood still; the next may be late")
