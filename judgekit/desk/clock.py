"""The machine's clocks, the only place where time is read."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Protocol

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


class Clock(Protocol):
    """What a desk asks of time; tests bring their own."""

    @property
    def boot(self) -> str:
        """An id of this boot of the machine."""
        ...

    def boot_ms(self) -> int:
        """Whole ms on the clock that runs on through sleep."""
        ...

    def awake_ms(self) -> int:
        """Whole ms on the clock that stands still in sleep, where there is one."""
        ...

    def wall_ms(self) -> int:
        """UTC, whole ms since 1970."""
        ...


class SystemClock:
    """The clocks of the machine at hand."""

    def __init__(self) -> None:
        self._boot = _boot_id()

    @property
    def boot(self) -> str:
        return self._boot

    def boot_ms(self) -> int:
        # Linux keeps a clock that runs through sleep; elsewhere the monotonic clock
        # is the nearest thing (on Windows it does include sleep).
        kind = getattr(time, "CLOCK_BOOTTIME", None)
        if kind is None:
            return time.monotonic_ns() // 1_000_000
        return time.clock_gettime_ns(kind) // 1_000_000

    def awake_ms(self) -> int:
        return time.monotonic_ns() // 1_000_000

    def wall_ms(self) -> int:
        return time.time_ns() // 1_000_000


def _boot_id() -> str:
    try:
        return _BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:
        # Without a boot id every process counts as a boot of its own: coming back
        # then goes by the wall clock and says so.
        from uuid import uuid4

        return uuid4().hex
