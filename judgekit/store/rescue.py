"""A book whose file went away while it was open: written anew at its own place.

Whatever stands in that place by now is set aside under a new name, never written over.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from itertools import count
from typing import TYPE_CHECKING

from judgekit.store import sqlfile
from judgekit.store.whole import take_name

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.store.book import Snapshot

Identity = tuple[int, ...] | None

# What SQLite keeps beside a file, by its name's end.
_BESIDE = ("-wal", "-shm", "-journal")


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """What lies at a book's place: its file, and the log that SQLite keeps beside it.

    Only the writer changes the file, so its size and time tell of anybody else; the
    file beside it is changed by every entry, so only which one it is counts.
    """

    file: Identity
    wal: Identity

    @classmethod
    def of(cls, path: Path) -> Place:
        """What lies there now; OSError if nobody can say."""
        found = _stat(str(path))
        wal = _stat(f"{path}-wal")
        return cls(
            file=found
            and (found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns),
            wal=wal and (wal.st_dev, wal.st_ino),
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


def write_anew(path: Path, whole: Snapshot, was: Place) -> str:
    """Put a book back to its place from memory; what happened to it, in words.

    `was` is what lay there while it was sound. The caller holds the lock. Raises
    BookError or OSError; then nothing was lost and it can be tried again.
    """
    with sqlfile.in_words(path, "written anew"):
        path.parent.mkdir(parents=True, exist_ok=True)
        growing = sqlfile.grow(path, whole)
        try:
            aside = _set_aside(path, was)
            take_name(growing, path)
        finally:
            growing.unlink(missing_ok=True)
        sqlfile.flush_folder(path.parent)
        sqlfile.flush_folder(path.parent.parent)
    many = len(whole.rows)
    again = f"it was written anew, all {many} entries"
    if aside:
        return f"Something changed the log's file: {again}. The other is {aside}."
    return f"The log's file was gone: {again}."


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
