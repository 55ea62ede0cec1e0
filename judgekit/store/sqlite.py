"""Books as SQLite files: one writer, kept by an OS lock on a file beside the book."""

from __future__ import annotations

import os
import sqlite3
from contextlib import ExitStack, closing, suppress
from typing import TYPE_CHECKING

from filelock import FileLock, Timeout

from judgekit.core.entry import Session
from judgekit.core.errors import BookError
from judgekit.store import chain, sqlfile
from judgekit.store.book import (
    BookHeld,
    Broken,
    Header,
    Snapshot,
    check_id,
    entries_of,
    find_broken,
    header_bytes,
    new_plans,
    next_rows,
    plans_of,
)
from judgekit.store.lift import FORMAT

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan

SUFFIX = ".sqlite"
PATIENCE_SECONDS = 2.0
_POLL_SECONDS = 0.05
_TIDY_MS = 500


def create(
    folder: Path,
    book_id: str,
    *,
    event: str,
    heat: str,
    wall: int,
    patience: float = PATIENCE_SECONDS,
) -> SqliteBook:
    """A new book in a folder, which is made if need be, open for its one writer.

    `wall` is UTC in ms since 1970. Raises BookError if the book exists, BookHeld if
    it is being written after `patience` seconds.
    """
    check_id(book_id)
    path = folder / f"{book_id}{SUFFIX}"
    header = Header(format=FORMAT, book=book_id, event=event, heat=heat, created=wall)
    empty = Snapshot(header=header_bytes(header), rows=(), plans=())
    with ExitStack() as undo:
        lock = take_lock(path, patience)
        undo.callback(lock.release)
        sqlfile.build(path, empty)
        book = SqliteBook(path, header, lock)
        undo.pop_all()
    return book


def reopen(path: Path, patience: float = PATIENCE_SECONDS) -> SqliteBook:
    """An existing book, open for its one writer.

    Raises BookHeld if another desk still has it open after `patience` seconds, and
    BookError for a book that is not there, damaged, or of another format.
    """
    header = sqlfile.peek(path)
    if header.format != FORMAT:
        raise BookError(
            f"{path.name} was written by an older judgekit; it can be read, and a "
            "new log can carry on from it"
        )
    if path.name != f"{header.book}{SUFFIX}":
        raise BookError(f"{path.name} holds the log {header.book}; only a copy to read")
    with ExitStack() as undo:
        lock = take_lock(path, patience)
        undo.callback(lock.release)
        book = SqliteBook(path, header, lock)
        undo.pop_all()
    return book


def read(path: Path) -> ReadOnlyBook:
    """A book to read from, also while its writer is at work; BookError if it cannot."""
    return ReadOnlyBook(path)


def take_lock(path: Path, patience: float) -> FileLock:
    """The lock of the book at `path`, taken; BookHeld after `patience` seconds.

    It is an OS lock, so it ends with its process, however that ends.
    """
    lock = FileLock(path.with_suffix(".lock"), timeout=patience, thread_local=False)
    with sqlfile.in_words(path, "opened"):
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            lock.acquire(poll_interval=_POLL_SECONDS)
        except Timeout as error:
            raise _held(path) from error
    return lock


