"""A book whose file went away while it was open: written anew at its own place.

Whatever stands in that place by now is set aside under a new name, never written over.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from itertools import count
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.errors import BookError
from judgekit.store import sqlfile
from judgekit.store.whole import take_name

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.store.book import Snapshot

Identity = tuple[int, ...] | None

# What SQLite keeps beside a file, by its name's end.
_BESIDE = ("-wal", "-shm", "-journal")


class Place(NamedTuple):
    """What lies at a book's place: its file, and the log that SQLite keeps beside it.

    Only the writer changes the file, so its size and time tell of anybody else; the
    file beside it is changed by every entry, so only which one it is counts.
    """

    file: Identity
    wal: Identity

    @classmethod
    def of(cls, path: Path) -> Place:
        """What lies there now; OSError if nobody can say."""
        name = str(path)
        found, wal = _stat(name), _stat(name + "-wal")
        return cls(
            found and (found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns),
            wal and (wal.st_dev, wal.st_ino),
        )

    def is_same(self, other: Place) -> bool:
        """Whether the same files lie there, even if somebody touched ours."""
        if self.file is None or other.file is None:
            return False
        return self.file[:2] == other.file[:2] and self.wal == other.wal


def which(path: Path) -> Identity:
    """Which file has that name, None if there is none; OSError if nobody can say."""
    found = _stat(str(path))
    return found and (found.st_dev, found.st_ino)


def anew_of(path: Path) -> Path:
    """Where a book that is written anew stands whole until its own place is free."""
    return path.with_suffix(f".anew{path.suffix}")


def write_anew(path: Path, whole: Snapshot, was: Place) -> str:
    """Put a book back to its place from memory; what happened to it, in words.

    `was` is what lay there while it was sound. The caller holds the lock. Raises
    BookError or OSError; then nothing was lost and it can be tried again. Killed on
    the way, it leaves the whole book where it is found: at its place or at `anew_of`.
    """
    with sqlfile.in_words(path, "written anew"):
        path.parent.mkdir(parents=True, exist_ok=True)
        sqlfile.grow(path, whole).replace(anew_of(path))
        sqlfile.flush_folder(path.parent)
        sqlfile.flush_folder(path.parent.parent)
        return _take_place(path, len(whole.rows), was)


def settle(path: Path) -> str:
    """End what a rescue that was killed began; in words, empty for nothing to tell.

    The caller holds the lock of the book at `path`, and `anew_of` it is whole.
    """
    with sqlfile.in_words(path, "written anew"):
        anew, there = _read(anew_of(path)), _read(path)
        if anew is None:
            raise BookError(f"{anew_of(path).name} cannot be read whole")
        many = len(anew.rows)
        if there is None or there.rows[:many] != anew.rows:
            return _take_place(path, many, Place(file=None, wal=None))
        anew_of(path).unlink()
        return ""


def _take_place(path: Path, many: int, was: Place) -> str:
    aside = _set_aside(path, was)
    take_name(anew_of(path), path)
    anew_of(path).unlink(missing_ok=True)
    sqlfile.flush_folder(path.parent)
    again = f"it was written anew, all {many} entries"
    if aside:
        return f"Something changed the log's file: {again}. The other is {aside}."
    return f"The log's file was gone: {again}."


def _read(path: Path) -> Snapshot | None:
    try:
        with closing(sqlfile.open_reader(path)) as connection:
            return sqlfile.read_snapshot(connection)
    except (sqlite3.Error, UnicodeDecodeError, BookError):
        return None


def _set_aside(path: Path, was: Place) -> str:
    """Give what lies in the book's place another name; that name, empty for none."""
    now = Place.of(path)
    # Two files that came together stay together; ours fits no other file.
    ours = now.wal == was.wal or (now.file or ())[:2] == (was.file or ())[:2]
    aside = _free(path)
    for end in _BESIDE:
        beside = path.with_name(path.name + end)
        if beside.exists():
            kept = end.replace("-", ".") if ours else end
            beside.rename(aside.with_name(aside.name + kept))
    if now.file is None:
        return ""
    path.rename(aside)
    return aside.name


def _free(path: Path) -> Path:
    names = (path.with_name(f"{path.name}.aside-{n}") for n in count(1))
    return next(
        name
        for name in names
        if not any(name.with_name(name.name + end).exists() for end in _ENDS)
    )


_ENDS = ("", *_BESIDE, *(end.replace("-", ".") for end in _BESIDE))


def _stat(path: str) -> os.stat_result | None:
    try:
        return os.stat(path)  # noqa: PTH116 - at every press, and the name says it
    except (FileNotFoundError, NotADirectoryError):
        return None
