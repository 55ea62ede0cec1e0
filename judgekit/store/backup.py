"""Copies of an event's log in another folder: whole, checked, never over a file."""

from __future__ import annotations

import secrets
import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from judgekit.core.errors import BookError
from judgekit.core.values import dataclass
from judgekit.store import sqlfile, sqlite
from judgekit.store.collector import collector_still
from judgekit.store.folder import book_paths
from judgekit.store.proof import find_broken
from judgekit.store.whole import take_name

if TYPE_CHECKING:
    from judgekit.store.book import Snapshot


class _CannotWrite(BookError):  # noqa: N818 - a fact about the folder
    """The folder for the copies cannot take them."""


Outcome = Literal["new", "there already", "damaged", "not copied"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BackedUp:
    """What became of one book: its copy (None if there is none), and what is wrong.

    A damaged book is copied as it is, as far as that can be read at all.
    """

    book: Path
    copy: Path | None
    heat: str
    entries: int
    outcome: Outcome
    what: str = ""

    def __bool__(self) -> bool:
        return not self.what


def heats(log: Path) -> tuple[str, ...]:
    """The heats that the books of a log folder are about."""
    return tuple(sorted({heat for path in book_paths(log) if (heat := _heat(path))}))


@collector_still()
def back_up(log: Path, folder: Path, heat: str | None = None) -> list[BackedUp]:
    """Copy every book, or those of one heat, also while desks write to them.

    A copy is what the book held at one moment: complete or not there at all, checked
    against the book, one plain file. A book whose head cannot be read may be of any
    heat. Raises BookError if the folder cannot take them.
    """
    if folder.resolve() == log.resolve():
        raise BookError(f"{folder} is the log itself; a copy belongs elsewhere")
    with sqlfile.in_words(folder, "written to"):
        folder.mkdir(parents=True, exist_ok=True)
    chosen = [p for p in book_paths(log) if heat is None or _heat(p) in (heat, "")]
    return [_copy(path, folder) for path in chosen]


def _heat(path: Path) -> str:
    try:
        return sqlfile.peek(path).heat
    except BookError:
        return ""


def _copy(path: Path, folder: Path) -> BackedUp:
    part = folder / f".{secrets.token_hex(4)}.part"
    try:
        heat = sqlfile.peek(path).heat
        _fill(path, part)
    except _CannotWrite:
        part.unlink(missing_ok=True)
        raise
    except BookError as error:
        part.unlink(missing_ok=True)
        return BackedUp(
            book=path,
            copy=None,
            heat=_heat(path),
            entries=0,
            outcome="not copied",
            what=str(error),
        )
    try:
        copied = _read(part)
        what = _what_is_wrong(path, copied)
        copy, new = _place(part, folder, path, copied)
    finally:
        part.unlink(missing_ok=True)
    outcome: Outcome = "new" if new else "there already"
    return BackedUp(
        book=path,
        copy=copy,
        heat=heat,
        entries=len(copied.rows) if copied else 0,
        outcome="damaged" if what else outcome,
        what=what,
    )


def _fill(path: Path, part: Path) -> None:
    """Copy page by page, as of one moment; BookError if the book is too damaged."""
    try:
        sqlfile.copy_pages(path, part)
    except sqlite3.Error as error:
        why = sqlfile.reason(error)
        if sqlfile.is_damage(error):
            raise BookError(f"{path.name} could not be copied: {why}") from error
        raise _CannotWrite(f"{part.parent} could not be written to: {why}") from error


def _read(path: Path) -> Snapshot | None:
    try:
        return sqlite.read(path).snapshot()
    except BookError:
        return None


def _what_is_wrong(path: Path, copied: Snapshot | None) -> str:
    """What is wrong with a copy, empty if it is whole and as the book began."""
    if copied is None:
        return "cannot be read whole: the file is damaged"
    broken = find_broken(copied)
    if broken is not None:
        return str(broken)
    book = _read(path)
    if book is None or book.header != copied.header:
        return "the log was changed while it was copied"
    if book.rows[: len(copied.rows)] != copied.rows:
        return "the log was changed while it was copied"
    return ""


def _place(
    part: Path, folder: Path, path: Path, copied: Snapshot | None
) -> tuple[Path, bool]:
    """Give a copy its name, the next one that is free; whether it is a new one.

    One that is there already, the same to the entry, is not made twice.
    """
    number = 1
    with sqlfile.in_words(folder, "written to"):
        while True:
            more = f"-{number}" if number > 1 else ""
            copy = folder / f"{path.stem}{more}{path.suffix}"
            try:
                take_name(part, copy)
            except FileExistsError:
                if copied is not None and _read(copy) == copied:
                    return copy, False
                number += 1
            else:
                sqlfile.flush_folder(folder)
                return copy, True
