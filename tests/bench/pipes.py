"""A screen as a server begins it: keys and pictures in packets, through pipes."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from typing import TYPE_CHECKING

from textual_serve.app_service import AppService

from judgekit.web.child import environment as served
from tests.bench.console import Console, environment

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

_SIZE = (80, 24)


class Pipes(Console):
    """One program that draws for a browser. Whoever does not `wait` must `drain`."""

    def __init__(
        self, command: Sequence[str], *, folder: Path, env: Mapping[str, str]
    ) -> None:
        self._seen = bytearray()
        self.began = time.perf_counter()
        self.process = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
            cwd=folder,
            env={**served(_SIZE), **environment(env)},
        )
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self._master = self.process.stdout.fileno()
        self._keys = self.process.stdin.fileno()

    def press(self, keys: bytes) -> float:
        self.drain()
        self._seen.clear()
        moment = time.perf_counter()
        self.add(keys)
        return moment

    def add(self, keys: bytes) -> None:
        os.write(self._keys, AppService.encode_packet(b"D", keys))

    def end(self, how: signal.Signals = signal.SIGKILL) -> None:
        self.process.send_signal(how)
        self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe is not None:
                pipe.close()
