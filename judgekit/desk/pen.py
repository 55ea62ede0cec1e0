"""The pen: turns drafts into numbered entries and makes them durable, or waits."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from judgekit.core.entry import Entry
from judgekit.core.errors import BookError
from judgekit.desk.news import News, Saved, Told, Unsaved
from judgekit.desk.slowness import SlowWatch
from judgekit.store.codec import encode_entry, encode_plan

if TYPE_CHECKING:
    import threading
    from collections.abc import Callable, Iterable, Sequence

    from judgekit.core.plan import Plan
    from judgekit.core.press import Draft
    from judgekit.desk.clock import Clock
    from judgekit.store.book import Book

RETRY_S = 1.0
CLOSING_TRIES = 3


class Unwritable(Exception):  # noqa: N818 - a fact about an entry, not a failure
    """An entry that no book could ever hold, however often it is tried."""


class Pen:
    """One book's only writer.

    A failed append is tried again each second, in place, so that order is kept, what
    befell the file being mended first where that can be done;
    only a desk that is closing gives up, after three tries, and says so. After that
    nothing later is written either: a log has no holes.
    """

    def __init__(
        self,
        book: Book,
        clock: Clock,
        *,
        tell: Callable[[News], None],
        waiting: Callable[[], int],
        closing: threading.Event,
    ) -> None:
        self.book = book
        self._clock = clock
        self._tell = tell
        self._waiting = waiting
        self._closing = closing
        self._given_up = False
        self.lost = 0
        self.slow = SlowWatch(tell=tell, waiting=waiting)
        self._mended_ms = clock.boot_ms()
        self._unmended = ""

    def wall_at(self, boot_ms: int) -> int:
        """The wall clock at a moment of the boot clock."""
        return self._clock.wall_ms() - (self._clock.boot_ms() - boot_ms)

    def entry(self, number: int, lane: int | None, draft: Draft, wall: int) -> Entry:
        """A draft as the entry it would be."""
        return Entry(
            book=self.book.id,
            number=number,
            lane=lane,
            at=draft.at,
            wall=wall,
            who=draft.who,
            set=draft.set,
            body=draft.body,
        )

    def write(
        self,
        drafts: Sequence[tuple[int | None, Draft]],
        *,
        boot_ms: int,
        plans: Iterable[Plan] = (),
    ) -> tuple[Entry, ...]:
        """The entries, durable, in one transaction; none if the desk gave up.

        Raises Unwritable for an entry that no book can hold.
        """
        if self._given_up:
            self._lose(len(drafts))
            return ()
        entries = self._numbered(drafts, boot_ms)
        sealed = [encode_plan(plan) for plan in plans]
        tries = failures = 0
        while why := self._why_not(entries, sealed):
            failures += 1
            tries += self._closing.is_set()
            if self._fails(why, tries):
                self._lose(len(drafts))
                return ()
        if failures:
            self._tell(Saved())
        return entries

    def write_first(
        self, drafts: Sequence[tuple[int | None, Draft]]
    ) -> tuple[Entry, ...]:
        """A sitting's first entries: a book that refuses these is not opened at all."""
        entries = self._numbered(drafts, self._clock.boot_ms())
        self.book.append(entries)
        return entries

    def look_after(self) -> None:
        """Off the key path, at most each second: see that the log is in its place."""
        now = self._clock.boot_ms()
        if self._given_up or now - self._mended_ms < RETRY_S * 1000:
            return
        self._mended_ms = now
        try:
            words = self.book.mend()
        except BookError as error:
            why = str(error)
            # The same trouble is told once; at the next press NOT SAVED stays.
            if why != self._unmended:
                self._tell(Told(says=f"NOT SAFE: {why}. Tried again each second."))
            self._unmended = why
            return
        if self._unmended and not words:
            words = "The log is safe again."
        self._unmended = ""
        if words:
            self._tell(Told(says=words))

    def _why_not(self, entries: Sequence[Entry], sealed: Sequence[bytes]) -> str:
        """Append, mending first what stands in the way; why it failed, else empty."""
        why = self._append(entries, sealed)
        if not why:
            return ""
        _check(entries)
        try:
            words = self.book.mend()
        except BookError as error:
            return str(error)
        if not words:
            return why
        self._tell(Told(says=words))
        return self._append(entries, sealed)

    def _append(self, entries: Sequence[Entry], sealed: Sequence[bytes]) -> str:
        """Why the append failed, empty once it is durable."""
        try:
            with self.slow.watched():
                self.book.append(entries, sealed)
        except BookError as error:
            return str(error)
        return ""

    def _numbered(
        self, drafts: Sequence[tuple[int | None, Draft]], boot_ms: int
    ) -> tuple[Entry, ...]:
        wall = self.wall_at(boot_ms)
        return tuple(
            self.entry(number, lane, draft, wall)
            for number, (lane, draft) in enumerate(drafts, self.book.last + 1)
        )

    def _fails(self, why: str, tries: int) -> bool:
        """Says that it failed and waits; whether it is given up."""
        waiting = self._waiting() + 1
        self._tell(Unsaved(waiting=waiting, why=why))
        if tries >= CLOSING_TRIES:
            self._given_up = True
            return True
        self.pause(RETRY_S)
        return False

    def _lose(self, many: int) -> None:
        self.lost += many
        presses = "press" if self.lost == 1 else "presses"
        self._tell(Told(says=f"{self.lost} {presses} could not be saved."))

    @staticmethod
    def pause(seconds: float) -> None:
        """Wait before the next try."""
        time.sleep(seconds)


def _check(entries: Iterable[Entry]) -> None:
    """A refused append is the disk's fault, unless no book could hold the entry."""
    for entry in entries:
        try:
            encode_entry(entry)
        except BookError as error:
            raise Unwritable(str(error)) from error
