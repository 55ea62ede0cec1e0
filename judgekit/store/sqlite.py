"""Books as SQLite files: one writer, kept by an OS lock on a file beside the book."""

from __future__ import annotations

import sqlite3
from contextlib import ExitStack, suppress
from typing import TYPE_CHECKING

from filelock import FileLock, Timeout

from judgekit.core.entry import Session
from judgekit.core.errors import BookError
from judgekit.store import chain, sqlfile
from judgekit.store.ahead import lengthen
from judgekit.store.book import (
    BookHeld,
    Broken,
    Header,
    Snapshot,
    check_id,
    header_bytes,
    new_plans,
    next_rows,
    plans_of,
)
from judgekit.store.bookpaths import SUFFIX as SUFFIX  # noqa: PLC0414 - asked of here
from judgekit.store.lift import FORMAT
from judgekit.store.readonly import ReadOnlyBook as ReadOnlyBook  # noqa: PLC0414 - asked of here
from judgekit.store.readonly import looking as looking  # noqa: PLC0414 - likewise
from judgekit.store.readonly import read as read  # noqa: PLC0414 - likewise
from judgekit.store.readonly import seen_in
from judgekit.store.rescue import Place, anew_of, settle, which, write_anew
from judgekit.store.reserve import Reserve
from judgekit.store.stray import hidden_by, wal_of, words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan

PATIENCE_SECONDS = 2.0
_POLL_SECONDS = 0.05
_TIDY_MS = 500
# After so many appends the file beside the book is folded into it: when nobody waits,
# and at the latest. Two hundred presses fit into the room made ahead.
_UNTIDY, _UNTIDY_MOST = 100, 200
# On a full disk what was folded in makes the room for what follows.
_UNTIDY_TIGHT = 20


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
    """An existing book, open for its one writer; a rescue cut short is ended first.

    Raises BookHeld if another desk still has it open after `patience` seconds, and
    BookError for a book that is not there, damaged, or of another format.
    """
    header = sqlfile.peek(path)
    if header.format != FORMAT:
        raise BookError(
            f"{path.name} was written by an older judgekit; it can be read, and a "
            "new log can carry on from it"
        )
    home = path.with_name(f"{header.book}{SUFFIX}")
    if path not in (home, anew_of(home)):
        raise BookError(f"{path.name} holds the log {header.book}; only a copy to read")
    with ExitStack() as undo:
        lock = take_lock(home, patience)
        undo.callback(lock.release)
        befell = settle(home) if path != home else ""
        hides = hidden_by(home, lambda: seen_in(home))
        if hides:
            raise BookError(f"{home.name}: the newest entry {words(hides)}")
        book = SqliteBook(home, header, lock, befell)
        undo.pop_all()
    return book


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


