"""The pen: turns drafts into numbered entries and makes them durable, or waits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import Entry
from judgekit.core.errors import BookError
from judgekit.desk.news import News, Saved, Told, Unsaved
from judgekit.store.codec import encode_plan

if TYPE_CHECKING:
    import threading
    from collections.abc import Callable, Iterable, Sequence

    from judgekit.core.plan import Plan
    from judgekit.core.press import Draft
    from judgekit.desk.clock import Clock
    from judgekit.store.book import Book

RETRY_S = 1.0
CLOSING_TRIES = 3


class Pen:
    """One book's only writer.

    A failed append is tried again each second, in place, so that order is kept;
    only a desk that is closing gives up, after three tries, and says so.
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
        """The entries, durable, in one transaction; none if the desk gave up."""
        wall = self.wall_at(boot_ms)
        entries = tuple(
            self.entry(number, lane, draft, wall)
            for number, (lane, draft) in enumerate(drafts, self.book.last + 1)
        )
        sealed = [encode_plan(plan) for plan in plans]
        return entries if self._append(entries, sealed) else ()

    def _append(self, entries: tuple[Entry, ...], plans: list[bytes]) -> bool:
        tries = 0
        while True:
            try:
                self.book.append(entries, plans)
            except BookError as error:
                tries += 1
                waiting = self._waiting() + 1
                self._tell(Unsaved(waiting=waiting, why=str(error)))
                if self._closing.is_set() and tries >= CLOSING_TRIES:
                    self._tell(Told(says=f"{waiting} presses could not be saved."))
                    return False
                self._closing.wait(RETRY_S)
            else:
                if tries:
                    self._tell(Saved())
                return True
