"""Ways in which a file goes wrong on its way from a coach's hands to ours."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import random
    from collections.abc import Callable

# Values that mean nothing wherever they stand, or only in a few places.
ODD_VALUES = (
    "true",
    "-1",
    "0",
    "5.0",
    "inf",
    "nan",
    "9" * 40,
    "9" * 5000,
    "1_000",
    "0x1f",
    "2027-05-08",
    "07:30:00",
    '""',
    '" "',
    '"5"',
    '"7,5 kg"',
    '"-3 kg"',
    '"1e9 m"',
    '"' + "x" * 300 + '"',
    "[]",
    "[[]]",
    "[1, true]",
    "{}",
    '{ men = "1 kg" }',
    "[" * 200 + "]" * 200,
    "'''\nmore\n'''",
)
ODD_TEXTS = (
    "\x00",
    "\x1b[2J",
    "\u202e",
    "\u200b",
    "\ufeff",
    "e\u0301",
    "\U0001f3cb",
    "\uff0c",
    "\u2028",
    "=1+1",
    "[/]",
    "\\u001b",
    "\t",
    ",",
    ";",
    '"',
    "#",
    "9" * 25,
    "\ud7ff",
)


def mutated(data: bytes, chance: random.Random) -> tuple[bytes, str]:
    """The file with one to three things wrong, and what was done to it."""
    done = []
    for _ in range(chance.choice((1, 1, 2, 3))):
        kind = chance.choice(_KINDS)
        data = kind(data, chance)
        done.append(kind.__name__.strip("_"))
    return data, ", ".join(done)


def _flip_bits(data: bytes, chance: random.Random) -> bytes:
    if not data:
        return data
    flipped = bytearray(data)
    for _ in range(chance.randrange(1, 4)):
        flipped[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    return bytes(flipped)


def _any_bytes(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + chance.randbytes(chance.randrange(1, 5)) + data[at:]


def _cut_off(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def _without_a_piece(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + data[at + chance.randrange(1, 40) :]


def _lines(
    change: Callable[[list[bytes], int, random.Random], None],
) -> Callable[[bytes, random.Random], bytes]:
    def mutate(data: bytes, chance: random.Random) -> bytes:
        rows = data.split(b"\n")
        change(rows, chance.randrange(len(rows)), chance)
        return b"\n".join(rows)

    mutate.__name__ = change.__name__
    return mutate


def _swap_lines(rows: list[bytes], at: int, chance: random.Random) -> None:
    other = chance.randrange(len(rows))
    rows[at], rows[other] = rows[other], rows[at]


def _repeat_a_line(rows: list[bytes], at: int, chance: random.Random) -> None:
    rows.insert(chance.randrange(len(rows) + 1), rows[at])


def _repeat_lines(rows: list[bytes], at: int, chance: random.Random) -> None:
    rows[at:at] = rows[at : at + chance.randrange(1, 12)]


def _lose_a_line(rows: list[bytes], at: int, _chance: random.Random) -> None:
    del rows[at]


def _other_value(rows: list[bytes], at: int, chance: random.Random) -> None:
    key, equals, _ = rows[at].partition(b"=")
    if equals:
        rows[at] = key + b"= " + chance.choice(ODD_VALUES).encode()


def _misspell(rows: list[bytes], at: int, chance: random.Random) -> None:
    row = bytearray(rows[at])
    letters = [n for n, byte in enumerate(row) if chr(byte).isalpha()]
    if letters:
        row[chance.choice(letters)] = chance.choice(b"abcxyz_-")
        rows[at] = bytes(row)


def _odd_text(rows: list[bytes], at: int, chance: random.Random) -> None:
    where = chance.randrange(len(rows[at]) + 1)
    odd = chance.choice(ODD_TEXTS).encode()
    rows[at] = rows[at][:where] + odd + rows[at][where:]


def _odd_number(rows: list[bytes], at: int, chance: random.Random) -> None:
    digits = [n for n, byte in enumerate(rows[at]) if chr(byte).isdigit()]
    if digits:
        where = chance.choice(digits)
        odd = chance.choice((b"", b"-", b".", b",", b"0", b"9" * 30, b"\xd9\xa3", b":"))
        rows[at] = rows[at][:where] + odd + rows[at][where + 1 :]


def _other_line_ends(data: bytes, chance: random.Random) -> bytes:
    return data.replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\r", b"\x0b\n")))


def _marked(data: bytes, chance: random.Random) -> bytes:
    return chance.choice((b"\xef\xbb\xbf", b"\xff\xfe", b"\x00", b"\xef\xbb")) + data


def _other_encoding(data: bytes, chance: random.Random) -> bytes:
    text = data.decode("utf-8", "replace")
    return text.encode(chance.choice(("latin-1", "utf-16", "cp1252")), "replace")


_KINDS = (
    _flip_bits,
    _any_bytes,
    _cut_off,
    _without_a_piece,
    _other_line_ends,
    _marked,
    _other_encoding,
    *map(
        _lines,
        (
            _swap_lines,
            _repeat_a_line,
            _repeat_lines,
            _lose_a_line,
            _other_value,
            _other_value,
            _misspell,
            _odd_text,
            _odd_number,
            _odd_number,
        ),
    ),
)
