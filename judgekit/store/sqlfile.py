"""The SQLite file of a book: its tables, how it is opened, and how it is made.

Nothing but SQLite may open the file while a book is in use (closing another handle
on it drops SQLite's locks), and nothing here ever updates or deletes a row.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, contextmanager, suppress
from typing import TYPE_CHECKING, Literal

from judgekit.core.errors import BookError
from judgekit.store.book import (
    AT_ONCE,
    Broken,
    Header,
    Row,
    Snapshot,
    StoredRow,
    entries_of,
    read_header,
    row_of,
    rows_of,
)
from judgekit.store.collector import collector_still
from judgekit.store.lift import check_format
from judgekit.store.proof import first_broken
from judgekit.store.whole import take_name

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.entry import Entry

_APPLICATION = 0x6A756467  # "judg": tells our files from other databases
_BUSY_SECONDS = 5

_SCHEMA = """
CREATE TABLE book (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    header BLOB NOT NULL
) STRICT;
CREATE TABLE entry (
    number INTEGER PRIMARY KEY CHECK (number >= 1),
    data BLOB NOT NULL CHECK (length(data) > 0),
    hash BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;
CREATE TABLE plan (
    place INTEGER PRIMARY KEY CHECK (place >= 1),
    hash TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
    data BLOB NOT NULL CHECK (length(data) > 0)
) STRICT;
CREATE TRIGGER entry_next BEFORE INSERT ON entry
WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'the entry is not the next one'); END;
CREATE TRIGGER plan_next BEFORE INSERT ON plan
WHEN NEW.place IS NOT (SELECT coalesce(max(place), 0) + 1 FROM plan)
  OR EXISTS (SELECT 1 FROM plan WHERE hash = NEW.hash)
BEGIN SELECT RAISE(ABORT, 'the plan is not a new one'); END;
CREATE TRIGGER book_once BEFORE INSERT ON book
WHEN EXISTS (SELECT 1 FROM book)
BEGIN SELECT RAISE(ABORT, 'a log has one head'); END;
"""
_REFUSAL = """
CREATE TRIGGER {table}_no_{word} BEFORE {word} ON {table}
BEGIN SELECT RAISE(ABORT, 'the log is never changed'); END;
"""

_INSERT = "INSERT INTO entry (number, data, hash) VALUES (?, ?, ?)"
_ENTRIES = "SELECT number, data, hash FROM entry WHERE number > ? ORDER BY number"
_PLANS = "SELECT hash, data FROM plan ORDER BY place"

# Each is set on every connection that writes, and read back. `fullfsync` is what
# makes a commit durable on macOS; elsewhere it changes nothing.
_WRITER = {
    "busy_timeout": _BUSY_SECONDS * 1000,
    "foreign_keys": 1,
    "recursive_triggers": 1,
    "synchronous": 2,
    "fullfsync": 1,
    "journal_mode": "wal",
    # The writer tidies when no key waits, and knows by itself when the file changed.
    "wal_autocheckpoint": 0,
}


def schema() -> str:
    """The statements that make a book's tables and the triggers that guard them."""
    refusals = [
        _REFUSAL.format(table=table, word=word)
        for table in ("book", "entry", "plan")
        for word in ("UPDATE", "DELETE")
    ]
    return _SCHEMA + "".join(refusals)


def open_writer(path: Path) -> sqlite3.Connection:
    """A connection for the one writer, every setting read back; sqlite3.Error."""
    connection = _connect(path, "rw")
    try:
        for name, value in _WRITER.items():
            connection.execute(f"PRAGMA {name} = {value}").fetchall()
        _check_settings(connection, path)
        _mark_open(connection)
    except BaseException:
        connection.close()
        raise
    return connection


def _mark_open(connection: sqlite3.Connection) -> None:
    """Write once, so that the file beside a book in use is never empty."""
    written = connection.execute("PRAGMA user_version").fetchone()[0]
    connection.execute(f"PRAGMA user_version = {written}").fetchall()


def wal_is_gone(connection: sqlite3.Connection, path: Path) -> bool:
    """Whether a book was left open and what SQLite kept beside it is not there.

    A book that was closed needs no such file, one in use always has it.
    """
    mode = connection.execute("PRAGMA journal_mode").fetchone()[0]
    beside = path.with_name(f"{path.name}-wal")
    return mode == "wal" and not (beside.exists() and beside.stat().st_size)


def _check_settings(connection: sqlite3.Connection, path: Path) -> None:
    held = {
        name: connection.execute(f"PRAGMA {name}").fetchone()[0] for name in _WRITER
    }
    if held != _WRITER:
        wrong = ", ".join(
            name for name, value in _WRITER.items() if held[name] != value
        )
        raise BookError(
            f"{path.name} cannot be kept safely on this disk ({wrong} refused); "
            "use a folder on the machine's own disk"
        )


def open_reader(path: Path) -> sqlite3.Connection:
    """A connection that can only read and never keeps the writer out; sqlite3.Error."""
    return _connect(path, "ro")


