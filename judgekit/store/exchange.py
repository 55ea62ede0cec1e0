"""Books as JSON Lines, for other programs and for moving them; and back, unchanged.

One object a line, in ASCII. A book is one line of type "book", then one for each
plan, then one for each entry:

    {"type": "book", "format", "book", "event", "heat", "created", "created_at",
     "plans", "entries"}                      how many plans and entries follow
    {"type": "plan", "hash", "plan"}
    {"type": "entry", "book", "number", "lane", "at", "wall", "wall_at", "who", "set",
     "kind", "body", "hash"}

`at` is heat time in ms, `wall` and `created` UTC in ms since 1970, `wall_at` and
`created_at` the same as ISO 8601. Nothing in a file is taken on trust: each line must
be what this program would have written for the book that its hashes belong to.
"""

from __future__ import annotations

import json
from contextlib import closing
from dataclasses import field
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Literal, Protocol

from judgekit.core.errors import BookError, InputError, Problem
from judgekit.core.values import dataclass
from judgekit.store import chain, sqlfile, sqlite
from judgekit.store.book import (
    Header,
    Row,
    Snapshot,
    entries_of,
    header_bytes,
    iso_utc,
    plans_of,
    read_header,
)
from judgekit.store.codec import canonical, parsed, plan_hash
from judgekit.store.lift import check_format
from judgekit.store.whole import write_whole

if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import TextIO

Outcome = Literal["new", "longer now", "there already"]

_ROW_KEYS = ("number", "lane", "at", "wall", "who", "set", "kind", "body")


class HasSnapshot(Protocol):
    """A book, or a copy of one, seen at one moment."""

    def snapshot(self) -> Snapshot: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportedBook:
    """One book of an imported file: where it is now, and with how many entries."""

    id: str
    path: Path
    entries: int
    outcome: Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportReport:
    """What an import did. `rest` is where a cut-off last line was kept, if any."""

    books: tuple[ImportedBook, ...]
    warnings: tuple[str, ...] = ()
    rest: Path | None = None


def export(books: Iterable[HasSnapshot], out: TextIO) -> None:
    """Write books as JSON Lines, in the order given; the same books, the same text."""
    for book in books:
        out.writelines(json.dumps(line) + "\n" for line in _lines(book.snapshot()))


def import_file(
    path: Path, folder: Path, patience: float = sqlite.PATIENCE_SECONDS
) -> ImportReport:
    """Make books in `folder` from an exported file: same ids, entries and hashes.

    A cut-off last line costs only itself: it is kept beside the books, with a
    warning. Any other damage raises InputError with the line, and nothing is written;
    so does a book of the same id that is there with other entries (BookError). A
    book that is there already is left, or carried on if the file knows more of it;
    BookHeld if it is still in use after `patience` seconds.
    """
    try:
        whole = path.read_bytes()
    except OSError as error:
        raise BookError(f"{path} could not be read: {error.strerror}") from error
    arriving = _Arriving(str(path))
    *lines, last = whole.split(b"\n")
    for line in lines:
        arriving.take(line)
    fragment = arriving.take_last(last)
    arriving.check_any()
    folder.mkdir(parents=True, exist_ok=True)
    landings = [_Landing(book.snapshot(), folder) for book in arriving.books]
    books = tuple(landing.land(patience) for landing in landings)
    rest = _keep_rest(fragment, folder / f"{path.name}.rest") if fragment else None
    warnings = _warnings(arriving, path, rest)
    return ImportReport(books=books, warnings=warnings, rest=rest)


def _lines(snapshot: Snapshot) -> Iterable[dict[str, object]]:
    header = read_header(snapshot.header)
    yield _book_line(header, plans=len(snapshot.plans), entries=len(snapshot.rows))
    for name, data in snapshot.plans:
        yield {"type": "plan", "hash": name, "plan": parsed(data)}
    for row in snapshot.rows:
        yield _entry_line(header, row)


