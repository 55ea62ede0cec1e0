"""A bad Wi-Fi: a line to a server that stalls, and is cut, when a test says so."""

from __future__ import annotations

import asyncio
from contextlib import suppress


class Proxy:
    """Listens on a port of its own, and hands on both ways while the line is good."""

    def __init__(self) -> None:
        self.port = 0
        self._to = 0
        self._flows = asyncio.Event()
        self._flows.set()
        self._server: asyncio.Server | None = None
        self._writers: set[asyncio.StreamWriter] = set()
        self._tasks: set[asyncio.Task[None]] = set()

    async def start(self) -> None:
        """Begin to listen; where it leads is said afterwards."""
        self._server = await asyncio.start_server(self._came, "127.0.0.1", 0)
        self.port = self._server.sockets[0].getsockname()[1]

    def lead_to(self, port: int) -> None:
        """The server behind it."""
        self._to = port

    def stall(self) -> None:
        """Nothing gets through any more, and nobody is told."""
        self._flows.clear()

    def flow(self) -> None:
        """The line is good again."""
        self._flows.set()

    def cut(self) -> None:
        """Every connection breaks off."""
        for writer in self._writers:
            writer.transport.abort()

    async def close(self) -> None:
        """No more connections."""
        self.flow()
        self.cut()
        assert self._server is not None
        self._server.close()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)

    async def _came(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter
    ) -> None:
        this = asyncio.current_task()
        assert this is not None
        self._tasks.add(this)
        try:
            await self._flows.wait()
            there, back = await asyncio.open_connection("127.0.0.1", self._to)
            self._writers |= {writer, back}
            await asyncio.gather(
                self._hand_on(reader, back), self._hand_on(there, writer)
            )
        except OSError:
            writer.close()
        finally:
            self._tasks.discard(this)

    async def _hand_on(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter
    ) -> None:
        with suppress(OSError):
            while data := await reader.read(65536):
                await self._flows.wait()
                writer.write(data)
                await writer.drain()
        writer.close()