class ReadOnlyBook:
    """A book seen from outside; each look opens the file briefly and lets it go."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.header = sqlfile.peek(path)
        self.id = self.header.book
        self.event = self.header.event
        self.heat = self.header.heat

    @property
    def last(self) -> int:
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            return _last(connection)

    def entries(self, after: int = 0) -> list[Entry]:
        with sqlfile.in_words(self.path, "read"), self._look() as connection:
            rows = sqlfile.read_rows(connection, after)
        return entries_of(self.header, rows)

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
        return find_broken(self.snapshot())

    def _look(self) -> closing[sqlite3.Connection]:
        return closing(sqlfile.open_reader(self.path))


class SqliteBook:
    """A book in the hands of its one writer; use `create` or `reopen`.

    It may be opened in one thread and then used by one other, never by two at once.
    """

    def __init__(self, path: Path, header: Header, lock: FileLock) -> None:
        self.path = path
        self.header = header
        self.id = header.book
        self.event = header.event
        self.heat = header.heat
        self._lock = lock
        with sqlfile.in_words(path, "opened"), ExitStack() as undo:
            connection = sqlfile.open_writer(path)
            undo.callback(connection.close)
            self._last = _last(connection)
            self._link = _hash_at(connection, self.id, self._last)
            self._known = {name for name, _ in sqlfile.read_plans(connection)}
            self._files = self._on_disk()
            undo.pop_all()
        self._connection = connection
        self._closed = False

    @property
    def last(self) -> int:
        return self._last

    def append(self, entries: Sequence[Entry], plans: Sequence[bytes] = ()) -> None:
        if self._closed:
            raise BookError(f"the log {self.id} is closed")
        rows = next_rows(self.id, self._last, self._link, entries)
        fresh = new_plans(plans, self._known)
        with sqlfile.in_words(self.path, "saved"):
            self._check_in_place()
            with sqlfile.transaction(self._connection):
                sqlfile.insert_plans(self._connection, fresh.items())
                sqlfile.insert_rows(self._connection, rows)
        self._known |= fresh.keys()
        if rows:
            self._last, self._link = rows[-1].number, rows[-1].hash

    def entries(self, after: int = 0) -> list[Entry]:
        with sqlfile.in_words(self.path, "read"):
            rows = sqlfile.read_rows(self._connection, after)
        return entries_of(self.header, rows)

    def hash_at(self, number: int) -> str:
        with sqlfile.in_words(self.path, "read"):
            return _hash_at(self._connection, self.id, number).hex()

    def plans(self) -> dict[str, Plan]:
        with sqlfile.in_words(self.path, "read"):
            stored = sqlfile.read_plans(self._connection)
        return plans_of(self.header, stored)

    def snapshot(self) -> Snapshot:
        with sqlfile.in_words(self.path, "read"):
            return sqlfile.read_snapshot(self._connection)

    def verify(self) -> Broken | None:
        return find_broken(self.snapshot())

    def close(self) -> None:
        """Fold the book into its one file, and let it go. Closing twice is harmless.

        What was appended is durable before this; a disk too full to tidy loses none.
        """
        if self._closed:
            return
        self._closed = True
        try:
            with suppress(sqlite3.Error):
                self._connection.execute(f"PRAGMA busy_timeout = {_TIDY_MS}").fetchall()
                self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
                # A file out of WAL mode is read without leaving files beside it.
                self._connection.execute("PRAGMA journal_mode = DELETE").fetchall()
        finally:
            self._connection.close()
            self._lock.release()

    def _check_in_place(self) -> None:
        """Refuse to write on when the file is gone: it would be saved to nowhere."""
        if self._on_disk() != self._files:
            raise BookError(
                f"{self.path.name} was moved, deleted or replaced while it was open; "
                "nothing more can be saved in it"
            )

    def _on_disk(self) -> list[tuple[int, int] | None]:
        return [_identity(self.path), _identity(self.path.with_name(_wal(self.path)))]


def _wal(path: Path) -> str:
    return f"{path.name}-wal"


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        found = os.stat(path)  # noqa: PTH116 - ten times a second, and the name says it
    except FileNotFoundError:
        return None
    return found.st_dev, found.st_ino


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


def _held(path: Path) -> BookHeld:
    """Who holds the book, from the book itself; little if it cannot be read."""
    try:
        entries = read(path).entries()
    except BookError:
        return BookHeld(path.stem)
    for entry in reversed(entries):
        if isinstance(entry.body, Session) and entry.body.start:
            return BookHeld(
                path.stem,
                process=entry.body.process,
                host=entry.body.host,
                since=entry.wall,
                last=entries[-1],
            )
    return BookHeld(path.stem, last=entries[-1] if entries else None)
