"""What every book is and does, wherever it is kept, and the rules they share."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from itertools import repeat
from typing import TYPE_CHECKING, NamedTuple, Protocol

from judgekit.core.errors import BookError
from judgekit.core.values import dataclass
from judgekit.store import chain, lift
from judgekit.store.codec import (
    canonical,
    decode_entry,
    decode_many,
    decode_plan,
    encode_entry,
    parsed,
    plan_hash,
)
from judgekit.store.shape import shape_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan

_ID = re.compile(r"[a-z0-9_-]{1,80}", re.ASCII)
# So many rows are read together: few enough to stay near the processor meanwhile.
AT_ONCE = 500
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """What stands at the head of a book. `created` is UTC in ms since 1970."""

    format: int
    book: str
    event: str
    heat: str
    created: int


class Row(NamedTuple):
    """An entry as stored: its number, canonical bytes and hash (32 bytes)."""

    number: int
    data: bytes
    hash: bytes


# A row as SQLite gives it: so it should be, but damage may have changed the very types.
StoredRow = tuple[int, bytes, bytes]


def row_of(found: StoredRow) -> Row:
    """A row as it should be; BookError if it is not."""
    number, data, link = found
    if type(number) is int and type(data) is bytes and type(link) is bytes:
        return Row(number, data, link)
    raise BookError(f"entry {number} is damaged")


def rows_of(some: Sequence[StoredRow]) -> list[Row]:
    """The same of many rows; what each of them costs alone adds up in a long log."""
    kinds = [{*map(type, column)} for column in zip(*some, strict=True)]
    if kinds == [{int}, {bytes}, {bytes}]:
        return list(map(tuple.__new__, repeat(Row), some))
    return [row_of(found) for found in some]


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """Everything a book held at one moment, as stored.

    `plans` pairs hash and bytes, in the order in which they were stored.
    """

    header: bytes
    rows: tuple[Row, ...]
    plans: tuple[tuple[str, bytes], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """The first entry that does not stand, and why; 0 for what precedes them all."""

    number: int
    what: str

    def __str__(self) -> str:
        return f"entry {self.number} {self.what}" if self.number else self.what


class BookHeld(BookError):  # noqa: N818 - says what is, not what failed
    """The book is open at another desk; says whose, since when and how far it is.

    `since` is UTC in ms since 1970. Facts that cannot be read from it are empty.
    """

    def __init__(
        self,
        book: str,
        *,
        process: int = 0,
        host: str = "",
        since: int | None = None,
        last: Entry | None = None,
    ) -> None:
        self.book = book
        self.process = process
        self.host = host
        self.since = since
        self.last = last
        whose = f"process {process} on {host or 'this machine'}" if process else ""
        start = f"since {_clock_utc(since)}" if since is not None else ""
        newest = f"last entry {last.number}" if last else ""
        facts = ", ".join(fact for fact in (whose, start, newest) if fact)
        super().__init__(
            f"the log {book} is open at another desk" + (f": {facts}" if facts else "")
        )


class Readable(Protocol):
    """A book to read from.

    `last` is the newest entry's number, 0 if there is none. `plans` is in the order
    in which plans were stored, keyed by hash: a lane's newest plan comes last.
    """

    @property
    def id(self) -> str: ...

    @property
    def event(self) -> str: ...

    @property
    def heat(self) -> str: ...

    @property
    def last(self) -> int: ...

    def entries(self, after: int = 0) -> list[Entry]: ...

    def hash_at(self, number: int) -> str: ...

    def plans(self) -> dict[str, Plan]: ...

    def snapshot(self) -> Snapshot: ...

    def verify(self) -> Broken | None: ...


class Book(Readable, Protocol):
    """A book with its one writer.

    `append` keeps all of the entries (and plans, as canonical bytes) or none, and
    returns when they are durable; it raises BookError otherwise, and for entries
    that are not this book's next ones. `mend` puts right what befell its file, or
    raises BookError; what was done is in words for the judge, empty for nothing.
    """

    def append(self, entries: Sequence[Entry], plans: Sequence[bytes] = ()) -> None: ...

    def mend(self) -> str: ...

    def close(self) -> None: ...


def iso_utc(ms: int) -> str:
    """A wall time as ISO 8601 with Z, to the ms; empty outside the years 1 to 9999."""
    try:
        moment = _EPOCH + timedelta(milliseconds=ms)
    except OverflowError:
        return ""
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _clock_utc(ms: int) -> str:
    return f"{iso_utc(ms)[:19].replace('T', ' ')} UTC"


def check_id(book_id: str) -> None:
    """Refuse a book id that is not a safe file name everywhere."""
    if not _ID.fullmatch(book_id):
        raise BookError(
            f"{book_id!r} cannot name a log; 1 to 80 of a-z, 0-9, _ and - can"
        )


def header_bytes(header: Header) -> bytes:
    """The stored bytes of a header."""
    check_id(header.book)
    return canonical(_HEADER.encode(header))


def read_header(data: bytes) -> Header:
    """The header that was stored as `data`; BookError if it is damaged."""
    try:
        header: Header = _HEADER.decode(parsed(data))
        check_id(header.book)
    except BookError as error:
        raise BookError(f"the head of the log is damaged: {error}") from error
    return header


_HEADER = shape_of(Header)


def next_rows(
    book_id: str, last: int, previous: bytes, entries: Sequence[Entry]
) -> list[Row]:
    """The rows that entries become after entry `last`, whose link is `previous`.

    Raises BookError unless they are this book's and numbered on without a gap.
    """
    rows = []
    for number, entry in enumerate(entries, last + 1):
        if entry.number != number or entry.book != book_id:
            raise BookError(
                f"entry {entry.number} of {entry.book} is not the next one; "
                f"{number} of {book_id} is"
            )
        data = encode_entry(entry)
        previous = chain.link(previous, data)
        rows.append(Row(number, data, previous))
    return rows


def new_plans(plans: Iterable[bytes], known: Iterable[str]) -> dict[str, bytes]:
    """Plans not yet known, by hash, each checked to be readable."""
    seen = set(known)
    fresh: dict[str, bytes] = {}
    for data in plans:
        decode_plan(data)
        name = plan_hash(data)
        if name not in seen:
            fresh[name] = data
    return fresh


def entries_of(header: Header, rows: Iterable[StoredRow]) -> list[Entry]:
    """The entries of stored rows; BookError names the first that is damaged."""
    wanted = list(rows)
    entries: list[Entry] = []
    for start in range(0, len(wanted), AT_ONCE):
        some = wanted[start : start + AT_ONCE]
        numbers, stored, _ = zip(*some, strict=True)
        read = sound_entries(header, numbers, stored)
        entries += read or [entry_of(header, row_of(row)) for row in some]
    return entries


def sound_entries(
    header: Header, numbers: Sequence[int], stored: Sequence[bytes]
) -> list[Entry] | None:
    """The entries of rows that are as they should be, or None if any is not."""
    if header.format != lift.FORMAT:
        return None
    entries = decode_many(header.book, stored)
    if entries is None or [e.number for e in entries] != [*numbers]:
        return None
    return entries


def plans_of(header: Header, stored: Iterable[tuple[str, bytes]]) -> dict[str, Plan]:
    """Stored plans by hash, in order; BookError if one is damaged."""
    plans = {}
    for name, data in stored:
        try:
            plans[name] = decode_plan(lift.lift_plan(header.format, data))
        except BookError as error:
            raise BookError(
                f"log {header.book}, plan {name[: chain.CODE_DIGITS]}: {error}"
            ) from error
    return plans


def links_of(snapshot: Snapshot) -> list[bytes]:
    """The links as the stored bytes make them, the header's first, up to any gap.

    Computed anew: what the book itself says its hashes are is not looked at.
    """
    numbers = [row.number for row in snapshot.rows]
    standing = next((n for n, number in enumerate(numbers) if number != n + 1), None)
    stored = [row.data for row in snapshot.rows[:standing]]
    first = chain.first_link(snapshot.header)
    return [first, *chain.links(first, stored)]


def entry_of(header: Header, row: Row) -> Entry:
    """The entry of a stored row; BookError if it is damaged."""
    try:
        entry = decode_entry(header.book, lift.lift_entry(header.format, row.data))
        if entry.number != row.number:
            raise BookError(f"it says that it is entry {entry.number}")  # noqa: TRY301 - named below
    except BookError as error:
        raise BookError(f"log {header.book}, entry {row.number}: {error}") from error
    return entry
