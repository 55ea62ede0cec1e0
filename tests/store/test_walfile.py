"""Damage beside a book that SQLite passes over in silence is counted."""

from __future__ import annotations

import os
import shutil
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.store import sqlite
from judgekit.store.folder import look
from judgekit.store.verify import verify_folder
from judgekit.store.walfile import lost_commits
from tests.store.making import entry, new_book

if TYPE_CHECKING:
    from pathlib import Path

PAGE = 4096 + 24


@pytest.fixture
def left(tmp_path: Path) -> Path:
    """A book of ten entries, each its own commit, as a killed desk leaves it."""
    log, left = tmp_path / "log", tmp_path / "left"
    left.mkdir()
    with closing(new_book(log)) as book:
        for number in range(1, 11):
            book.append([entry(number)])
        for end in ("", "-wal"):
            shutil.copyfile(log / f"b1.sqlite{end}", left / f"b1.sqlite{end}")
    return left


def test_a_sound_file_has_lost_nothing(left: Path) -> None:
    assert lost_commits((left / "b1.sqlite-wal").read_bytes()) == 0
    assert all(verify_folder(left))


def test_a_file_cut_anywhere_is_what_a_crash_leaves(left: Path) -> None:
    wal = (left / "b1.sqlite-wal").read_bytes()
    cuts = range(0, len(wal), 1000)
    assert [cut for cut in cuts if lost_commits(wal[:cut])] == []


@pytest.mark.parametrize("where", [0, 10, 17, 25, 32 + 2, 32 + 10, 32 + 20, 32 + 99])
def test_a_byte_changed_early_on_is_damage_whatever_it_stood_for(
    left: Path, where: int
) -> None:
    path = left / "b1.sqlite-wal"
    wal = bytearray(path.read_bytes())
    wal[where] ^= 0x10
    path.write_bytes(wal)
    assert lost_commits(bytes(wal)) >= 10
    shown = sqlite.read(left / "b1.sqlite").last
    assert shown < 10
    [found] = verify_folder(left)
    assert str(found.broken) == (
        f"entry {shown + 1} and later ones are lost: b1.sqlite-wal is damaged"
    )
    [damaged] = look(left).damaged
    assert damaged.standing is not None
    assert damaged.standing.last == shown


def test_the_last_commit_torn_is_a_crash_and_no_damage(left: Path) -> None:
    path = left / "b1.sqlite-wal"
    with path.open("r+b") as file:
        file.seek(-100, os.SEEK_END)
        file.write(b"torn")
    assert lost_commits(path.read_bytes()) == 1
    assert sqlite.read(left / "b1.sqlite").last == 9
    assert all(verify_folder(left))


def test_what_an_earlier_use_of_the_file_left_is_no_commit(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        for number in range(1, 51):
            book.append([entry(number)])
        book._tidy(again=True)
        book.append([entry(51)])
        wal = book.path.with_name("b1.sqlite-wal").read_bytes()
    assert len(wal) > 50 * PAGE
    assert lost_commits(wal) == 0


@given(st.binary(max_size=200))
def test_no_bytes_are_too_odd(data: bytes) -> None:
    assert lost_commits(data) == 0
