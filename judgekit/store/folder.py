"""An event's log: a folder of books, read together and checked."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, TypeVar

from judgekit.core.bookname import NOT_SLUG, slug, transcribed_start
from judgekit.core.entry import Claim, Entry, Session
from judgekit.core.errors import BookError
from judgekit.core.plan import Plan
from judgekit.core.values import dataclass
from judgekit.store import readonly, stray
from judgekit.store.book import (
    Broken,
    Header,
    Snapshot,
    entries_of,
    plans_of,
    read_header,
)
from judgekit.store.bookpaths import SUFFIX
from judgekit.store.bookpaths import book_paths as book_paths  # noqa: PLC0414 - asked of here
from judgekit.store.codec import canonical, plan_hash
from judgekit.store.collector import collector_still
from judgekit.store.proof import Checked, checked

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.ruling import Ref

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
    def home(self) -> Path:
        """Where its writer keeps it, and its lock beside it, whichever file was read.

        A book that a rescue has only just written stands under another name.
        """
        return self.path.with_name(f"{self.id}{SUFFIX}")

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


class Twin(Protocol):
    """A sound file of a book, which may have others of the same book beside it."""

    @property
    def id(self) -> str: ...

    @property
    def path(self) -> Path: ...

    @property
    def last(self) -> int: ...

    @property
    def hashes(self) -> Sequence[str]: ...


Copy = TypeVar("Copy", bound=Twin)


@dataclass(frozen=True, slots=True, kw_only=True)
class Damaged:
    """A book that cannot be trusted: its file, and the first entry that is wrong.

    `standing` is what comes before that, None if not even the head can be read. Once
    a desk has carried on from entry `carried_on` of it, that much counts.
    """

    path: Path
    broken: Broken
    standing: BookCopy | None = None
    carried_on: int | None = None

    def __str__(self) -> str:
        on = f"; carried on from entry {self.carried_on}" if self.carried_on else ""
        # What could not be read at all names its file itself.
        what = str(self.broken).removeprefix(f"{self.path.name} ")
        return f"{self.path.name}: {what}{on}"


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
    """What a log folder holds: books to count by, and everything that is wrong.

    The books are the sound ones, and of damaged ones that another carries on from,
    what stands.
    """

    copies: tuple[BookCopy, ...] = ()
    damaged: tuple[Damaged, ...] = ()
    forks: tuple[Fork, ...] = ()


@collector_still()
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
    kept, forks = without_twins(copies)
    carried, noted = _carried_on(kept, damaged)
    copies = sorted((*kept, *carried), key=lambda copy: copy.id)
    return Found(copies=tuple(copies), damaged=noted, forks=forks)


def read_all(log: Path, heat: str | None = None) -> tuple[BookCopy, ...]:
    """Every book of a log folder, or of one heat, in the order of their ids.

    Raises BookError naming all that is forked, or damaged and not carried on from:
    nothing is left out without a word.
    """
    found = look(log, heat)
    open_ = [one for one in found.damaged if one.carried_on is None]
    wrong = [str(one) for one in (*open_, *found.forks)]
    if wrong:
        raise BookError("\n".join(wrong))
    return found.copies


def new_book_id(heat: str, lanes: Sequence[int], wall_ms: int, random_hex: str) -> str:
    """An id for a new book: heat and lanes to recognise it by, time and chance.

    It matches [a-z0-9_-]{1,80} whatever the heat is called.
    """
    where = f"l{min(lanes)}-{max(lanes)}" if len(lanes) > 1 else f"l{[*lanes, 0][0]}"
    moment = _EPOCH + timedelta(milliseconds=wall_ms)
    chance = NOT_SLUG.sub("", random_hex.lower())[:16]
    return f"{slug(heat)}_{where}_{moment:%Y%m%dt%H%M%Sz}_{chance}"


def transcribed_book_id(
    event: str,
    heat: str,
    lane: int,
    tally_bytes: bytes,
    run: int,
    covers: Sequence[Ref] = (),
) -> str:
    """The id of a transcribed book: the same for the same tally, always.

    `covers` is what it carries on: the same words said later are another book.
    """
    tally = hashlib.sha256(tally_bytes).hexdigest()
    carried = [[[ref.book, ref.number] for ref in covers]] if covers else []
    whole = canonical([event, heat, lane, tally, run, *carried])
    digest = hashlib.sha256(whole).hexdigest()[:16]
    return f"{transcribed_start(heat, lane)}{run}_{digest}"


def read_file(path: Path) -> tuple[Snapshot | None, Broken | None]:
    """What can be read of a file, and why that is not all, if it is not."""
    why = ""
    whole = astray = None
    try:
        with readonly.looking(path) as book:
            try:
                whole = book.snapshot()
                astray = _astray(book, whole)
            except BookError as error:
                why = str(error)
    except BookError as error:
        return None, Broken(number=0, what=str(error))
    if whole is None:
        return _read_standing(book, why)
    return whole, _hidden(book, whole) or astray


def _read_standing(
    book: readonly.ReadOnlyBook, why: str
) -> tuple[Snapshot | None, Broken]:
    try:
        standing = book.standing()
    except BookError:
        return None, Broken(number=0, what=why)
    number = len(standing.rows) + 1
    what = "cannot be read, nor what may follow: the file is damaged"
    return standing, Broken(number=number, what=what)


def _hidden(book: readonly.ReadOnlyBook, whole: Snapshot) -> Broken | None:
    """Entries that a file beside the book hides, being of another time or damaged."""
    try:
        wal = book.hidden_by()
        torn = not wal and book.is_torn()
    except BookError:
        return None
    what = stray.words(wal) if wal else ""
    if torn:
        what = f"and later ones are lost: {book.path.name}-wal is damaged"
    return Broken(number=len(whole.rows) + 1, what=what) if what else None


def _astray(book: readonly.ReadOnlyBook, whole: Snapshot) -> Broken | None:
    """Entries that must have been lost with the file that SQLite keeps beside a book.

    A book that holds nothing, or ends with the end of a session, misses none.
    """
    try:
        newest = [entry.body for entry in entries_of(book.header, whole.rows[-1:])]
        ended = all(isinstance(body, Session) and not body.start for body in newest)
        if ended or not book.wal_is_gone():
            return None
    except BookError:
        return None
    wal = f"{book.path.name}-wal"
    what = f"and later ones may be missing: {wal}, which belongs here, is gone"
    return Broken(number=len(whole.rows) + 1, what=what)


def _read_one(path: Path, heat: str | None) -> BookCopy | Damaged | None:
    """A sound book, a damaged one, or None for a book of another heat."""
    snapshot, broken = read_file(path)
    if snapshot is None:
        return Damaged(path=path, broken=broken or Broken(number=0, what="unreadable"))
    header = read_header(snapshot.header)
    if heat is not None and header.heat != heat:
        return None
    whole = checked(snapshot)
    broken = whole.broken or broken
    if broken is None:
        return _copy(path, header, snapshot, whole)
    return Damaged(path=path, broken=broken, standing=_standing(path, snapshot, broken))


def _copy(path: Path, header: Header, stored: Snapshot, whole: Checked) -> BookCopy:
    return BookCopy(
        id=header.book,
        event=header.event,
        heat=header.heat,
        path=path,
        entries=whole.entries,
        plans=whole.plans,
        hashes=tuple(map(bytes.hex, whole.links)),
        stored=stored,
    )


def _standing(path: Path, snapshot: Snapshot, broken: Broken) -> BookCopy | None:
    """What stands of a damaged book: whole up to an entry, with its sound plans."""
    plans = tuple(pair for pair in snapshot.plans if _is_sound(snapshot, pair))
    standing = _cut(replace(snapshot, plans=plans), broken)
    whole = checked(standing)
    while whole.broken is not None:
        if not whole.broken.number:
            return None
        standing = _cut(standing, whole.broken)
        whole = checked(standing)
    return _copy(path, read_header(snapshot.header), standing, whole)


def _cut(snapshot: Snapshot, broken: Broken) -> Snapshot:
    """What comes before the damage, all of it if no entry is damaged."""
    keep = broken.number - 1 if broken.number else None
    return replace(snapshot, rows=snapshot.rows[:keep])


def _is_sound(snapshot: Snapshot, plan: tuple[str, bytes]) -> bool:
    name, data = plan
    try:
        plans_of(read_header(snapshot.header), [plan])
    except BookError:
        return False
    return plan_hash(data) == name


def _carried_on(
    copies: Sequence[BookCopy], damaged: Sequence[Damaged]
) -> tuple[list[BookCopy], tuple[Damaged, ...]]:
    """What counts of damaged books: those that a claim takes over, if that stands."""
    known = {copy.id: copy for copy in copies}
    carried: dict[Path, int] = {}
    used: list[BookCopy] = []
    while True:
        covers = _covers([*copies, *used])
        fresh = [
            one
            for one in damaged
            if one.standing is not None
            and one.standing.id not in known
            and 0 < covers.get(one.standing.id, 0) <= one.standing.last
        ]
        if not fresh:
            break
        for one in fresh:
            standing = one.standing
            if standing is not None and standing.id not in known:
                known[standing.id] = standing
                used.append(standing)
                carried[one.path] = covers[standing.id]
    noted = (replace(one, carried_on=carried.get(one.path)) for one in damaged)
    return used, tuple(noted)


def _covers(copies: Iterable[BookCopy]) -> dict[str, int]:
    """Up to where each book is taken over by another."""
    found: dict[str, int] = {}
    for copy in copies:
        for entry in copy.entries:
            if isinstance(entry.body, Claim):
                for ref in entry.body.covers:
                    if ref.book != copy.id:
                        found[ref.book] = max(ref.number, found.get(ref.book, 0))
    return found


def without_twins(
    copies: Iterable[Copy],
) -> tuple[tuple[Copy, ...], tuple[Fork, ...]]:
    """The longest copy of each book, and the forks of those that part ways."""
    by_id: dict[str, list[Copy]] = {}
    for copy in copies:
        by_id.setdefault(copy.id, []).append(copy)
    kept: list[Copy] = []
    forks: list[Fork] = []
    for _, twins in sorted(by_id.items()):
        longest, *others = sorted(twins, key=lambda copy: -copy.last)
        parted = [fork for one in others if (fork := _fork(longest, one))]
        forks += parted
        if not parted:
            kept.append(longest)
    return tuple(kept), tuple(forks)


def _fork(longer: Twin, shorter: Twin) -> Fork | None:
    for number, (one, other) in enumerate(
        zip(longer.hashes, shorter.hashes, strict=False)
    ):
        if one != other:
            return Fork(
                id=longer.id, first=longer.path, second=shorter.path, number=number
            )
    return None
