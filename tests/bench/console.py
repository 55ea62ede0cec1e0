"""A pseudo-terminal that costs little: bytes in, and when certain bytes came out."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

ROOT = Path(__file__).parents[2]
PATIENCE_S = 60.0
_SIZE = (80, 24)
_READ = 1 << 16
_KEPT = 1 << 15
_CHANGING = ("NO_COLOR", "TEXTUAL_FPS", "PYTHONDONTWRITEBYTECODE")


class Console:
    """One program on a terminal of 80 x 24. Whoever does not `wait` must `drain`."""

    def __init__(
        self, command: Sequence[str], *, folder: Path, env: Mapping[str, str]
    ) -> None:
        self._master, slave = pty.openpty()
        columns, rows = _SIZE
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self._seen = bytearray()
        self.began = time.perf_counter()
        self.process = subprocess.Popen(
            command,
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
            cwd=folder,
            env=environment(env),
        )
        os.close(slave)

    def press(self, keys: bytes) -> float:
        """Keys as a keyboard sends them; what came out before is forgotten. When."""
        self.drain()
        self._seen.clear()
        moment = time.perf_counter()
        os.write(self._master, keys)
        return moment

    def add(self, keys: bytes) -> None:
        """More keys, and everything that comes out is still looked at."""
        os.write(self._master, keys)

    def wait(self, *markers: bytes) -> float:
        """When one of the markers had come out; AssertionError if none ever does."""
        limit = time.perf_counter() + PATIENCE_S
        while not any(marker in self._seen for marker in markers):
            if not self._read(limit - time.perf_counter()):
                tail = bytes(self._seen[-2000:])
                raise AssertionError(f"never seen: {markers!r}; the last was {tail!r}")
        return time.perf_counter()

    def drain(self) -> None:
        """Take what has come out, so that the program never waits for its terminal."""
        while self._read(0):
            del self._seen[:-_KEPT]

    def pss(self) -> int:
        """Memory in bytes, with shared pages divided among those who share them."""
        path = Path(f"/proc/{self.process.pid}/smaps_rollup")
        for line in path.read_text(encoding="ascii").splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1]) * 1024
        raise AssertionError(f"{path} has no Pss")

    def end(self, how: signal.Signals = signal.SIGKILL) -> None:
        """End the program; SIGTERM lets it close its book first."""
        if self._master < 0:
            return
        self.process.send_signal(how)
        while self.process.poll() is None:
            self._read(0.05)
            self._seen.clear()
        os.close(self._master)
        self._master = -1

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.end()

    def _read(self, seconds: float) -> bool:
        """Whether anything came out in that time."""
        try:
            ready, _, _ = select.select([self._master], [], [], max(0.0, seconds))
            data = os.read(self._master, _READ) if ready else b""
        except OSError:  # the program has ended
            return False
        self._seen += data
        return bool(data)


def environment(more: Mapping[str, str]) -> dict[str, str]:
    """This environment without what would change a screen, and `more`.

    Python keeps what it compiles, as it does wherever judgekit is installed: without,
    every start would compile judgekit anew, but not the libraries of its floor.
    """
    kept = {k: v for k, v in os.environ.items() if k not in _CHANGING}
    return {
        **kept,
        "TERM": "xterm-256color",
        "PYTHONUTF8": "1",
        "PYTHONPATH": str(ROOT),
        **more,
    }


def python(*arguments: str) -> list[str]:
    """A command of this Python."""
    return [sys.executable, *arguments]


def drain_all(consoles: Iterable[Console]) -> None:
    """Every terminal that nobody waits for."""
    for console in consoles:
        console.drain()
