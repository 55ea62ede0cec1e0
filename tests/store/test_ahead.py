"""Room made ahead beside a book: no entry is lost in it, and none is made up."""

from __future__ import annotations

import shutil
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.store import ahead, sqlite
from judgekit.store.folder import look
from judgekit.store.stray import wal_of
from judgekit.store.verify import verify_folder
from judgekit.store.walfile import lost_commits
from tests.store.making import entries, entry, new_book

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.store.sqlite import SqliteBook


def looked_after(folder: Path) -> SqliteBook:
    """A new book as a desk holds it."""
    book = new_book(folder)
    book.keep_reserve()
    assert book.mend() == ""
    return book


@pytest.fixture
def left(tmp_path: Path) -> Path:
    """A book of ten entries, each its own commit, as a killed desk leaves it."""
    log, left = tmp_path / "log", tmp_path / "left"
    left.mkdir()
    with closing(looked_after(log)) as book:
        for one in entries(10):
            book.append([one])
        for end in ("", "-wal"):
            shutil.copyfile(log / f"b1.sqlite{end}", left / f"b1.sqlite{end}")
    return left / "b1.sqlite"


@pytest.mark.parametrize("rests", [True, False], ids=["rests", "never rests"])
def test_the_file_beside_a_book_grows_no_more_in_a_heat(
    tmp_path: Path, rests: bool
) -> None:
    with closing(looked_after(tmp_path)) as book:
        wal = wal_of(book.path)
        for one in entries(500):
            book.append([one])
            if rests:
                assert book.mend() == ""
            assert wal.stat().st_size == ahead.SIZE
        assert sqlite.read(book.path).entries() == entries(500)
        assert book.verify() is None
    assert not wal.exists()
    assert sqlite.read(book.path).entries() == entries(500)


def test_what_a_killed_desk_left_is_whole_and_goes_on(left: Path) -> None:
    assert wal_of(left).stat().st_size == ahead.SIZE
    assert lost_commits(wal_of(left).read_bytes()) == 0
    assert all(verify_folder(left.parent))
    assert sqlite.read(left).entries() == entries(10)
    with closing(sqlite.reopen(left)) as again:
        again.append([entry(11)])
        assert again.verify() is None
    assert sqlite.read(left).entries() == entries(11)


def test_damage_before_the_room_is_named_as_ever(left: Path) -> None:
    wal = bytearray(wal_of(left).read_bytes())
    wal[32 + 99] ^= 0x10
    wal_of(left).write_bytes(wal)
    assert lost_commits(bytes(wal)) >= 10
    [found] = verify_folder(left.parent)
    assert "b1.sqlite-wal is damaged" in str(found.broken)
    assert len(look(left.parent).damaged) == 1


def test_a_last_commit_torn_before_the_room_is_a_crash(left: Path) -> None:
    wal = bytearray(wal_of(left).read_bytes())
    end = len(wal.rstrip(b"\0"))
    wal[end - 100 : end] = bytes(100)
    wal_of(left).write_bytes(wal)
    assert lost_commits(bytes(wal)) == 1
    assert sqlite.read(left).entries() == entries(9)
    assert all(verify_folder(left.parent))


def test_no_file_is_made_and_an_empty_one_stays_so(tmp_path: Path) -> None:
    ahead.lengthen(tmp_path / "none")
    ahead.lengthen(tmp_path)
    (tmp_path / "empty").touch()
    ahead.lengthen(tmp_path / "empty")
    assert [file.name for file in tmp_path.iterdir()] == ["empty"]
    assert (tmp_path / "empty").stat().st_size == 0


def test_a_book_that_keeps_no_reserve_makes_no_room(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        assert book.mend() == ""
        assert wal_of(book.path).stat().st_size < ahead.SIZE // 10
