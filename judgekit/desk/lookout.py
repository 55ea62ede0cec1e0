"""The thread of whoever looks on: it reads beside the screen, and writes."""

from __future__ import annotations

import threading
from collections import deque
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.desk.onlooker import HeatSeen, Onlooker

    # Told the heats as they are by now, and what cannot be read, if anything.
    Tell = Callable[[tuple[HeatSeen, ...], str], object]

# So often there is a look: a rep is on the wall well within a second.
LOOK_S = 0.25


class Lookout:
    """Looks four times a second, tells what is new, and does jobs between looks.

    Books are written by the thread that looks: jobs are given with `soon`, and `at_end`
    is its last one.
    """

    def __init__(
        self, onlooker: Onlooker, at_end: Callable[[], None] | None = None
    ) -> None:
        self._onlooker = onlooker
        self._at_end = at_end
        self._tell: Tell | None = None
        self._wrong = ""
        self._jobs: deque[Callable[[], None]] = deque()
        self._wake = threading.Event()
        self._ended = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, tell: Tell) -> None:
        """Begin to look; `tell` is called from that thread."""
        self._tell = tell
        self._thread = threading.Thread(target=self._run, name="lookout", daemon=True)
        self._thread.start()

    def soon(self, job: Callable[[], None]) -> None:
        """Do that before the next look, which follows at once."""
        self._jobs.append(job)
        self._wake.set()

    @property
    def at_stake(self) -> int:
        """How many jobs are not done yet."""
        return len(self._jobs)

    def close(self, why: str = "") -> None:  # noqa: ARG002 - what ends it is in no log
        """Do what was given, and look no more. Safe to call twice, in any thread."""
        self._ended.set()
        self._wake.set()
        if self._thread is not None:
            self._thread.join()

    def _run(self) -> None:
        while not self._ended.is_set():
            self._wake.clear()
            self._work_off()
            self._look()
            self._wake.wait(LOOK_S)
        self._work_off()
        if self._at_end is not None:
            self._at_end()

    def _look(self) -> None:
        """One look. Whatever fails must not end the looking, nor stay unsaid."""
        new = False
        try:
            new = self._onlooker.look()
            wrong = self._onlooker.wrong
        except Exception as error:  # noqa: BLE001 - a log may come from anywhere
            wrong = f"{type(error).__name__}: {error}"
        if self._tell is not None and (new or wrong != self._wrong):
            self._tell(self._onlooker.heats, wrong)
        self._wrong = wrong

    def _work_off(self) -> None:
        while self._jobs:
            self._jobs[0]()
            self._jobs.popleft()
