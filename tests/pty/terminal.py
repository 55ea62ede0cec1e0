"""A real terminal for one program: bytes in, a screen out, signals between."""

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
import threading
import time
from pathlib import Path
from typing import TYPE_CHECKING, Self

import pyte

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

# Makes the pseudo-terminal the controlling one, as a terminal emulator does.
_LAUNCH = (
    "import fcntl,os,sys,termios;fcntl.ioctl(0,termios.TIOCSCTTY,0);"
    "os.execv(sys.argv[1],sys.argv[1:])"
)
PATIENCE_S = 30.0
# How a terminal that shows whole frames only is asked, answers, and is told of one.
_ASKED, _ANSWER = b"\x1b[?2026$p", b"\x1b[?2026;2$y"
_BEGIN, _END = b"\x1b[?2026h", b"\x1b[?2026l"
# How many bytes wait, as the system tells it.
_COUNT = struct.Struct("i")
_ROOT = Path(__file__).parents[2]


class Terminal:
    """Runs `python -m judgekit ...` in a pseudo-terminal and keeps what it painted.

    A `framed` one shows whole frames only, as many terminals do: what was still being
    drawn when the program was killed never stood on it.
    """

    def __init__(
        self,
        arguments: Sequence[str],
        *,
        folder: Path,
        size: tuple[int, int] = (80, 24),
        env: Mapping[str, str] | None = None,
        framed: bool = False,
    ) -> None:
        columns, rows = size
        self._frames = _Frames() if framed else None
        self.screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = bytearray()
        self._changed = threading.Condition()
        self._reads = threading.Event()
        self._reads.set()
        self._master, slave = pty.openpty()
        self._name = os.ttyname(slave)
        _set_size(slave, columns, rows)
        command = [sys.executable, "-c", _LAUNCH, sys.executable, "-m", "judgekit"]
        self.process = subprocess.Popen(
            [*command, *arguments],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
            cwd=folder,
            env=_environment(env),
        )
        os.close(slave)
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def send(self, data: str | bytes) -> None:
        """Bytes as a keyboard would send them, in one write."""
        os.write(self._master, data.encode() if isinstance(data, str) else data)

    def read_all(self) -> bool:
        """Whether the program has read every byte sent; so too once it has ended."""
        try:
            slave = os.open(self._name, os.O_RDONLY | os.O_NOCTTY)
        except OSError:
            return True
        try:
            left = fcntl.ioctl(slave, termios.FIONREAD, bytes(_COUNT.size))
        finally:
            os.close(slave)
        return left == bytes(_COUNT.size)

    def echoes(self) -> bool:
        """Whether it shows by itself what is typed."""
        slave = os.open(self._name, os.O_RDONLY | os.O_NOCTTY)
        try:
            return bool(termios.tcgetattr(slave)[3] & termios.ECHO)
        finally:
            os.close(slave)

    def text(self) -> str:
        """The screen as it stands, one line a row."""
        with self._changed:
            return "\n".join(self.screen.display)

    def wait_for(self, seen: str | Callable[[str], bool]) -> str:
        """The screen once it shows that; AssertionError with the screen if never."""
        shows = (lambda text: seen in text) if isinstance(seen, str) else seen
        limit = time.monotonic() + PATIENCE_S
        with self._changed:
            while True:
                text = "\n".join(self.screen.display)
                if shows(text):
                    return text
                left = limit - time.monotonic()
                if left <= 0 or not self._changed.wait(left):
                    raise AssertionError(
                        f"never seen: {seen!r}; the screen was\n{text}"
                    )

    def signal(self, number: signal.Signals) -> None:
        """A signal to the program."""
        self.process.send_signal(number)

    def resize(self, columns: int, rows: int) -> None:
        """Another size, as a dragged window has."""
        with self._changed:
            self.screen.resize(rows, columns)
        _set_size(self._master, columns, rows)
        self.signal(signal.SIGWINCH)

    def stall(self) -> None:
        """Nothing that the program paints is taken any more."""
        self._reads.clear()

    def flow(self) -> None:
        """What was painted meanwhile is taken, and all that follows."""
        self._reads.set()

    def hang_up(self) -> None:
        """The terminal window is closed."""
        os.close(self._master)
        self._master = -1

    def ended(self) -> int:
        """The exit status, once the program has ended and all it painted was read."""
        status = self.process.wait(PATIENCE_S)
        self._reader.join(PATIENCE_S)
        return status

    def close(self) -> None:
        """End the program if it still runs."""
        self.flow()
        if self.process.poll() is None:
            self.process.kill()
        self.ended()
        if self._master >= 0:
            os.close(self._master)
            self._master = -1

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _read(self) -> None:
        while True:
            self._reads.wait()
            master = self._master
            if master < 0:
                return
            try:
                ready, _, _ = select.select([master], [], [], 0.2)
                data = os.read(master, 65536) if ready else None
            except (OSError, ValueError):
                data = b""
            if data == b"":
                return
            if data:
                self._show(data)

    def _show(self, data: bytes) -> None:
        with self._changed:
            self.raw += data
            if self._frames is not None:
                if _ASKED in data:
                    self.send(_ANSWER)
                data = self._frames.whole(data)
            self._stream.feed(data)
            self._changed.notify_all()


class _Frames:
    """Holds back what belongs to a frame that is not complete yet."""

    def __init__(self) -> None:
        self._pending = b""

    def whole(self, data: bytes) -> bytes:
        """What may be shown by now."""
        self._pending += data
        done = self._pending.rfind(_END) + 1
        begun = self._pending.find(_BEGIN, done)
        if begun < 0:
            tail = self._pending.rfind(b"\x1b", done)
            cut = tail >= 0 and _BEGIN.startswith(self._pending[tail:])
            begun = tail if cut else len(self._pending)
        shown, self._pending = self._pending[:begun], self._pending[begun:]
        return shown


def _set_size(fd: int, columns: int, rows: int) -> None:
    fcntl.ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))


def _environment(more: Mapping[str, str] | None) -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if k != "NO_COLOR"}
    path = os.pathsep.join(filter(None, [str(_ROOT), kept.get("PYTHONPATH", "")]))
    return {**kept, "TERM": "xterm-256color", "PYTHONPATH": path, **(more or {})}