class SqliteBook:
    """A book in the hands of its one writer; use `create` or `reopen`.

    It may be opened in one thread and then used by one other, never by two at once.
    What it holds is in memory too, so that a file which is gone can be written anew.
    """

    def __init__(
        self, path: Path, header: Header, lock: FileLock, befell: str = ""
    ) -> None:
        self.path = path
        self._befell = befell
        self.header = header
        self.id = header.book
        self.event = header.event
        self.heat = header.heat
        self._lock = lock
        self._reserve: Reserve | None = None
        self._full = self._tight = False
        self._untidy = 0
        with sqlfile.in_words(path, "opened"), ExitStack() as undo:
            self._lock_file = which(path.with_suffix(".lock"))
            connection = sqlfile.open_writer(path)
            undo.callback(connection.close)
            held = sqlfile.read_snapshot(connection)
            self._place = Place.of(path)
            undo.pop_all()
        self._head, self._rows = held.header, list(held.rows)
        self._plans = dict(held.plans)
        self._connection = connection
        self._closed = False

    @property
    def last(self) -> int:
        return len(self._rows)

    def append(self, entries: Sequence[Entry], plans: Sequence[bytes] = ()) -> None:
        if self._closed:
            raise BookError(f"the log {self.id} is closed")
        rows = next_rows(self.id, self.last, self._link_at(self.last), entries)
        fresh = new_plans(plans, self._plans)
        try:
            self._check_in_place()
            sqlfile.insert(self._connection, rows, fresh)
        except sqlfile.TROUBLE as error:
            self._full = sqlfile.is_full(error)
            raise sqlfile.told(self.path, "saved", error) from error
        self._plans |= fresh
        self._rows += rows
        self._full = False
        self._untidy += 1
        if self._untidy >= (_UNTIDY_TIGHT if self._tight else _UNTIDY_MOST):
            self._tidy(again=self._tight)

    def mend(self) -> str:
        """Put right what befell the file; in words for the judge, empty for nothing.

        BookError if that cannot be done now; nothing is lost, and it may be tried
        again. Also the moment to tidy, so it belongs off the key path.
        """
        if self._closed:
            return ""
        befell, self._befell = self._befell, ""
        if befell:
            return befell
        with sqlfile.in_words(self.path, "written anew"):
            self._keep_lock()
            if not self._is_in_place():
                return self._write_anew()
        if self._full:
            return self._make_room()
        if self._untidy >= _UNTIDY:
            self._tidy()
        if self._reserve is not None and self._reserve.keep():
            self._tight = False
            lengthen(wal_of(self.path))
        return ""

    def keep_reserve(self) -> None:
        """Keep room on the disk, given up when there is no other; from `mend` on.

        Where there is plenty, room for the next entries is made ahead as well.
        """
        self._reserve = Reserve(self.path.with_suffix(".reserve"))

    def entries(self, after: int = 0) -> list[Entry]:
        with sqlfile.in_words(self.path, "read"):
            return sqlfile.read_entries(self._connection, self.header, after)

    def hash_at(self, number: int) -> str:
        return self._link_at(number).hex()

    def plans(self) -> dict[str, Plan]:
        with sqlfile.in_words(self.path, "read"):
            stored = sqlfile.read_plans(self._connection)
        return plans_of(self.header, stored)

    def snapshot(self) -> Snapshot:
        with sqlfile.in_words(self.path, "read"):
            return sqlfile.read_snapshot(self._connection)

    def verify(self) -> Broken | None:
        with sqlfile.in_words(self.path, "read"):
            return sqlfile.broken_in(self._connection)

    def close(self) -> None:
        """Fold the book into its one file, and let it go. Closing twice is harmless.

        What was appended is durable before this; a disk too full to tidy loses none.
        """
        if self._closed:
            return
        self._closed = True
        try:
            # Tidying goes by names, and these may be another file's by now.
            with suppress(sqlite3.Error, OSError, BookError):
                self._check_in_place()
                self._connection.execute(f"PRAGMA busy_timeout = {_TIDY_MS}").fetchall()
                self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
                # A file out of WAL mode is read without leaving files beside it.
                self._connection.execute("PRAGMA journal_mode = DELETE").fetchall()
        finally:
            self._connection.close()
            self._lock.release()
            if self._reserve is not None:
                self._reserve.give_up()

    def _link_at(self, number: int) -> bytes:
        if number == 0:
            return chain.first_link(self._head)
        if not 0 < number <= self.last:
            raise BookError(f"the log {self.id} has no entry {number}")
        return self._rows[number - 1].hash

    def _check_in_place(self) -> None:
        """Refuse to write on when the file is gone: it would be saved to nowhere."""
        if not self._is_in_place():
            raise BookError(
                f"{self.path.name} was moved, deleted or changed while it was open; "
                "nothing more can be saved in it"
            )
        if not self._lock.is_locked:
            raise BookError(f"{self.path.name} is open at another desk by now")

    def _is_in_place(self) -> bool:
        """Whether the file is ours and as it was; one only touched still reads so."""
        now = Place.of(self.path)
        if now == self._place:
            return True
        seen = seen_in(self.path) if now.is_same(self._place) else None
        if seen is None or seen != self._whole():
            return False
        self._place = now
        return True

    def _whole(self) -> Snapshot:
        return Snapshot(
            header=self._head,
            rows=tuple(self._rows),
            plans=tuple(self._plans.items()),
        )

    def _keep_lock(self) -> None:
        """A lock file that was deleted or replaced keeps nobody out: take it anew."""
        beside = self.path.with_suffix(".lock")
        if self._lock.is_locked and which(beside) == self._lock_file:
            return
        self._lock.release()
        self._lock = take_lock(self.path, 0.0)
        self._lock_file = which(beside)

    def _write_anew(self) -> str:
        # Of what this desk made durable nothing is in the file alone.
        words = write_anew(self.path, self._whole(), self._place)
        connection = sqlfile.open_writer(self.path)
        gone, self._connection = self._connection, connection
        # SQLite sees that the old file has moved: closing it touches the new one's
        # neighbours as little as the new one.
        with suppress(sqlite3.Error):
            gone.close()
        self._place = Place.of(self.path)
        return words

    def _make_room(self) -> str:
        """What a full disk leaves to do: use again what we have, then the reserve."""
        given_up = self._reserve is not None and self._reserve.give_up()
        self._tidy(again=True)
        if not given_up:
            return ""
        self._tight = True
        return "The disk is full. Some room was kept for this: go on, and make more."

    def _tidy(self, *, again: bool = False) -> None:
        """Fold what was written into the one file; `again` uses its room anew.

        Never TRUNCATE while the book is open: an empty file beside a book that was
        not closed is how entries gone astray are known.
        """
        kind = "RESTART" if again else "PASSIVE"
        with suppress(sqlite3.Error):
            self._connection.execute(f"PRAGMA wal_checkpoint({kind})").fetchall()
        with suppress(OSError):
            self._place = Place.of(self.path)
        self._untidy = 0


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
