"""A thousand altered books: each is found, or nothing that is read has changed."""

from __future__ import annotations

import random
import shutil
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Cue, Go
from judgekit.core.errors import BookError
from judgekit.store import chain, sqlfile, sqlite
from judgekit.store.book import Row, Snapshot, links_of
from judgekit.store.codec import encode_entry, plan_hash
from judgekit.store.verify import verify_code, verify_folder
from tests.store.making import entries, entry, new_book, plan_bytes, tamper

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

MANY = 1000
ENTRIES = 40


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A heat with its go and plan, and forty entries."""
    folder = tmp_path_factory.mktemp("book")
    go = Go(boot="x", boot_ms=0, zero_ms=0, plans=((4, plan_hash(plan_bytes())),))
    with closing(new_book(folder)) as made:
        made.append([entry(1), entry(2, go)], [plan_bytes()])
        made.append(entries(ENTRIES, 3))
        return made.path


def snapshot(path: Path) -> Snapshot | None:
    """What a reader finds in the file, None if nothing can be read."""
    try:
        return sqlite.read(path).snapshot()
    except BookError:
        return None


# --- what is done to a file ----------------------------------------------------------


def flip(path: Path, chance: random.Random) -> None:
    data = bytearray(path.read_bytes())
    for _ in range(chance.choice((1, 1, 8))):
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    path.write_bytes(data)


def cut(path: Path, chance: random.Random) -> None:
    data = path.read_bytes()
    path.write_bytes(data[: chance.randrange(len(data))])


def lengthen(path: Path, chance: random.Random) -> None:
    path.write_bytes(path.read_bytes() + chance.randbytes(chance.randrange(1, 5000)))


def overwrite(path: Path, chance: random.Random) -> None:
    data = bytearray(path.read_bytes())
    at = chance.randrange(len(data))
    piece = chance.choice((bytes(64), chance.randbytes(64), bytes(data[:64])))
    data[at : at + 64] = piece
    path.write_bytes(data)


_SAID = (
    "DELETE FROM entry WHERE number = :one",
    "DELETE FROM entry WHERE number >= :one",
    "UPDATE entry SET data = x'00' WHERE number = :one",
    "UPDATE entry SET hash = zeroblob(32) WHERE number = :one",
    (
        "UPDATE entry SET data = (SELECT data FROM entry WHERE number = :two) "
        "WHERE number = :one"
    ),
    "UPDATE entry SET number = :one + 100 WHERE number = :one",
    "INSERT INTO entry SELECT 41, data, hash FROM entry WHERE number = :one",
    "DELETE FROM plan",
    "UPDATE plan SET data = x'7b7d'",
    "UPDATE book SET header = x'7b7d'",
    "DELETE FROM book",
    "DROP TABLE plan",
)


def rows(path: Path, chance: random.Random) -> None:
    one, two = chance.sample(range(1, ENTRIES + 1), 2)
    said = chance.choice(_SAID).replace(":one", str(one)).replace(":two", str(two))
    tamper(path, said)


def swap(path: Path, chance: random.Random) -> None:
    one, two = chance.sample(range(1, ENTRIES + 1), 2)
    move = "UPDATE entry SET number = ? WHERE number = ?"
    for new, old in ((999, one), (one, two), (two, 999)):
        tamper(path, move, values=(new, old))


def rehash(path: Path, chance: random.Random) -> None:
    """A chain forged anew from an altered entry on, the whole of it or a piece."""
    before = sqlite.read(path).snapshot()
    first = chance.randrange(1, ENTRIES + 1)
    last = chance.choice((ENTRIES, chance.randrange(first, ENTRIES + 1)))
    kept = list(before.rows)
    previous = links_of(before)[first - 1]
    for number in range(first, last + 1):
        data = kept[number - 1].data
        if number == first:
            data = encode_entry(entry(number, Cue(fault="late")))
        previous = chain.link(previous, data)
        kept[number - 1] = Row(number, data, previous)
    path.unlink()
    forged = Snapshot(header=before.header, rows=tuple(kept), plans=before.plans)
    sqlfile.build(path, forged)


WAYS: tuple[Callable[[Path, random.Random], None], ...] = (
    flip,
    flip,
    overwrite,
    cut,
    lengthen,
    rows,
    rows,
    swap,
    rehash,
)


def test_no_altered_book_passes_for_the_one_that_was_written(
    book: Path, tmp_path: Path
) -> None:
    whole = snapshot(book)
    assert whole is not None
    code = chain.piece(ENTRIES, whole.rows[-1].hash.hex())
    path = tmp_path / book.name
    unseen = 0
    for seed in range(MANY):
        chance = random.Random(seed)  # noqa: S311 - damage, not secrets
        way = chance.choice(WAYS)
        shutil.copy(book, path)
        try:
            way(path, chance)
            sound = all(verify_folder(tmp_path)) and bool(verify_code(tmp_path, code))
            found = snapshot(path)
        except Exception as error:
            error.add_note(f"seed {seed}: {way.__name__}")
            raise
        assert not sound or found == whole, f"seed {seed}: {way.__name__}"
        unseen += sound
        for left in tmp_path.iterdir():
            left.unlink()
    # Bytes that no reader reads may change; a verifier that finds little is broken.
    assert unseen < MANY / 2
