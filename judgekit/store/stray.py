"""A file beside a book that belongs to another time, or to another book.

SQLite takes the newest pages from the file beside a book (its name ends in -wal),
whatever put it there. One that a sync program or a careless copy brought back hides
entries, and opening the book would lose them for good.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

from judgekit.core.errors import BookError
from judgekit.store import sqlfile
from judgekit.store.proof import find_broken

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from judgekit.store.book import Snapshot


def hidden_by(path: Path, seen: Callable[[], Snapshot | None]) -> str:
    """Which file hides entries of a book that nobody has open; empty if none does.

    `seen` reads the book with that file, and gives None if it cannot be read. The
    caller holds the book's lock. What the file alone says is only believed where its
    chain stands; after a crash it may well be older than what lies beside it, or torn.
    """
    wal = wal_of(path)
    if not is_filled(wal):
        return ""
    with_it = seen()
    alone = _alone(path)
    if alone is None or find_broken(alone) is not None:
        return ""
    if with_it is not None and alone.header == with_it.header:
        shown = with_it.rows[: len(alone.rows)]
        if shown == alone.rows:
            return ""
    return wal.name


def wal_of(path: Path) -> Path:
    """Where SQLite keeps the newest pages of a book in use."""
    return path.with_name(f"{path.name}-wal")


def is_filled(wal: Path) -> bool:
    """Whether there is such a file, and anything in it."""
    return wal.is_file() and wal.stat().st_size > 0


def words(wal: str) -> str:
    """What is wrong with a book of which that file hides entries."""
    return (
        f"and later ones may be hidden: {wal} beside the log is from another time; "
        "move that file to another folder, then look again"
    )


def _alone(path: Path) -> Snapshot | None:
    try:
        with closing(sqlfile.open_alone(path)) as connection:
            return sqlfile.read_snapshot(connection)
    except (sqlite3.Error, UnicodeDecodeError, BookError):
        return None
