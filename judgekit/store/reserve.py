"""Room kept on the disk beside a book, to be given up when the disk is full."""

from __future__ import annotations

import os
from contextlib import suppress
from typing import TYPE_CHECKING

from judgekit.store.disk import free_bytes

if TYPE_CHECKING:
    from pathlib import Path

# With what SQLite reuses, this holds some thousand entries: more than any heat has.
SIZE = 1 << 20
# It is kept again only when there is plenty.
_PLENTY = 16 * SIZE


class Reserve:
    """A file of one mebibyte beside the book. Nothing here ever raises for the disk."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def keep(self) -> bool:
        """Keep the room; whether it is kept. What a crash left there serves again."""
        with suppress(OSError):
            if self._path.is_file() and self._path.stat().st_size >= SIZE:
                return True
            if free_bytes(self._path.parent) >= _PLENTY:
                self._write()
                return True
        return False

    def give_up(self) -> bool:
        """Give the room back to the disk; whether there was any."""
        try:
            self._path.unlink()
        except OSError:
            return False
        return True

    def _write(self) -> None:
        try:
            with self._path.open("wb") as file:
                # Bytes by chance, as some disks store zeros without room.
                file.write(os.urandom(SIZE))
                file.flush()
                os.fsync(file.fileno())
        except OSError:
            self.give_up()
            raise