def open_alone(path: Path) -> sqlite3.Connection:
    """A book's one file without what lies beside it; sqlite3.Error.

    It takes no lock and its end drops those of this process on the file: only for a
    book that nobody has open, its side lock in hand.
    """
    return _connect(path, "ro&immutable=1")


# What an attempt at a book's file may end in, beside BookError.
TROUBLE = (sqlite3.Error, UnicodeDecodeError, OSError)


@contextmanager
def in_words(path: Path, doing: str) -> Iterator[None]:
    """Say what SQLite says in words for a judge, as BookError."""
    try:
        yield
    except TROUBLE as error:
        raise told(path, doing, error) from error


def told(path: Path, doing: str, error: Exception) -> BookError:
    """A `TROUBLE` in words for a judge."""
    if isinstance(error, sqlite3.Error):
        why = reason(error)
    elif isinstance(error, OSError):
        why = error.strerror or str(error)
    else:
        # Python's own wrapper fails on what damage made of the names in a file.
        why = "it is damaged"
    return BookError(f"{path.name} could not be {doing}: {why}")


# By the beginning of SQLite's own name for the error: BUSY stands for BUSY_RECOVERY.
_REASONS = {
    "SQLITE_FULL": "the disk is full",
    "SQLITE_NOTADB": "it is not a log of judgekit, or it is damaged",
    "SQLITE_CORRUPT": "it is damaged",
    "SQLITE_READONLY": "it may only be read here",
    "SQLITE_BUSY": "another program keeps it busy",
    "SQLITE_CANTOPEN": "it is not there or may not be opened",
}


def is_damage(error: sqlite3.Error) -> bool:
    """Whether an error of SQLite's speaks of what stands in the file."""
    return getattr(error, "sqlite_errorname", "") in {"SQLITE_CORRUPT", "SQLITE_NOTADB"}


def copy_pages(path: Path, to: Path) -> None:
    """Copy a book, also one in use, as it is at one moment, into one plain file.

    `to` is durable afterwards, and no name for good. sqlite3.Error.
    """
    with (
        closing(open_reader(path)) as source,
        closing(_connect(to, "rwc")) as target,
    ):
        target.execute("PRAGMA synchronous = 2").fetchall()
        source.backup(target)
        # The pages say that they are of a book in use.
        target.execute("PRAGMA journal_mode = DELETE").fetchall()


def is_full(error: BaseException | None) -> bool:
    """Whether an error of SQLite's says that the disk has no room left."""
    return getattr(error, "sqlite_errorname", "") == "SQLITE_FULL"