def _book_line(header: Header, *, plans: int, entries: int) -> dict[str, object]:
    return {
        "type": "book",
        "format": header.format,
        "book": header.book,
        "event": header.event,
        "heat": header.heat,
        "created": header.created,
        "created_at": iso_utc(header.created),
        "plans": plans,
        "entries": entries,
    }


def _entry_line(header: Header, row: Row) -> dict[str, object]:
    (entry,) = entries_of(header, [row])
    stored = dict(zip(_ROW_KEYS, json.loads(row.data), strict=True))
    return {
        "type": "entry",
        "book": header.book,
        **{key: stored[key] for key in ("number", "lane", "at", "wall")},
        "wall_at": iso_utc(entry.wall),
        **{key: stored[key] for key in ("who", "set", "kind", "body")},
        "hash": row.hash.hex(),
    }


@dataclass(slots=True, kw_only=True)
class _ArrivingBook:
    """A book being read from a file, checked as far as it has come."""

    header: Header
    wants: dict[str, int]
    plans: list[tuple[str, bytes]] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def snapshot(self) -> Snapshot:
        return Snapshot(
            header=header_bytes(self.header),
            rows=tuple(self.rows),
            plans=tuple(self.plans),
        )

    def missing(self) -> str:
        """What the head of the book promised and did not come, in words."""
        has = {"entries": len(self.rows), "plans": len(self.plans)}
        short = [
            f"{many} of {self.wants[what]} {what}"
            for what, many in has.items()
            if many != self.wants[what]
        ]
        return f"{' and '.join(short)} of the log {self.header.book}" if short else ""

    def add_plan(self, line: dict[str, object]) -> None:
        data = canonical(line.get("plan"))
        name = plan_hash(data)
        plans_of(self.header, [(name, data)])
        _check_line(line, {"type": "plan", "hash": name, "plan": parsed(data)})
        self._check_room("plans", len(self.plans))
        self.plans.append((name, data))

    def add_entry(self, line: dict[str, object]) -> None:
        data = canonical([line.get(key) for key in _ROW_KEYS])
        previous = (
            self.rows[-1].hash
            if self.rows
            else chain.first_link(header_bytes(self.header))
        )
        number = len(self.rows) + 1
        row = Row(number, data, chain.link(previous, data))
        _check_line(line, _entry_line(self.header, row))
        self._check_room("entries", len(self.rows))
        self.rows.append(row)

    def _check_room(self, what: str, many: int) -> None:
        if many >= self.wants[what]:
            raise BookError(f"its log has only {self.wants[what]} {what}")


class _Arriving:
    """The lines of a file, taken one at a time; InputError names the bad one."""

    def __init__(self, file: str) -> None:
        self.books: list[_ArrivingBook] = []
        self._file = file
        self._line = 0

    def take(self, data: bytes) -> None:
        """Take one whole line; blank lines say nothing."""
        self._line += 1
        if not data.strip():
            return
        try:
            self._take_object(_object_of(data))
        except BookError as error:
            raise self._refuse(f"this line is damaged: {error}") from error

    def take_last(self, data: bytes) -> bytes:
        """Take what stands after the last line end; give it back if it is cut off."""
        try:
            if data.strip():
                _object_of(data)
        except BookError:
            return data
        self.take(data)
        return b""

    def check_any(self) -> None:
        """Refuse a file without any book in it."""
        if not self.books:
            raise self._refuse("there is no log in this file")

    def _take_object(self, line: dict[str, object]) -> None:
        match line.get("type"):
            case "book":
                self._start(line)
            case "plan" if self.books:
                self.books[-1].add_plan(line)
            case "entry" if self.books:
                self.books[-1].add_entry(line)
            case "plan" | "entry":
                raise BookError('a line of type "book" must come first')
            case _:
                raise BookError('its "type" is not book, plan or entry')

    def _start(self, line: dict[str, object]) -> None:
        if self.books and (missing := self.books[-1].missing()):
            raise BookError(f"before it there are only {missing}")
        written = line.get("format")
        if type(written) is not int:
            raise BookError('its "format" is not a whole number')
        check_format(written, self._file)
        keys = ("format", "book", "event", "heat", "created")
        header = read_header(canonical({key: line.get(key) for key in keys}))
        plans, entries = line.get("plans"), line.get("entries")
        if type(plans) is not int or type(entries) is not int:
            raise BookError('its "plans" and "entries" are not whole numbers')
        _check_line(line, _book_line(header, plans=plans, entries=entries))
        if any(book.header.book == header.book for book in self.books):
            raise BookError(f"the log {header.book} is in this file twice")
        self.books.append(
            _ArrivingBook(header=header, wants={"plans": plans, "entries": entries})
        )

    def _refuse(self, what: str) -> InputError:
        right = "nothing was written; export the log again, or mend this line"
        return InputError(
            [Problem(file=self._file, line=max(self._line, 1), what=what, right=right)]
        )


