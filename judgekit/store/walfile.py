"""What a damaged file beside a book has cost: commits that SQLite passes over.

SQLite reads that file up to the first frame whose checksum fails and takes the rest
for a crash's torn end, without a word. A crash can tear the last commit only, as each
is durable before the next; two whole ones after the damage were lost by damage.

Format: sqlite.org, "Database File Format", 4.1 to 4.3. A header of 32 bytes (magic,
version, page size, sequence, two salts, two checksums), then frames: 24 bytes (page,
size of the database in pages after a commit else 0, the salts, two checksums), a page.
"""

from __future__ import annotations

import struct
from typing import NamedTuple

_HEADER, _FRAME = 32, 24
# The magic number's last bit says in which order the checksums read the bytes.
_MAGIC = 0x377F0682
_MASK = 0xFFFFFFFF
# The size of our books' pages, should the header not say.
_PAGE = 4096

Sum = tuple[int, int]


class _Frame(NamedTuple):
    commits: bool
    salts: bytes
    sum: Sum
    summed: bytes


def lost_commits(wal: bytes) -> int:
    """How many commits stand in such a file after its first damage, 0 if none is.

    One may be a crash's doing; more are not. Frames of an earlier use of the file,
    which other salts tell apart, are no commits.
    """
    if len(wal) < _HEADER:
        return 0
    magic, _, size = struct.unpack(">III", wal[:12])
    order = ">" if magic & 1 else "<"
    total = _sum(order, wal[:24], (0, 0))
    sound = magic & ~1 == _MAGIC and total == struct.unpack(">II", wal[24:32])
    frames = _frames(wal, size if sound else _PAGE)
    if not frames:
        return 0
    salts = wal[16:24] if sound else frames[0].salts
    after = frames if not sound else _after_damage(frames, order, salts, total)
    return sum(frame.commits and frame.salts == salts for frame in after)


def _frames(wal: bytes, size: int) -> list[_Frame]:
    return [
        _Frame(
            commits=wal[at + 4 : at + 8] != bytes(4),
            salts=wal[at + 8 : at + 16],
            sum=struct.unpack(">II", wal[at + 16 : at + 24]),
            summed=wal[at : at + 8] + wal[at + _FRAME : at + _FRAME + size],
        )
        for at in range(_HEADER, len(wal) - size - _FRAME + 1, size + _FRAME)
    ]


def _after_damage(
    frames: list[_Frame], order: str, salts: bytes, total: Sum
) -> list[_Frame]:
    for number, frame in enumerate(frames):
        total = _sum(order, frame.summed, total)
        if frame.salts != salts or frame.sum != total:
            return frames[number:]
    return []


def _sum(order: str, data: bytes, start: Sum) -> Sum:
    """SQLite's running checksum over pairs of 32-bit words."""
    one, two = start
    words = iter(struct.unpack(f"{order}{len(data) // 4}I", data))
    for first, second in zip(words, words, strict=True):
        one = (one + first + two) & _MASK
        two = (two + second + one) & _MASK
    return one, two
