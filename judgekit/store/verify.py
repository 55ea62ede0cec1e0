"""Checking a log: every file against itself and its copies, and codes on paper."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.store import chain
from judgekit.store.book import Broken, Snapshot, links_of, read_header
from judgekit.store.collector import collector_still
from judgekit.store.folder import Fork, book_paths, read_file, without_twins
from judgekit.store.proof import find_broken

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


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


@collector_still()
def verify_folder(log: Path) -> list[Verified]:
    """Every book file checked: chain, contents, plans, and against its other copies."""
    files = [_File(path, *read_file(path)) for path in book_paths(log)]
    results = [file.verified() for file in files]
    sound = [f for f, result in zip(files, results, strict=True) if result]
    _, forks = without_twins(sound)
    return [_forked(result, forks) for result in results]


@collector_still()
def verify_code(log: Path, code: str) -> CodeResult:
    """Whether the entries that a log code was read from still stand, piece by piece.

    A book with later damage still answers for the entries before it. Raises
    BookError if `code` is no log code.
    """
    wanted = chain.parse_code(code)
    books = [
        (_id_of(snapshot), [link.hex() for link in links_of(snapshot)])
        for path in book_paths(log)
        if (snapshot := read_file(path)[0]) is not None
    ]
    pieces = tuple(_piece(number, digits, books) for number, digits in wanted)
    return CodeResult(code=code, pieces=pieces)


class _File:
    """What a file holds, and why that is not all, if it is not."""

    def __init__(
        self, path: Path, snapshot: Snapshot | None, broken: Broken | None
    ) -> None:
        self.path = path
        self.id = _id_of(snapshot) if snapshot else ""
        self.last = len(snapshot.rows) if snapshot else 0
        self._snapshot = snapshot
        self._broken = broken

    @property
    def hashes(self) -> list[str]:
        """The links of a sound file, the header's first."""
        return (
            [link.hex() for link in links_of(self._snapshot)] if self._snapshot else []
        )

    def verified(self) -> Verified:
        found = find_broken(self._snapshot) if self._snapshot else None
        return Verified(
            path=self.path,
            id=self.id,
            entries=self.last,
            broken=found or self._broken,
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