class _Landing:
    """One arriving book and its place in the folder; conflicts show before a write."""

    def __init__(self, snapshot: Snapshot, folder: Path) -> None:
        self._snapshot = snapshot
        self._header = read_header(snapshot.header)
        self._path = folder / f"{self._header.book}{sqlite.SUFFIX}"
        self._there = (
            sqlite.read(self._path).snapshot() if self._path.exists() else None
        )
        if self._there and not _same_beginning(self._there, snapshot):
            raise BookError(
                f"{self._path} is another log of the same name; nothing was written"
            )

    def land(self, patience: float) -> ImportedBook:
        there = self._there
        if there is None:
            lock = sqlite.take_lock(self._path, patience)
            try:
                sqlfile.build(self._path, self._snapshot)
            finally:
                lock.release()
            return self._landed("new", len(self._snapshot.rows))
        if len(there.rows) >= len(self._snapshot.rows):
            return self._landed("there already", len(there.rows))
        with closing(sqlite.reopen(self._path, patience)) as book:
            later = self._snapshot.rows[len(there.rows) :]
            book.append(
                entries_of(self._header, later),
                [data for _, data in self._snapshot.plans],
            )
        return self._landed("longer now", len(self._snapshot.rows))

    def _landed(self, outcome: Outcome, entries: int) -> ImportedBook:
        return ImportedBook(
            id=self._header.book, path=self._path, entries=entries, outcome=outcome
        )


def _same_beginning(one: Snapshot, other: Snapshot) -> bool:
    return one.header == other.header and all(
        a == b for a, b in zip(one.rows, other.rows, strict=False)
    )


def _object_of(data: bytes) -> dict[str, object]:
    value = parsed(data)
    if not isinstance(value, dict):
        raise BookError("it is not a JSON object")
    return value


def _check_line(line: dict[str, object], expected: dict[str, object]) -> None:
    """Refuse a line that is not the one we would have written."""
    wrong = [
        key
        for key in sorted({*line, *expected})
        if canonical(line.get(key)) != canonical(expected.get(key))
    ]
    if wrong:
        names = ", ".join(f'"{key}"' for key in wrong)
        raise BookError(f"{names} does not fit the rest")


def _keep_rest(fragment: bytes, path: Path) -> Path:
    """Keep a cut-off line in a file of its own, never over a different one."""
    free = path
    for number in count(2):
        try:
            write_whole(free, fragment, over=False)
        except FileExistsError:
            if free.is_file() and free.read_bytes() == fragment:
                break
            free = path.with_name(f"{path.name}-{number}")
        else:
            sqlfile.flush_folder(path.parent)
            break
    return free


def _warnings(arriving: _Arriving, path: Path, rest: Path | None) -> tuple[str, ...]:
    missing = arriving.books[-1].missing() if arriving.books else ""
    kept = f"; {missing} were kept" if missing else ""
    if rest:
        return (f"{path}: the last line is cut off{kept}; it is in {rest}",)
    if missing:
        return (f"{path}: the file ends early{kept}",)
    return ()