def reason(error: sqlite3.Error) -> str:
    """What an error of SQLite's means, in words for a judge."""
    name = getattr(error, "sqlite_errorname", "")
    known = (words for start, words in _REASONS.items() if name.startswith(start))
    return next(known, str(error))


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """All or nothing; the error that ended it is the one that is seen."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        # SQLite may have rolled back by itself; that must not hide why.
        with suppress(sqlite3.Error):
            connection.execute("ROLLBACK")
        raise


def insert(
    connection: sqlite3.Connection, rows: Sequence[Row], plans: Mapping[str, bytes]
) -> None:
    """All of these or none, durable when it returns."""
    if len(rows) == 1 and not plans:
        # As a press makes it. A statement alone is a transaction of its own, and two
        # more around it cost as much again.
        connection.execute(_INSERT, rows[0])
        return
    with transaction(connection):
        insert_into(connection, rows, plans)


def insert_into(
    connection: sqlite3.Connection, rows: Iterable[Row], plans: Mapping[str, bytes]
) -> None:
    """The same within a transaction."""
    for name, data in plans.items():
        connection.execute(
            "INSERT INTO plan (place, hash, data) "
            "SELECT coalesce(max(place), 0) + 1, ?, ? FROM plan",
            (name, data),
        )
    connection.executemany(_INSERT, rows)


def read_rows(connection: sqlite3.Connection, after: int = 0) -> list[Row]:
    return [row for some in read_some(connection, after) for row in rows_of(some)]


def read_some(
    connection: sqlite3.Connection, after: int = 0
) -> Iterator[list[StoredRow]]:
    """The rows after a number, in order, some at a time."""
    cursor = connection.execute(_ENTRIES, (after,))
    while found := cursor.fetchmany(AT_ONCE):
        yield found


def read_entries(
    connection: sqlite3.Connection, header: Header, after: int = 0
) -> list[Entry]:
    """The entries after a number; BookError names the first that is damaged."""
    with collector_still():
        some = read_some(connection, after)
        return [entry for rows in some for entry in entries_of(header, rows)]


def broken_in(connection: sqlite3.Connection) -> Broken | None:
    """The first entry of the book that does not stand, None if all of it does."""
    with collector_still(), one_moment(connection):
        head, rows = read_head(connection), read_some(connection)
        return first_broken(head, rows, lambda: read_plans(connection))


def read_plans(connection: sqlite3.Connection) -> list[tuple[str, bytes]]:
    return [_plan(found) for found in connection.execute(_PLANS).fetchall()]


def _plan(found: tuple[object, object]) -> tuple[str, bytes]:
    name, data = found
    if type(name) is str and type(data) is bytes:
        return name, data
    raise BookError("a plan in it is damaged")


def read_standing(connection: sqlite3.Connection) -> Snapshot:
    """What can still be read of a damaged file: entries up to the first that cannot.

    Raises BookError or sqlite3.Error if not even its head can be read.
    """
    rows: list[Row] = []
    plans: list[tuple[str, bytes]] = []
    header = read_head(connection)
    with suppress(sqlite3.Error, UnicodeDecodeError, BookError):
        rows.extend(map(row_of, connection.execute(_ENTRIES, (0,))))
    with suppress(sqlite3.Error, UnicodeDecodeError, BookError):
        plans.extend(map(_plan, connection.execute(_PLANS)))
    return Snapshot(header=header, rows=tuple(rows), plans=tuple(plans))


def read_head(connection: sqlite3.Connection) -> bytes:
    rows = connection.execute("SELECT header FROM book").fetchall()
    if len(rows) != 1:
        raise BookError("the head of the log is missing")
    head = rows[0][0]
    if not isinstance(head, bytes):
        raise BookError("the head of the log is damaged")
    return head


def read_snapshot(connection: sqlite3.Connection) -> Snapshot:
    """Everything the book holds, as of one moment."""
    with one_moment(connection):
        return Snapshot(
            header=read_head(connection),
            rows=tuple(read_rows(connection)),
            plans=tuple(read_plans(connection)),
        )


@contextmanager
def one_moment(connection: sqlite3.Connection) -> Iterator[None]:
    """All that is read in here is as it was when the first of it was."""
    connection.execute("BEGIN")
    try:
        yield
    finally:
        connection.execute("COMMIT")


def peek(path: Path) -> Header:
    """The header of a book whose format can be read; BookError says why not.

    Reads only, so that a book from a newer version stays as it is to the byte.
    """
    check_there(path)
    with in_words(path, "read"), closing(open_reader(path)) as connection:
        return header_in(connection, path)


def check_there(path: Path) -> None:
    """BookError if there is no such file."""
    if not path.is_file():
        raise BookError(f"there is no log {path.name} in {path.parent}")


def header_in(connection: sqlite3.Connection, path: Path) -> Header:
    """The same of a book that is open."""
    owner = connection.execute("PRAGMA application_id").fetchone()[0]
    if owner != _APPLICATION:
        raise BookError(f"{path.name} is not a log of judgekit")
    written = connection.execute("PRAGMA user_version").fetchone()[0]
    check_format(written, path.name)
    header = read_header(read_head(connection))
    if header.format != written:
        raise BookError(f"{path.name} says that its format is {written} and another")
    return header


def build(path: Path, snapshot: Snapshot) -> None:
    """Make a whole book at once: it is there complete, or not at all.

    The caller holds the book's lock. Never over a file that exists: BookError.
    """
    with in_words(path, "made"):
        if path.exists():
            raise BookError(f"there is a log {path.name} already")
        growing = grow(path, snapshot)
        try:
            take_name(growing, path)
        finally:
            growing.unlink(missing_ok=True)
        # The folder's own name too: it may be as new as the book.
        flush_folder(path.parent)
        flush_folder(path.parent.parent)


def grow(path: Path, snapshot: Snapshot) -> Path:
    """The file that is to become the book at `path`, whole and durable, beside it."""
    header = read_header(snapshot.header)
    growing = path.with_suffix(".new")
    growing.unlink(missing_ok=True)
    try:
        _fill(growing, header.format, snapshot)
    except BaseException:
        # What is half made only takes room.
        growing.unlink(missing_ok=True)
        raise
    return growing


def _fill(growing: Path, written: int, snapshot: Snapshot) -> None:
    with closing(_connect(growing, "rwc")) as connection:
        connection.execute("PRAGMA synchronous = 2").fetchall()
        connection.execute(f"PRAGMA application_id = {_APPLICATION}").fetchall()
        connection.execute(f"PRAGMA user_version = {written}").fetchall()
        connection.executescript(schema())
        with transaction(connection):
            connection.execute(
                "INSERT INTO book (one, header) VALUES (1, ?)", (snapshot.header,)
            )
            insert_into(connection, snapshot.rows, dict(snapshot.plans))


def flush_folder(folder: Path) -> None:
    """Make a new name in a folder durable (Windows has no such call)."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _connect(
    path: Path, mode: Literal["ro", "rw", "rwc", "ro&immutable=1"]
) -> sqlite3.Connection:
    return sqlite3.connect(
        f"{path.resolve().as_uri()}?mode={mode}",
        uri=True,
        isolation_level=None,
        timeout=_BUSY_SECONDS,
        # One consumer uses it, not always in the thread that opened it.
        check_same_thread=False,
    )
