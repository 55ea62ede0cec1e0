"""Who was stopped on an earlier day and goes today, asked while the Floor is in use.

It is what `judgekit exposure` tells, by another process: reading the logs of weeks
would make keys wait in this one. Where there is no earlier day, nobody is asked.
"""

from __future__ import annotations

import os
import sys
import threading
from contextlib import suppress
from typing import TYPE_CHECKING

from judgekit.core.errors import InputError
from judgekit.files.siblings import folders_in
from judgekit.ui.served import SERVER

if TYPE_CHECKING:
    import subprocess
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from judgekit.core.people import HeatLane

# Whoever waits longer than this has the heat behind them.
_PATIENCE_S = 300.0
# Of two processes that want the processor, the one with keys has it.
_NICE = 10


class StoppedBefore:
    """How many days ago whoever goes in a heat was last stopped, by bib.

    Empty where nobody was, or where it cannot be told: `judgekit exposure` says why.
    `earlier` says that the event itself has an earlier day. Ended, it asks nobody any
    more.
    """

    def __init__(self, event: Path, heat: str, *, earlier: bool) -> None:
        self._event = event
        self._heat = heat
        self._earlier = earlier
        self._lock = threading.Lock()
        self._asked: list[subprocess.Popen[bytes]] = []
        self._ended = False

    def __call__(self) -> Mapping[str, int]:
        # Imported here, as nobody asks before the Floor stands.
        import json
        from subprocess import SubprocessError

        if not (self._earlier or _has_log_beside(self._event)):
            return {}
        try:
            told = json.loads(self._told())
            stops = [(str(one["bib"]), int(one["days_ago"])) for one in told["stops"]]
        except (OSError, ValueError, KeyError, TypeError, SubprocessError):
            return {}
        newest: dict[str, int] = {}
        for bib, days in stops:
            newest[bib] = min(days, newest.get(bib, days))
        return newest

    def end(self) -> None:
        """The Floor is closed: nobody waits for an answer."""
        with self._lock:
            self._ended = True
            for asked in self._asked:
                asked.kill()

    def _told(self) -> bytes:
        with self._begun() as asked:
            try:
                return asked.communicate(timeout=_PATIENCE_S)[0]
            finally:
                asked.kill()

    def _begun(self) -> subprocess.Popen[bytes]:
        from subprocess import DEVNULL, PIPE, Popen

        # Without -P whatever lies in the current folder would be imported first.
        words = [sys.executable, "-P", "-m", "judgekit", "exposure"]
        words += [os.fspath(self._event.resolve()), "--heat", self._heat]
        # It is none of a server's screens.
        around = {name: says for name, says in os.environ.items() if name != SERVER}
        with self._lock:
            if self._ended:
                raise ChildProcessError("nobody waits for it")
            asked = Popen(  # noqa: S603 - our own program, no shell
                [*words, "--format", "json"],
                stdin=DEVNULL,
                stdout=PIPE,
                stderr=DEVNULL,
                env=around,
                # A key that ends the Floor is none of its business.
                start_new_session=True,
            )
            self._asked.append(asked)
        _step_back(asked.pid)
        return asked


def has_earlier_day(rows: Iterable[HeatLane], heat: str) -> bool:
    """Whether the heat list has a day before that of the heat."""
    days = {row.heat: row.date for row in rows}
    return any(day < days.get(heat, "") for day in days.values())


def _has_log_beside(event: Path) -> bool:
    """Whether an event beside this one has a log; if unsure, it has."""
    here = event.resolve()
    try:
        beside = folders_in(here.parent, here)
        return any((folder / "log").is_dir() for folder in beside)
    except (InputError, OSError):
        return True


def _step_back(process: int) -> None:
    """Let keys come first, where a system knows of such an order."""
    if hasattr(os, "setpriority"):
        with suppress(OSError):
            mine = os.getpriority(os.PRIO_PROCESS, 0)
            os.setpriority(os.PRIO_PROCESS, process, max(_NICE, mine))
