"""A desk that is still being opened: its log is read in a thread, behind a Floor.

What is pressed meanwhile is kept, and decided in its order once the desk is there:
nothing is decided on a log that was not read.
"""

from __future__ import annotations

import gc
import threading
from collections import deque
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from judgekit.desk.news import News, Reading, Ready
from judgekit.store.collector import collector_still

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from judgekit.core.state import Lane
    from judgekit.desk.clock import Clock
    from judgekit.desk.door import Desk
    from judgekit.desk.following import Follower


class Coming:
    """Stands in for a desk until `open_` has made it, or was refused with `error`.

    `open_` is given whom to tell how many percent are read, and gives a desk that is
    not started, with its follower. `planned` are the lanes as the files have them,
    before any entry. `kept` are the presses of a screen, as it was given them; whoever
    takes them out hands them to the desk.
    """

    def __init__(
        self,
        open_: Callable[[Callable[[int], None]], tuple[Desk, Follower | None]],
        *,
        planned: Mapping[int, Lane],
        clock: Clock,
        second: bool = False,
    ) -> None:
        self.clock = clock
        self.second = second
        self.kept: deque[Any] = deque()
        self.desk: Desk | None = None
        self.error: BaseException | None = None
        self._open = open_
        self._planned = planned
        self._follower: Follower | None = None
        self._thread: threading.Thread | None = None
        self._listener: Callable[[News], None] | None = None
        # Whoever listens hears of the end once, whichever of the two came first.
        self._lock = threading.Lock()
        self._over = threading.Event()
        self._handed = threading.Event()

    # --- what a screen asks of any desk ---

    @property
    def lanes(self) -> tuple[int, ...]:
        """The lanes that are judged here; once there is a desk, they may have grown."""
        return tuple(sorted(self._planned)) if self.desk is None else self.desk.lanes

    def lane(self, number: int) -> Lane:
        """A lane as it was planned, or as the desk has it."""
        if self.desk is None:
            return self._planned[number]
        return self.desk.lane(number)

    def heat_ms(self) -> None:
        """No heat time is known."""

    @property
    def zero_boot_ms(self) -> int | None:
        """Where zero lies, once that is known."""
        return None if self.desk is None else self.desk.zero_boot_ms

    def time_of(self, number: int) -> tuple[int, str]:
        """Which time a lane does its work, and why once more."""
        return (1, "") if self.desk is None else self.desk.time_of(number)

    @property
    def unsaved(self) -> int:
        """How many presses nobody took, or a closing desk had to give up."""
        return len(self.kept) + (0 if self.desk is None else self.desk.unsaved)

    @property
    def at_stake(self) -> int:
        """How many presses are not saved."""
        return len(self.kept) + (0 if self.desk is None else self.desk.at_stake)

    def listen(self, listener: Callable[[News], None]) -> None:
        """Be told how far it is and that it is over, from the reading thread."""
        with self._lock:
            self._listener = listener
            if self._over.is_set():
                self._tell(Ready())

    def listen_no_more(self) -> None:
        """Forget who listens: another screen takes over."""
        with self._lock:
            self._listener = None
        if self.desk is not None:
            self.desk.listen_no_more()

    # --- opening and closing ---

    def start(self) -> None:
        """Begin to read, in a thread of its own; once, however often it is asked."""
        with self._lock:
            if self._thread is not None or self._over.is_set():
                return
            self._thread = threading.Thread(target=self._run, name="opening")
        self._thread.start()

    def handed_over(self) -> None:
        """Nobody takes out what is kept any more: it was taken, or never will be."""
        self._handed.set()

    def close(self, why: str = "") -> None:
        """Close the desk, after what was kept for it; if need be once it is there.

        Safe to call twice, and from any thread: whoever calls waits for the end.
        """
        with self._lock:
            if self._thread is None:
                self._over.set()
        self._over.wait()
        if self.desk is not None:
            self._handed.wait()
            self.desk.close(why)
            with self._lock:
                follower, self._follower = self._follower, None
            if follower is not None:
                follower.close()

    def _run(self) -> None:
        # The log stays to the end: looking through it for rubbish costs keys, and the
        # first look a quarter of a second.
        with collector_still():
            try:
                self._begin()
            except BaseException as error:  # noqa: BLE001 - raised again by who opens
                self.error = error
            gc.freeze()
        with self._lock:
            self._over.set()
            self._tell(Ready())

    def _begin(self) -> None:
        desk, self._follower = self._open(self._read)
        desk.start()
        self.desk = desk
        if self._follower is not None:
            self._follower.start()

    def _read(self, percent: int) -> None:
        with self._lock:
            self._tell(Reading(percent=percent))

    def _tell(self, news: News) -> None:
        if self._listener is not None:
            # A screen that fails has its own alarm; the log is read all the same.
            with suppress(Exception):
                self._listener(news)
