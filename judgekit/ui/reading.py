"""A long log is read behind a screen that says so, instead of a blank terminal."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Generic, TypeVar

from textual.app import App
from textual.widgets import Static

from judgekit.ui.compat import SureTimers, driver_for
from judgekit.ui.text import plain
from judgekit.ui.theme import JUDGEKIT

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual import events
    from textual.app import ComposeResult
    from textual.driver import Driver

Got = TypeVar("Got")
_WAIT = "Nothing counts until the Floor is here."


class ReadingApp(SureTimers, App[None], inherit_bindings=False):
    """One line about what is being read; it ends when the work is done."""

    TITLE = "judgekit"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    CSS = "Static { width: 1fr; padding: 1 2; text-style: bold; }"

    def __init__(self, words: str, start: Callable[[ReadingApp], None]) -> None:
        super().__init__()
        self._words = words
        self._start = start
        self.register_theme(JUDGEKIT)
        self.theme = JUDGEKIT.name

    def get_driver_class(self) -> type[Driver]:
        return driver_for(super().get_driver_class())

    def compose(self) -> ComposeResult:
        yield Static(plain(self._words), markup=False)

    def on_mount(self) -> None:
        # Reading takes the whole machine's attention, so the words come first.
        self.call_after_refresh(self._start, self)

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        self.query_one(Static).update(plain(f"{self._words} {_WAIT}"))

    async def action_quit(self) -> None:
        """Nothing ends it but the work's own end."""


class _Work(Generic[Got]):
    """Something done in a thread while a screen is shown; what it gave or raised."""

    def __init__(self, do: Callable[[], Got]) -> None:
        self._do = do
        self._got: list[Got] = []
        self._error: BaseException | None = None
        self._thread = threading.Thread(target=self._run, name="reading")
        self._app: ReadingApp | None = None

    def start(self, app: ReadingApp) -> None:
        self._app = app
        self._thread.start()

    def result(self) -> Got:
        """What the work gave; it is done here and now if no screen ever started it."""
        if self._thread.ident is None:
            return self._do()
        self._thread.join()
        if self._error is not None:
            raise self._error
        return self._got[0]

    def _run(self) -> None:
        try:
            self._got.append(self._do())
        except BaseException as error:  # noqa: BLE001 - raised again where it is awaited
            self._error = error
        if self._app is not None:
            self._app.call_later(self._app.exit)


def while_reading(words: str, do: Callable[[], Got]) -> Got:
    """Do something long while a screen says `words`; its result, or what it raised."""
    work = _Work(do)
    ReadingApp(words, work.start).run(mouse=False)
    return work.result()
