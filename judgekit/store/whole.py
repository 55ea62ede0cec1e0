"""Files written whole or not at all, and never over another one unless asked."""

from __future__ import annotations

import os
import secrets
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


def write_whole(path: Path, data: bytes, *, over: bool) -> None:
    """Write a file whose bytes are durable before its name is there.

    FileExistsError if the name is taken and not to be written `over`, even if another
    program took it just now; any other OSError is passed on. What lay there stays.
    """
    part = path.with_name(f".{secrets.token_hex(4)}.part")
    file = part.open("xb")
    try:
        with file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if not over:
            take_name(part, path)
        else:
            part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def take_name(part: Path, path: Path) -> None:
    """Give a finished file its name: FileExistsError unless that is free.

    Where the disk knows links the name `part` stays too.
    """
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:
        # Not every disk knows links; there the name is taken empty, then filled.
        path.open("xb").close()
        part.replace(path)
