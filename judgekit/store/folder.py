"""An event's log: a folder of books, read together and checked."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.core.entry import Entry
from judgekit.core.errors import BookError
from judgekit.core.plan import Plan
from judgekit.store import chain, sqlite
from judgekit.store.book import (
    Broken,
    Snapshot,
    checked,
    find_broken,
    links_of,
    read_header,
)
from judgekit.store.codec import canonical

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_SLUG_LENGTH = 24
_NOT_SLUG = re.compile(r"[^a-z0-9]+")
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class BookCopy:
    """A whole book as it was when read, its chain checked.

    `plans` is keyed by hash, in the order of storing. `hashes[n]` is the hash of
    entry n in hex, `hashes[0]` the first link.
    """

    id: str
    event: str
    heat: str
    path: Path
    entries: tuple[Entry, ...]
    plans: dict[str, Plan]
    hashes: tuple[str, ...]
    stored: Snapshot

    @property
    def last(self) -> int:
        """The newest entry's number, 0 if there is none."""
        return len(self.entries)

    def snapshot(self) -> Snapshot:
        """The book as it was stored."""
        return self.stored

    def hash_at(self, number: int) -> str:
        """The hash of an entry in hex; BookError if there is no such entry."""
        if not 0 <= number <= self.last:
            raise BookError(f"the log {self.id} has no entry {number}")
        return self.hashes[number]


