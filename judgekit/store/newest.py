"""How far the books of a log are, without reading them: the newest entry of each.

Its hash covers every entry before it, so that whatever was made of a book is still what
the book says for as long as number and hash are the same.
"""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

from judgekit.core.errors import BookError
from judgekit.store import sqlfile
from judgekit.store.bookpaths import book_paths

if TYPE_CHECKING:
    from pathlib import Path


def newest_entries(log: Path) -> dict[str, tuple[int, str]]:
    """Number and hash of each book's newest entry, by the names of their files.

    Raises BookError for a book of which that cannot be read.
    """
    return {path.name: _newest(path) for path in book_paths(log)}


def _newest(path: Path) -> tuple[int, str]:
    with sqlfile.in_words(path, "read"), closing(sqlfile.open_reader(path)) as book:
        rows = book.execute(
            "SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1"
        ).fetchall()
    if not rows:
        return 0, ""
    number, link = rows[0]
    if type(number) is not int or type(link) is not bytes:
        raise BookError(f"{path.name} is damaged")
    return number, link.hex()
