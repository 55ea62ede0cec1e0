"""Whatever bytes damage makes of a book, what is wrong is said in words."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import pytest

from judgekit.store import sqlite
from judgekit.store.folder import look
from judgekit.store.verify import verify_folder
from tests.store.making import closed_book, entries, tamper

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize("name", [b"CREATE TABLE book", b"CREATE TRIGGER entry_next"])
@pytest.mark.parametrize("at", [4, 7, 10])
def test_names_that_are_no_text_any_more_are_damage(
    tmp_path: Path, name: bytes, at: int
) -> None:
    path = closed_book(tmp_path, 3)
    whole = path.read_bytes()
    path.write_bytes(whole.replace(name, name[:at] + b"\x97" + name[at + 1 :]))
    [found] = verify_folder(tmp_path)
    assert str(found.broken) == "b1.sqlite could not be read: it is damaged"


@pytest.mark.parametrize(
    ("table", "values", "says"),
    [
        ("plan (place, hash, data)", "1, 7, 8", "nor what may follow"),
        ("plan (place, hash, data)", "1, 'a', NULL", "nor what may follow"),
        ("entry (number, data, hash)", "1, 'text', x'00'", "nor what may follow"),
        ("book (one, header)", "1, 'text'", "the head of the log is damaged"),
    ],
)
def test_values_of_another_kind_are_damage(
    tmp_path: Path, table: str, values: str, says: str
) -> None:
    path = closed_book(tmp_path, 0)
    name = table.split(maxsplit=1)[0]
    columns = table.removeprefix(f"{name} ")
    tamper(
        path,
        f"DROP TABLE {name}",
        f"CREATE TABLE {name} {columns}",
        f"INSERT INTO {table} VALUES ({values})",  # noqa: S608 - our own words
    )
    [found] = verify_folder(tmp_path)
    assert says in str(found.broken)


def test_whatever_is_changed_a_book_said_to_be_whole_is_the_same(
    tmp_path: Path,
) -> None:
    path = closed_book(tmp_path, 60)
    whole = path.read_bytes()
    chance = random.Random(3)  # noqa: S311 - the same damage each time
    broken = 0
    for _ in range(150):
        changed = bytearray(whole)
        for _ in range(chance.choice((1, 1, 40))):
            changed[chance.randrange(len(changed))] = chance.randrange(256)
        path.write_bytes(changed[: chance.choice((None, None, len(whole) // 2))])
        [found] = verify_folder(tmp_path)
        if found:
            assert sqlite.read(path).entries() == entries(60)
        else:
            broken += 1
            assert str(found.broken)
            standing = look(tmp_path).damaged[0].standing
            kept = standing.entries if standing else ()
            assert list(kept) == entries(len(kept))
    assert broken > 50