@dataclass(frozen=True, slots=True, kw_only=True)
class Damaged:
    """A book that cannot be trusted: its file, and the first entry that is wrong."""

    path: Path
    broken: Broken

    def __str__(self) -> str:
        return f"{self.path.name}: {self.broken}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fork:
    """Two files of one book that part ways at entry `number`: neither may be used."""

    id: str
    first: Path
    second: Path
    number: int

    def __str__(self) -> str:
        where = f"from entry {self.number} on" if self.number else "from their heads on"
        return (
            f"{self.first.name} and {self.second.name} are two different logs {self.id}"
            f", {where}; keep the right one here and move the other away"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a log folder holds: sound books, and everything that is wrong."""

    copies: tuple[BookCopy, ...] = ()
    damaged: tuple[Damaged, ...] = ()
    forks: tuple[Fork, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """One file checked: the book's id (empty if unreadable) and how many entries."""

    path: Path
    id: str
    entries: int
    broken: Broken | None

    def __bool__(self) -> bool:
        return self.broken is None


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceResult:
    """One piece of a log code: the book it stands in, or why it stands in none."""

    number: int
    digits: str
    book: str
    what: str = ""

    def __bool__(self) -> bool:
        return bool(self.book)


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeResult:
    """A log code checked, true only if all of its pieces stand."""

    code: str
    pieces: tuple[PieceResult, ...]

    def __bool__(self) -> bool:
        return all(self.pieces)


def book_paths(log: Path) -> list[Path]:
    """The book files of a log folder, sorted; none if there is no such folder."""
    return sorted(path for path in log.glob(f"*{sqlite.SUFFIX}") if path.is_file())


def look(log: Path, heat: str | None = None) -> Found:
    """Read every book of a log folder, or of one heat; what is wrong is set apart.

    Of two copies of one book the longer is used if the shorter is its beginning.
    """
    copies: list[BookCopy] = []
    damaged: list[Damaged] = []
    for path in book_paths(log):
        read = _read_one(path, heat)
        if isinstance(read, BookCopy):
            copies.append(read)
        elif read is not None:
            damaged.append(read)
    kept, forks = _without_twins(copies)
    return Found(copies=kept, damaged=tuple(damaged), forks=forks)


def read_all(log: Path, heat: str | None = None) -> tuple[BookCopy, ...]:
    """Every book of a log folder, or of one heat, in the order of their ids.

    Raises BookError naming all that is damaged or forked: nothing is left out
    without a word.
    """
    found = look(log, heat)
    wrong = [str(one) for one in (*found.damaged, *found.forks)]
    if wrong:
        raise BookError("\n".join(wrong))
    return found.copies


def verify_folder(log: Path) -> list[Verified]:
    """Every book file checked: chain, contents, plans, and against its other copies."""
    forks = look(log).forks
    return [_forked(_verified(path), forks) for path in book_paths(log)]


def verify_code(log: Path, code: str) -> CodeResult:
    """Whether the entries that a log code was read from still stand, piece by piece.

    A book with later damage still answers for the entries before it. Raises
    BookError if `code` is no log code.
    """
    wanted = chain.parse_code(code)
    books = [
        (_id_of(snapshot), [link.hex() for link in links_of(snapshot)])
        for path in book_paths(log)
        if isinstance(snapshot := _snapshot(path), Snapshot)
    ]
    pieces = tuple(_piece(number, digits, books) for number, digits in wanted)
    return CodeResult(code=code, pieces=pieces)


def new_book_id(heat: str, lanes: Sequence[int], wall_ms: int, random_hex: str) -> str:
    """An id for a new book: heat and lanes to recognise it by, time and chance.

    It matches [a-z0-9_-]{1,80} whatever the heat is called.
    """
    where = f"l{min(lanes)}-{max(lanes)}" if len(lanes) > 1 else f"l{[*lanes, 0][0]}"
    moment = _EPOCH + timedelta(milliseconds=wall_ms)
    chance = _NOT_SLUG.sub("", random_hex.lower())[:16]
    return f"{_slug(heat)}_{where}_{moment:%Y%m%dt%H%M%Sz}_{chance}"


def transcribed_book_id(
    event: str, heat: str, lane: int, tally_bytes: bytes, run: int
) -> str:
    """The id of a transcribed book: the same for the same tally, always."""
    tally = hashlib.sha256(tally_bytes).hexdigest()
    whole = canonical([event, heat, lane, tally, run])
    digest = hashlib.sha256(whole).hexdigest()[:16]
    return f"{_slug(heat)}_l{lane}_run{run}_{digest}"


def _slug(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name).casefold()
    return _NOT_SLUG.sub("-", plain).strip("-")[:_SLUG_LENGTH].strip("-") or "heat"


def _snapshot(path: Path) -> Snapshot | Broken:
    try:
        return sqlite.read(path).snapshot()
    except BookError as error:
        return Broken(number=0, what=str(error))


def _read_one(path: Path, heat: str | None) -> BookCopy | Damaged | None:
    """A sound book, a damaged one, or None for a book of another heat."""
    snapshot = _snapshot(path)
    if isinstance(snapshot, Broken):
        return Damaged(path=path, broken=snapshot)
    header = read_header(snapshot.header)
    if heat is not None and header.heat != heat:
        return None
    whole = checked(snapshot)
    if whole.broken:
        return Damaged(path=path, broken=whole.broken)
    return BookCopy(
        id=header.book,
        event=header.event,
        heat=header.heat,
        path=path,
        entries=whole.entries,
        plans=whole.plans,
        hashes=tuple(link.hex() for link in whole.links),
        stored=snapshot,
    )


def _without_twins(
    copies: Iterable[BookCopy],
) -> tuple[tuple[BookCopy, ...], tuple[Fork, ...]]:
    by_id: dict[str, list[BookCopy]] = {}
    for copy in copies:
        by_id.setdefault(copy.id, []).append(copy)
    kept: list[BookCopy] = []
    forks: list[Fork] = []
    for _, twins in sorted(by_id.items()):
        longest, *others = sorted(twins, key=lambda copy: -copy.last)
        parted = [fork for one in others if (fork := _fork(longest, one))]
        forks += parted
        if not parted:
            kept.append(longest)
    return tuple(kept), tuple(forks)


def _fork(longer: BookCopy, shorter: BookCopy) -> Fork | None:
    for number, (one, other) in enumerate(
        zip(longer.hashes, shorter.hashes, strict=False)
    ):
        if one != other:
            return Fork(
                id=longer.id, first=longer.path, second=shorter.path, number=number
            )
    return None


def _verified(path: Path) -> Verified:
    snapshot = _snapshot(path)
    if isinstance(snapshot, Broken):
        return Verified(path=path, id="", entries=0, broken=snapshot)
    return Verified(
        path=path,
        id=_id_of(snapshot),
        entries=len(snapshot.rows),
        broken=find_broken(snapshot),
    )


def _id_of(snapshot: Snapshot) -> str:
    return read_header(snapshot.header).book


def _forked(result: Verified, forks: Iterable[Fork]) -> Verified:
    for fork in forks:
        if result.path in (fork.first, fork.second) and result.broken is None:
            return Verified(
                path=result.path,
                id=result.id,
                entries=result.entries,
                broken=Broken(number=fork.number, what=str(fork)),
            )
    return result


def _piece(
    number: int, digits: str, books: Sequence[tuple[str, list[str]]]
) -> PieceResult:
    for book, hashes in books:
        if number < len(hashes) and hashes[number].startswith(digits):
            return PieceResult(number=number, digits=digits, book=book)
    others = [
        f"{book} has another entry {number}"
        if number < len(hashes)
        else f"{book} goes to entry {len(hashes) - 1} only"
        for book, hashes in books
    ]
    return PieceResult(
        number=number,
        digits=digits,
        book="",
        what=f"no log here has entry {number} as it was read: "
        + ("; ".join(others) or "there are no logs"),
    )
