"""A server for a test, in a process of its own, and what its screens are."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import TYPE_CHECKING, Self, TypeVar

from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from judgekit.files.folder import EventFolder

B = TypeVar("B")
PATIENCE_S = 60.0
_ROOT = Path(__file__).parents[2]


class Serving:
    """`judgekit serve` on a free port of this machine alone, once it is ready."""

    def __init__(
        self, event: Path, *more: str, env: Mapping[str, str] | None = None
    ) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "judgekit", "serve", event, "--port=0", *more],
            cwd=_ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, **(env or {})},
        )
        said = threading.Event()
        self.text = ""
        self._reader = threading.Thread(target=self._read, args=(said,), daemon=True)
        self._reader.start()
        assert said.wait(PATIENCE_S), self.text
        found = re.search(r"http://127\.0\.0\.1:\d+/#\S+", self.text)
        assert found is not None, self.text
        self.link = found[0]
        self.base, _, self.token = self.link.partition("/#")
        listed = re.findall(r"^  (\S.*?) +(\d{4})$", self.text, re.MULTILINE)
        self.pins: dict[str, str] = dict(listed)

    def _read(self, said: threading.Event) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.text += line
            if "Ctrl+C" in line:
                said.set()
        said.set()

    def screens(self) -> list[int]:
        """The processes of its screens, by what their environment says."""
        return screens_of(self.process.pid)

    def until_screens(self, many: int) -> list[int]:
        """Its screens, once there are so many."""
        until(lambda: len(self.screens()) == many)
        return self.screens()

    def kill(self) -> None:
        """As by a crash: nothing is said to anybody."""
        self.process.kill()
        self.process.wait(PATIENCE_S)

    def close(self) -> int:
        """End it as Ctrl+C does; its exit code."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        code = self.process.wait(PATIENCE_S)
        self._reader.join(PATIENCE_S)
        for pipe in (self.process.stdout, self.process.stderr):
            if pipe is not None:
                pipe.close()
        return code

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def under_way(folder: Path, reps: int = 500) -> EventFolder:
    """The small event, heat 1 under way on lane 1 for 20 s, its log closed."""
    event = write_event(folder)
    path = event / "workouts" / "quayside.toml"
    one = WORKOUT.replace("rounds = 2", "rounds = 1").replace("[3, 2]", str(reps))
    path.write_text(one, encoding="utf-8")
    loaded = load_event(event)
    clock = SystemClock()
    desk, _ = open_desk(loaded, Wish(heat="1", lanes=(1,)), clock)
    desk.call_go(boot_ms=clock.boot_ms() - 30_000)
    desk.close()
    return loaded


def to_judge(folder: Path) -> EventFolder:
    """The small event with five reps to do, nothing of it begun."""
    event = write_event(folder)
    path = event / "workouts" / "quayside.toml"
    one = WORKOUT.replace("rounds = 2", "rounds = 1").replace("[3, 2]", "3")
    path.write_text(one, encoding="utf-8")
    return load_event(event)


def bodies(folder: EventFolder, kind: type[B]) -> list[B]:
    """What the log holds of one kind."""
    copies = read_all(folder.log)
    return [e.body for c in copies for e in c.entries if isinstance(e.body, kind)]


def screens_of(server: int) -> list[int]:
    """The processes that a server of that number began and that still run."""
    named = f"JUDGEKIT_SERVER={server}".encode()
    return [
        int(folder.name)
        for folder in Path("/proc").iterdir()
        if folder.name.isdecimal() and _runs_with(folder, named)
    ]


def _runs_with(process: Path, named: bytes) -> bool:
    try:
        around = (process / "environ").read_bytes().split(b"\0")
        state = (process / "stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z" and named in around


def until(holds: Callable[[], bool], within_s: float = PATIENCE_S) -> None:
    """Wait for that; an AssertionError if it does not come to hold in that time."""
    limit = time.monotonic() + within_s
    while not holds():
        assert time.monotonic() < limit, "it never came to hold"
        time.sleep(0.02)
