"""Room made ahead in the file beside a book, where SQLite writes each entry.

A write that makes a file longer waits until the disk has noted its new length and
place too; one within the file waits for its own bytes alone. SQLite begins at the
file's start again each time it was folded into the book. Zeros at its end are no
entries to anybody (sqlite.org, "Database File Format", 4.1: a frame counts with the
salts of the file's header only).
"""

from __future__ import annotations

import os
from contextlib import suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

# What two hundred presses fill: the file is folded in before that.
SIZE = 1 << 20


def lengthen(wal: Path) -> None:
    """See that the file is so long. Nothing here ever raises for the disk.

    Only the book's writer may, between two appends. An empty file stays empty: beside
    a book in use it means lost entries.
    """
    with suppress(OSError):
        length = wal.stat().st_size
        if 0 < length < SIZE:
            # A mode that never makes a file.
            with wal.open("r+b") as file:
                file.seek(length)
                file.write(bytes(SIZE - length))
                file.flush()
                os.fsync(file.fileno())
