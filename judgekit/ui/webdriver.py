"""A browser's keys and taps, read from the server's pipe, each with its own time."""

from __future__ import annotations

import os
import selectors
from codecs import getincrementaldecoder
from contextlib import suppress
from threading import current_thread
from time import monotonic

from textual.drivers._byte_stream import ByteStream
from textual.drivers.web_driver import WebDriver
from textual.events import MouseEvent
from textual.message import Message

from judgekit.ui.athletecodes import told_anew
from judgekit.ui.compat import KeyParser, as_one_read
from judgekit.ui.served import CUT

_READ_BYTES = 4096
# Escape alone is known by nothing coming after it for so long.
_LOOK_S = 0.05
# A tap older than this was no tap of this moment, whatever the page's clock says.
OLDEST_S = 10.0


class Tapped(Message, bubble=False):
    """A finger came down on a cell of the screen, at a time of the monotonic clock."""

    def __init__(self, x: int, y: int, at: float) -> None:
        super().__init__()
        self.x = x
        self.y = y
        self.at = at


class Cut(Message, bubble=False):
    """The page, or the server, has gone."""


class PageDriver(WebDriver):
    """Textual's driver for browsers, with our own parser, taps, and a sure end.

    It asks for no mouse: a finger's taps come as such, and the mouse events that a
    browser makes of them would count twice. Signals stay with `judgekit.ui.ending`.
    """

    # When the newest tap was.
    _newest = 0.0
    # A screen that failed is followed by another on the same pipe: what has come of a
    # packet is kept, and the server is greeted once.
    _stream = ByteStream()
    _greeted = False

    def start_application_mode(self) -> None:
        if not PageDriver._greeted:
            PageDriver._greeted = True
            self._write(b"__GANGLION__\n")
        self.write("\x1b[?1049h\x1b[?25l")
        columns, rows = self._size or (80, 24)
        self.on_meta("resize", {"width": columns, "height": rows})
        self._request_terminal_sync_mode_support()
        self._enable_bracketed_paste()
        self._key_thread.start()

    def disable_input(self) -> None:
        """What comes from now on is the next screen's."""
        self.exit_event.set()
        if self._key_thread.is_alive() and current_thread() is not self._key_thread:
            self._key_thread.join()

    def write(self, data: str) -> None:
        # A server that was killed reads nothing; its end is found where it is read.
        with suppress(OSError):
            super().write(data)

    def write_meta(self, data: dict[str, object]) -> None:
        with suppress(OSError):
            super().write_meta(data)

    def run_input_thread(self) -> None:
        parser = KeyParser()
        decode = getincrementaldecoder("utf-8")(errors="replace").decode
        with selectors.SelectSelector() as selector:
            selector.register(0, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                said: list[Message] = []
                at = monotonic()
                if selector.select(_LOOK_S):
                    data = os.read(0, _READ_BYTES)
                    at = monotonic()
                    if not data:
                        self._cut()
                        return
                    for kind, payload in self._stream.feed(data):
                        if kind != "D":
                            self._on_meta(kind, payload)
                        elif text := decode(payload):
                            said += parser.feed(text)
                said += parser.tick()
                self._hand_over(said, at)

    def _hand_over(self, said: list[Message], at: float) -> None:
        for message in as_one_read(said, at):
            if not isinstance(message, MouseEvent):
                self.process_message(message)

    def on_meta(self, packet_type: str, payload: dict[str, object]) -> None:
        if packet_type == "tap":
            x, y, at = (payload.get(name) for name in ("x", "y", "at"))
            if isinstance(x, int) and isinstance(y, int) and isinstance(at, int):
                self._tapped(x, y, at / 1000)
        elif packet_type == "codes":
            told_anew(str(payload["codes"]))
        elif packet_type == "resize":
            super().on_meta(packet_type, payload)

    def _tapped(self, x: int, y: int, at: float) -> None:
        """No tap is of the future, of long ago or out of turn, whatever a page says."""
        now = monotonic()
        self._newest = max(self._newest, now - OLDEST_S, min(at, now))
        self._app.post_message(Tapped(x, y, self._newest))

    def _cut(self) -> None:
        CUT.set()
        self._app.post_message(Cut())
