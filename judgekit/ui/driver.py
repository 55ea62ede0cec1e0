"""The terminal's keys, read by our own loop: no byte ends it, and a read is one read.

Only for systems with such terminals; see `judgekit.ui.app`.
"""

from __future__ import annotations

import os
import selectors
from codecs import getincrementaldecoder
from time import monotonic
from typing import TYPE_CHECKING

from textual.drivers.linux_driver import LinuxDriver
from textual.events import MouseEvent

from judgekit.ui.compat import KeyParser, as_one_read

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.message import Message

_READ_BYTES = 4096
# Escape alone is known by nothing coming after it for so long.
_LOOK_S = 0.05


class KeyDriver(LinuxDriver):
    """Textual's driver, with its keys stamped when they were read."""

    def start_application_mode(self) -> None:
        super().start_application_mode()  # type: ignore[no-untyped-call]
        if self._writer_thread is not None:
            # A terminal that takes nothing must not keep keys from the log: what is
            # painted meanwhile is little, and waits.
            self._writer_thread._queue.maxsize = 0  # noqa: SLF001 - nothing public

    def _get_terminal_size(self) -> tuple[int, int]:
        """The size of the terminal itself.

        Textual asks the environment first, where COLUMNS and LINES of an earlier shell
        would hold the Floor at one size whatever becomes of its window, and then
        standard output, which may be a file.
        """
        try:
            return os.get_terminal_size(self.fileno)
        except OSError:
            return super()._get_terminal_size()

    def run_input_thread(self) -> None:
        parser = KeyParser()
        decode = getincrementaldecoder("utf-8")(errors="replace").decode
        with selectors.SelectSelector() as selector:
            selector.register(self.fileno, selectors.EVENT_READ)
            at = monotonic()
            while not self.exit_event.is_set():
                if selector.select(_LOOK_S):
                    data = os.read(self.fileno, _READ_BYTES)
                    at = monotonic()
                    if not data:
                        # The terminal has gone; whoever watches it ends the program.
                        return
                    # Half a letter is no text yet; an empty one would end the parser.
                    if text := decode(data):
                        self._hand_over(parser.feed(text), at)
                self._hand_over(parser.tick(), at)

    def _hand_over(self, said: Iterable[Message], at: float) -> None:
        for message in as_one_read(said, at):
            # A terminal that was not asked for its mouse may send it all the same.
            if self._mouse or not isinstance(message, MouseEvent):
                self.process_message(message)
