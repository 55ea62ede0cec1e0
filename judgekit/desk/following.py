"""The follower: reads the heat's other books, off the key path, and tells its desk."""

from __future__ import annotations

import threading
from contextlib import suppress
from typing import TYPE_CHECKING

from judgekit.core.errors import BookError
from judgekit.store import sqlite
from judgekit.store.folder import book_paths

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.desk.door import Desk
    from judgekit.store.sqlite import ReadOnlyBook

BEFORE_GO_S = 0.1
AFTER_GO_S = 1.0


class Follower:
    """Ten looks a second until go, then one. It only ever reads."""

    def __init__(self, desk: Desk, log: Path) -> None:
        self._desk = desk
        self._log = log
        self._own = f"{desk.book_id}{sqlite.SUFFIX}"
        self._books: dict[Path, tuple[ReadOnlyBook, int]] = {}
        self._foreign: set[Path] = set()
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Start looking, in a thread of its own."""
        self._thread = threading.Thread(target=self._run, name="follower", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Stop looking. Safe to call twice."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join()
            self._thread = None

    def look(self) -> None:
        """One look: what is new in the other books of this heat goes to the desk."""
        news: list[Entry] = []
        for path in book_paths(self._log):
            if path.name != self._own and path not in self._foreign:
                news += self._new_entries(path)
        news.sort(key=lambda e: (e.wall, e.book, e.number))
        self._desk.hear(news)

    def _run(self) -> None:
        while not self._stop.is_set():
            # A folder that is gone for a moment must not end the looking for good.
            with suppress(OSError):
                self.look()
            waiting = self._desk.zero_boot_ms is None
            self._stop.wait(BEFORE_GO_S if waiting else AFTER_GO_S)

    def _new_entries(self, path: Path) -> list[Entry]:
        try:
            book, seen = self._books.get(path) or (sqlite.read(path), 0)
            # A copy, also one that a rescue is about to name, says nothing new.
            if book.heat != self._desk.heat or path.stem != book.id:
                self._foreign.add(path)
                return []
            entries = book.entries(after=seen)
        except BookError:
            # A book being made, or damaged: `log verify` names it; a look is no place
            # to stop counting for it.
            return []
        last = entries[-1].number if entries else seen
        self._books[path] = (book, last)
        return entries
