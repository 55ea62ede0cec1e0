"""A file brought back beside a log never hides entries without a word."""

from __future__ import annotations

import shutil
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import BookError
from judgekit.store import sqlite
from judgekit.store.folder import look
from judgekit.store.verify import verify_folder
from tests.store.making import closed_book, entries, new_book

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A closed log of 900 entries, beside it what SQLite kept when it had 50."""
    with closing(new_book(tmp_path)) as book:
        book.append(entries(50))
        shutil.copyfile(tmp_path / "b1.sqlite-wal", tmp_path / "old")
        book.append(entries(900, first=51))
    (tmp_path / "old").rename(tmp_path / "b1.sqlite-wal")
    return tmp_path


SAYS = (
    "and later ones may be hidden: b1.sqlite-wal beside the log is from another time; "
    "move that file to another folder, then look again"
)


def test_an_older_file_beside_a_log_is_named_with_a_way_out(log: Path) -> None:
    [found] = verify_folder(log)
    assert str(found.broken) == f"entry 51 {SAYS}"
    assert look(log).copies == ()
    (log / "b1.sqlite-wal").unlink()
    (log / "b1.sqlite-shm").unlink(missing_ok=True)
    assert all(verify_folder(log))
    assert sqlite.read(log / "b1.sqlite").entries() == entries(900)


def test_a_log_with_an_older_file_beside_it_is_not_opened_and_not_lost(
    log: Path,
) -> None:
    before = (log / "b1.sqlite").read_bytes()
    with pytest.raises(BookError, match="move that file to another folder"):
        sqlite.reopen(log / "b1.sqlite")
    assert (log / "b1.sqlite").read_bytes() == before
    (log / "b1.sqlite-wal").unlink()
    (log / "b1.sqlite-shm").unlink(missing_ok=True)
    with closing(sqlite.reopen(log / "b1.sqlite")) as book:
        assert book.entries() == entries(900)


def test_another_logs_file_beside_a_log_is_named(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 9)
    with closing(new_book(tmp_path, "b2")) as other:
        other.append(entries(3, book="b2"))
        shutil.copyfile(tmp_path / "b2.sqlite-wal", tmp_path / "b1.sqlite-wal")
    first, second = verify_folder(tmp_path)
    assert not first
    assert second
    path.with_name("b1.sqlite-wal").unlink()
    path.with_name("b1.sqlite-shm").unlink(missing_ok=True)
    assert all(verify_folder(tmp_path))


def test_what_a_killed_desk_left_hides_nothing(tmp_path: Path) -> None:
    log, left = tmp_path / "log", tmp_path / "left"
    left.mkdir()
    with closing(new_book(log)) as book:
        for turn, last in enumerate((120, 240, 250)):
            first = book.last + 1
            for one in entries(last, first=first):
                book.append([one])
            # Folded into the one file, at times only in part.
            assert book.mend() == ""
            for end in ("", "-wal"):
                name = f"b1.sqlite{end}"
                shutil.copyfile(log / name, left / name)
            assert all(verify_folder(left)), turn
            (left / "b1.sqlite-shm").unlink(missing_ok=True)
    with closing(sqlite.reopen(left / "b1.sqlite")) as again:
        assert again.entries() == entries(250)


def test_a_log_in_somebodys_hands_is_left_alone(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(3))
        assert sqlite.read(book.path).hidden_by() == ""
        assert all(verify_folder(tmp_path))
