"""One screen's process: begun without a shell, ended with its page, never left alone.

It speaks what Textual's web driver speaks: packets of a letter, four bytes of length
and the bytes themselves. `D` is the terminal's own stream, `M` is JSON.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from textual_serve.app_service import AppService

from judgekit.core.values import dataclass
from judgekit.ui.served import SERVER, WEB_DRIVER

if TYPE_CHECKING:
    from asyncio.subprocess import Process
    from collections.abc import Awaitable, Callable, Mapping, Sequence

# A screen drains its log before it ends; one that does not is ended.
END_S = 6.0
# How much of what a screen says at its end is kept.
_SAYS_MOST = 2000
_PRELUDE = b"__GANGLION__\n"
# What a screen needs of the environment; everything else stays here.
_KEPT = (
    "PATH",
    "HOME",
    "LANG",
    "LC_ALL",
    "LC_CTYPE",
    "TZ",
    "TMPDIR",
    "SYSTEMROOT",
    "TEMP",
    "USERPROFILE",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a screen ended: its exit code, and what it said last."""

    code: int
    says: str


def command(arguments: Sequence[str]) -> tuple[str, ...]:
    """The program and its arguments, one word each: no shell ever reads them."""
    return (sys.executable, "-P", "-m", "judgekit", *arguments)


def environment(
    size: tuple[int, int], around: Mapping[str, str] | None = None
) -> dict[str, str]:
    """What a screen's process knows of the machine: little, and nothing secret."""
    around = os.environ if around is None else around
    kept = {name: around[name] for name in _KEPT if name in around}
    columns, rows = size
    return kept | {
        "PYTHONPATH": str(Path(__file__).parents[2]),
        "PYTHONUTF8": "1",
        "TEXTUAL_DRIVER": WEB_DRIVER,
        "TEXTUAL_COLOR_SYSTEM": "truecolor",
        "TERM": "xterm-256color",
        "COLUMNS": str(columns),
        "ROWS": str(rows),
        SERVER: str(os.getpid()),
    }


class Child:
    """A screen's process. What it paints goes to `paint`, which may be slow or dead."""

    def __init__(
        self, process: Process, paint: Callable[[bytes], Awaitable[None]]
    ) -> None:
        self._process = process
        self._paint = paint
        self._deaf = False
        self._ending: asyncio.Task[Ended] | None = None
        self._said = bytearray()
        self._over = asyncio.create_task(self._read())

    @classmethod
    async def start(
        cls,
        arguments: Sequence[str],
        size: tuple[int, int],
        paint: Callable[[bytes], Awaitable[None]],
    ) -> Child:
        """Begin one; it is in a session of its own, as Ctrl+C is for the server."""
        process = await asyncio.create_subprocess_exec(
            *command(arguments),
            stdin=asyncio.subprocess.PIPE,
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.PIPE,
            env=environment(size),
            start_new_session=True,
        )
        return cls(process, paint)

    @property
    def pid(self) -> int:
        """The process."""
        return self._process.pid

    async def ended(self) -> Ended:
        """How it ended, once it has."""
        return await asyncio.shield(self._over)

    async def type(self, text: str) -> None:
        """Keys, as a terminal sends them."""
        await self._send(b"D", text.encode())

    async def tell(self, **meta: object) -> None:
        """A size, a tap, or codes."""
        await self._send(b"M", json.dumps(meta).encode())

    async def end(self) -> Ended:
        """Let it write what was pressed and end, or end it; calling again is safe.

        What tells it is the end of its pipe, as when this server is killed.
        """
        if self._ending is None:
            self._ending = asyncio.create_task(self._end())
        return await asyncio.shield(self._ending)

    async def _end(self) -> Ended:
        # A page that takes nothing must not keep the screen from ending.
        self._deaf = True
        if self._process.stdin is not None:
            self._process.stdin.close()
        done, _ = await asyncio.wait([self._over], timeout=END_S)
        if not done:
            with suppress(ProcessLookupError):
                self._process.kill()
        return await self._over

    async def _send(self, kind: Literal[b"D", b"M"], payload: bytes) -> None:
        stdin = self._process.stdin
        if stdin is None or stdin.is_closing():
            return
        packet = AppService.encode_packet(kind, payload)
        with suppress(ConnectionError, RuntimeError):
            stdin.write(packet)
            await stdin.drain()

    # --- reading ----------------------------------------------------------------------

    async def _read(self) -> Ended:
        """Everything that it writes, to the end: a full pipe would hold it up."""
        assert self._process.stderr is not None  # noqa: S101 - it was begun with pipes
        talk = asyncio.create_task(self._listen(self._process.stderr))
        with suppress(asyncio.IncompleteReadError, ConnectionError):
            await self._read_packets()
        await talk
        code = await self._process.wait()
        says = self._said[-_SAYS_MOST:].decode("utf-8", "replace").strip()
        return Ended(code=code, says=says)

    async def _read_packets(self) -> None:
        stdout = self._process.stdout
        assert stdout is not None  # noqa: S101 - it was begun with pipes
        async for line in stdout:
            if line == _PRELUDE:
                break
            self._said += line
        while True:
            head = await stdout.readexactly(5)
            payload = await stdout.readexactly(int.from_bytes(head[1:], "big"))
            if head[:1] == b"D" and not self._deaf:
                await self._painted(payload)

    async def _painted(self, payload: bytes) -> None:
        try:
            await self._paint(payload)
        except (ConnectionError, RuntimeError, TimeoutError):
            self._deaf = True

    async def _listen(self, stderr: asyncio.StreamReader) -> None:
        while data := await stderr.read(4096):
            self._said += data
            del self._said[: -2 * _SAYS_MOST]
