"""The chain: each entry's hash covers the one before it, so no change goes unseen.

SHA-256 (FIPS 180-4) over the previous link's 32 bytes followed by the stored bytes.
The first link is that of the book's header. A chain shows that entries were changed
only against something outside the file: the log code on a scorecard.
"""

from __future__ import annotations

import hashlib
import re
from typing import TYPE_CHECKING

from judgekit.core.errors import BookError

if TYPE_CHECKING:
    from collections.abc import Iterable

CODE_DIGITS = 10
_PIECE = re.compile(rf"(\d{{1,12}})\.([0-9a-f]{{{CODE_DIGITS}}})", re.ASCII)


def first_link(header: bytes) -> bytes:
    """The link that a book's first entry is chained to, from its stored header."""
    return hashlib.sha256(header).digest()


def link(previous: bytes, data: bytes) -> bytes:
    """The link of an entry stored as `data`, after the previous link."""
    return hashlib.sha256(previous + data).digest()


def links(previous: bytes, stored: Iterable[bytes]) -> list[bytes]:
    """The links of entries that follow each other, after the previous link."""
    sha256 = hashlib.sha256
    made = []
    for data in stored:
        previous = sha256(previous + data).digest()
        made.append(previous)
    return made


def piece(number: int, hash_hex: str) -> str:
    """One book's part of a log code: its last entry read, and ten digits of its hash.

    For a book of which no entry was read, number 0 and its first link.
    """
    return f"{number}.{hash_hex[:CODE_DIGITS]}"


def code_of(pieces: list[str] | tuple[str, ...]) -> str:
    """A lane's log code, from the pieces of its books in fold order."""
    return "+".join(pieces)


def parse_code(code: str) -> tuple[tuple[int, str], ...]:
    """The numbers and hash digits of a log code, as typed from paper.

    Blanks and capitals do not matter. Raises BookError for anything else.
    """
    pieces = []
    for text in "".join(code.split()).lower().split("+"):
        match = _PIECE.fullmatch(text)
        if not match:
            raise BookError(
                f'"{code}" is not a log code; one looks like 57.0a1b2c3d4e, '
                "or several of these joined by +"
            )
        pieces.append((int(match[1]), match[2]))
    return tuple(pieces)
