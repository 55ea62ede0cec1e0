"""A program in a real terminal whose clock the test moves by hand: no minute passes."""

from __future__ import annotations

import mmap
import os
import struct
from pathlib import Path

# Run at the start of the child's Python. A key has the time that the hands show when it
# is handled, so they stay where they are until the screen shows what it did. That they
# leap is no sleep of the computer, and the screen looks at them more often than at a
# clock that runs.
SITE = """
import mmap, os, struct
import judgekit.desk.clock as clock
import judgekit.desk.watch as watch
import judgekit.ui.screens.floor as floor
import judgekit.ui.screens.heard as heard
with open(os.environ["HANDS"], "rb") as file:
    HANDS = mmap.mmap(file.fileno(), 8, access=mmap.ACCESS_READ)
def hands(_clock):
    return struct.unpack_from("q", HANDS)[0]
for name in ("boot_ms", "awake_ms", "wall_ms"):
    setattr(clock.SystemClock, name, hands)
watch.JUMP_MS = 10**9
heard.monotonic = lambda: 0.0
floor._SECOND_MS = floor._TENTH_MS = 100
"""
# 2027-06-12, 07:00 UTC: the day of the examples.
_DAWN_MS = 1_812_783_600_000
_ROOT = Path(__file__).parents[2]


class HandClock:
    """The clock of a program, in a file that both of them have open."""

    def __init__(self, site: Path) -> None:
        site.mkdir()
        (site / "sitecustomize.py").write_text(SITE, encoding="utf-8")
        hands = site / "hands"
        hands.write_bytes(bytes(8))
        with hands.open("r+b") as file:
            self._hands = mmap.mmap(file.fileno(), 8)
        self.env = {
            "PYTHONPATH": os.pathsep.join([os.fspath(site), os.fspath(_ROOT)]),
            "HANDS": os.fspath(hands),
        }
        self.ms = 0
        self.set(_DAWN_MS)

    def set(self, ms: int) -> None:
        """What every clock of the program shows from now on."""
        self.ms = ms
        struct.pack_into("q", self._hands, 0, ms)

    def wait(self, ms: int) -> None:
        """So much later."""
        self.set(self.ms + ms)
