"""Books seen from outside, also while their writer is at work."""

from __future__ import annotations

from contextlib import (
    AbstractContextManager,
    ExitStack,
    closing,
    contextmanager,
    nullcontext,
)
from typing import TYPE_CHECKING

from judgekit.core.errors import BookError
from judgekit.store import chain, sqlfile
from judgekit.store.book import Broken, Snapshot, plans_of
from judgekit.store.stray import hidden_by, is_filled, wal_of
from judgekit.store.walfile import lost_commits

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan


def read(path: Path) -> ReadOnlyBook:
    """A book to read from, also while its writer is at work; BookError if it cannot."""
    return ReadOnlyBook(path)


@contextmanager
def looking(path: Path) -> Iterator[ReadOnlyBook]:
    """The same for several looks in a row: the file is opened once, and let go of here.

    Nothing but looks belongs in here: whoever opens the file beside must not meet it.
    """
    sqlfile.check_there(path)
    with sqlfile.in_words(path, "read"):
        connection = sqlfile.open_reader(path)
    with closing(connection):
        book = ReadOnlyBook(path, connection)
        try:
            yield book
        finally:
            book.let_go()


def seen_in(path: Path) -> Snapshot | None:
    """All that a book holds, None if it cannot be read."""
    try:
        return read(path).snapshot()
    except BookError:
        return None


class ReadOnlyBook:
    """A book seen from outside; each look opens the file briefly and lets it go.

    With a `connection` all looks go through that one, until it is let go of.
    """

    def __init__(
        self, path: Path, connection: sqlite3.Connection | None = None
    ) -> None:
        self.path = path
        self._connection = connection
        if connection is None:
            self.header = sqlfile.peek(path)
        else:
            with sqlfile.in_words(path, "read"):
                self.header = sqlfile.header_in(connection, path)
        self.id = self.header.book
        self.event = self.header.event
        self.heat = self.header.heat

    @property
    def last(self) -> int:
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            return _last(connection)

    def entries(self, after: int = 0) -> list[Entry]:
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            return sqlfile.read_entries(connection, self.header, after)

    def hash_at(self, number: int) -> str:
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            return _hash_at(connection, self.id, number).hex()

    def plans(self) -> dict[str, Plan]:
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            stored = sqlfile.read_plans(connection)
        return plans_of(self.header, stored)

    def snapshot(self) -> Snapshot:
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            return sqlfile.read_snapshot(connection)

    def verify(self) -> Broken | None:
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            return sqlfile.broken_in(connection)

    def standing(self) -> Snapshot:
        """What a damaged file still holds, up to the first entry that is unreadable."""
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            return sqlfile.read_standing(connection)

    def hidden_by(self) -> str:
        """Which file beside the book hides entries of it, empty if none does.

        A book in somebody's hands is not looked at.
        """
        with self._nobodys() as free:
            return hidden_by(self.path, lambda: seen_in(self.path)) if free else ""

    def is_torn(self) -> bool:
        """Whether damage beside the book has cost commits of a book left open."""
        with self._nobodys() as free:
            # Locks are never on that file, so reading it drops none.
            return free and lost_commits(wal_of(self.path).read_bytes()) > 1

    @contextmanager
    def _nobodys(self) -> Iterator[bool]:
        """Whether the book was left open and is in nobody's hands, nor will be here."""
        with sqlfile.in_words(self.path, "read"), ExitStack() as undo:
            beside = self.path.with_suffix(".lock")
            free = is_filled(wal_of(self.path))
            if free and beside.exists():
                # Few books are left open, and reading the others needs no lock.
                from filelock import FileLock, Timeout

                lock = FileLock(beside, timeout=0, thread_local=False)
                try:
                    lock.acquire()
                    undo.callback(lock.release)
                except Timeout:
                    free = False
            yield free

    def wal_is_gone(self) -> bool:
        """Whether it was left open, and what SQLite kept beside it is not there."""
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            return sqlfile.wal_is_gone(connection, self.path)

    def let_go(self) -> None:
        """Whoever opened the connection closes it; looks open the file themselves."""
        self._connection = None

    def _look(self) -> AbstractContextManager[sqlite3.Connection]:
        if self._connection is not None:
            return nullcontext(self._connection)
        return closing(sqlfile.open_reader(self.path))


def _last(connection: sqlite3.Connection) -> int:
    rows = connection.execute("SELECT coalesce(max(number), 0) FROM entry").fetchall()
    return int(rows[0][0])


def _hash_at(connection: sqlite3.Connection, book_id: str, number: int) -> bytes:
    if number == 0:
        return chain.first_link(sqlfile.read_head(connection))
    rows = connection.execute(
        "SELECT hash FROM entry WHERE number = ?", (number,)
    ).fetchall()
    if not rows:
        raise BookError(f"the log {book_id} has no entry {number}")
    return bytes(rows[0][0])
