"""Durable appends: a book with its chain and triggers against raw write and fsync."""

from __future__ import annotations

import os
import time
from contextlib import ExitStack, closing
from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING, Self

from judgekit.core.entry import Entry, Rep
from judgekit.core.plan import SetKey
from judgekit.store import sqlfile, sqlite
from judgekit.store.codec import encode_entry
from tests.bench.arithmetic import Measured
from tests.bench.rows import Group, Line, Row, Setting, in_rounds, lines

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

WALL = 1_809_772_200_000
_BUSY, _BUSY_EACH = 6, 200
_PACED, _PACED_EACH = 5, 14
# Between two writes of any kind: a few a second, so that the disk falls idle.
_PAUSE_S = 0.15

_ALONE = "of that, SQLite's own statement with the triggers"
_ROWS = {
    "append": Row(
        name="append",
        says="one entry durable, back to back, against raw write and fsync",
        goals={"p50": 2.5, "p95": None, "p99": 3.0},
    ),
    "append-paced": Row(
        name="append-paced",
        says="one entry durable at a heat's pace, against raw write and fsync",
        goals={"p50": 2.3, "p95": None},
    ),
}


def entry(book: str, number: int) -> Entry:
    """A rep, as a Floor appends it."""
    return Entry(
        book=book,
        number=number,
        lane=4,
        at=2000 * number,
        wall=WALL + 2000 * number,
        who="kb",
        set=SetKey(1, 1, 1),
        body=Rep(),
    )


def new_book(folder: Path, name: str) -> sqlite.SqliteBook:
    """An empty book as a desk holds it, looked after once before the first press."""
    book = sqlite.create(folder, name, event="Quayside", heat="1", wall=WALL)
    book.keep_reserve()
    book.mend()
    return book


class RawFile:
    """The floor: bytes at a file's end, and fsync."""

    def __init__(self, path: Path) -> None:
        self._file = os.open(path, os.O_CREAT | os.O_WRONLY | os.O_APPEND)

    def append(self, data: bytes) -> None:
        """Write and wait for the disk."""
        os.write(self._file, data)
        os.fsync(self._file)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        os.close(self._file)


def raw_append(file: RawFile) -> Callable[[], float]:
    """Seconds of one raw append of as many bytes as the book stores for an entry."""
    numbers = count(1)

    def append() -> float:
        # A row holds the entry's bytes and a hash of 32.
        data = encode_entry(entry("b", next(numbers))) + bytes(32)
        began = time.perf_counter()
        file.append(data)
        return time.perf_counter() - began

    return append


def book_append(book: sqlite.SqliteBook) -> Callable[[], float]:
    """Seconds of one append to a book."""

    def append() -> float:
        one = entry(book.id, book.last + 1)
        began = time.perf_counter()
        book.append([one])
        return time.perf_counter() - began

    return append


def bare_append(book: sqlite.SqliteBook) -> Callable[[], float]:
    """Seconds of SQLite's own statement and triggers, tidied as often, no more."""
    numbers = count(1)

    def append() -> float:
        number = next(numbers)
        row = (number, encode_entry(entry(book.id, number)), bytes(32))
        began = time.perf_counter()
        book._connection.execute(sqlfile._INSERT, row)
        if number % sqlite._UNTIDY_MOST == 0:
            book._tidy()
        return time.perf_counter() - began

    return append


def _paced(append: Callable[[], float]) -> Callable[[], float]:
    def after_a_pause() -> float:
        time.sleep(_PAUSE_S)
        return append()

    return after_a_pause


def measure(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Appends to one book and two raw files in turn, on the same disk."""
    for name in wanted:
        with ExitStack() as stack:
            folder = setting.folder / name
            book, bare = (
                stack.enter_context(closing(new_book(folder, name)))
                for name in ("b", "bare")
            )
            floor, again = (
                stack.enter_context(RawFile(folder / f"raw-{n}")) for n in (1, 2)
            )
            measures = {
                "product": book_append(book),
                "bare": bare_append(bare),
                "floor": raw_append(floor),
                "again": raw_append(again),
            }
            many, each = _BUSY, _BUSY_EACH
            if name == "append-paced":
                measures = {key: _paced(one) for key, one in measures.items()}
                many, each = _PACED, _PACED_EACH
            found = in_rounds(
                measures, setting.rounds(many), setting.some(each), setting.chance
            )
        alone = found.pop("bare")
        measured = Measured(**found)
        yield from lines(_ROWS[name], measured)
        row = replace(_ROWS[name], says=_ALONE, goals={"p50": None})
        yield from lines(row, replace(measured, product=alone))


GROUP = Group(names=tuple(_ROWS), measure=measure)
