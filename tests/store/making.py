"""Small books, entries and plans that tests are made of."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

from judgekit.core.entry import Body, Entry, Rep
from judgekit.core.plan import Plan, SetKey
from judgekit.store import sqlite
from judgekit.store.codec import encode_plan
from tests.support import simple

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

WALL = 1_809_772_200_000


def entry(number: int, body: Body | None = None, book: str = "b1") -> Entry:
    return Entry(
        book=book,
        number=number,
        lane=4,
        at=1000 * number,
        wall=WALL + 1000 * number,
        who="kb",
        set=SetKey(1, 1, 1),
        body=body or Rep(),
    )


def entries(last: int, first: int = 1, book: str = "b1") -> list[Entry]:
    return [entry(number, book=book) for number in range(first, last + 1)]


def plan(lane: int = 4, reps: int = 10) -> Plan:
    return simple(reps, heat="1", lane=lane, bib="007", name="Zoë Ångström")


def plan_bytes(lane: int = 4, reps: int = 10) -> bytes:
    return encode_plan(plan(lane, reps))


def new_book(folder: Path, book_id: str = "b1", heat: str = "1") -> sqlite.SqliteBook:
    return sqlite.create(
        folder, book_id, event="Quayside Saturday", heat=heat, wall=WALL
    )


def closed_book(folder: Path, last: int, book_id: str = "b1", heat: str = "1") -> Path:
    """A book of that many entries, closed."""
    with closing(new_book(folder, book_id, heat)) as book:
        book.append(entries(last, book=book_id))
        return book.path


def tamper(path: Path, *statements: str, values: Iterable[object] = ()) -> None:
    """Change a closed book as someone with the file and a database tool could."""
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        names = raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        for (name,) in names.fetchall():
            raw.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            raw.execute(statement, tuple(values))
