"""What only a book on a disk can get wrong."""

from __future__ import annotations

import shutil
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Session
from judgekit.core.errors import BookError
from judgekit.store import sqlfile, sqlite
from judgekit.store.book import BookHeld
from tests.store.making import (
    closed_book,
    entries,
    entry,
    new_book,
    plan_bytes,
    tamper,
)

if TYPE_CHECKING:
    from pathlib import Path

SETTINGS = {
    "journal_mode": "wal",
    "synchronous": 2,
    "busy_timeout": 5000,
    "foreign_keys": 1,
    "recursive_triggers": 1,
    "fullfsync": 1,
    "wal_autocheckpoint": 0,
}


def pragmas(book: sqlite.SqliteBook) -> dict[str, object]:
    return {
        name: book._connection.execute(f"PRAGMA {name}").fetchone()[0]
        for name in SETTINGS
    }


def test_every_way_to_write_has_the_durable_settings(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        assert pragmas(book) == SETTINGS
    with closing(sqlite.reopen(book.path)) as book:
        assert pragmas(book) == SETTINGS


def test_a_disk_that_refuses_a_setting_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = closed_book(tmp_path, 1)
    monkeypatch.setitem(sqlfile._WRITER, "journal_mode", "tape")
    with pytest.raises(BookError, match="journal_mode refused"):
        sqlite.reopen(path)
    monkeypatch.undo()
    sqlite.reopen(path, patience=0).close()


def test_every_table_is_strict(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        tables = book._connection.execute(
            "SELECT name, strict FROM pragma_table_list "
            "WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name"
        ).fetchall()
    assert tables == [("book", 1), ("entry", 1), ("plan", 1)]


def test_a_book_goes_on_where_it_was_closed(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 3)
    with closing(sqlite.reopen(path)) as book:
        assert (book.id, book.event, book.heat) == ("b1", "Quayside Saturday", "1")
        assert book.last == 3
        book.append(entries(5, first=4), [plan_bytes()])
        book.append([], [plan_bytes()])
    with closing(sqlite.reopen(path)) as book:
        book.append([], [plan_bytes()])
        assert (book.entries(), len(book.plans())) == (entries(5), 1)
        assert book.verify() is None


def test_a_closed_book_is_one_plain_file(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 3)
    assert sqlite.read(path).entries() == entries(3)
    assert sorted(file.name for file in tmp_path.iterdir()) == ["b1.lock", "b1.sqlite"]
    copy = tmp_path / "elsewhere" / "b1.sqlite"
    copy.parent.mkdir()
    shutil.copyfile(path, copy)
    assert sqlite.read(copy).snapshot() == sqlite.read(path).snapshot()


def test_a_new_book_makes_its_folder_and_never_replaces_one(tmp_path: Path) -> None:
    path = closed_book(tmp_path / "event" / "log", 3)
    with pytest.raises(BookError, match=r"there is a log b1\.sqlite already"):
        new_book(path.parent)
    assert sqlite.read(path).entries() == entries(3)


def test_a_system_that_cannot_flush_folders_still_keeps_books(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delattr("os.O_DIRECTORY")
    assert sqlite.read(closed_book(tmp_path, 2)).entries() == entries(2)


def test_a_book_half_made_by_a_crash_is_made_anew(tmp_path: Path) -> None:
    (tmp_path / "b1.new").write_bytes(b"half")
    assert sqlite.read(closed_book(tmp_path, 1)).entries() == entries(1)


def test_a_reader_sees_what_a_live_writer_committed(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as writer:
        reader = sqlite.read(writer.path)
        for number in range(1, 4):
            writer.append([entry(number)], [plan_bytes(reps=number)])
            assert reader.last == number
            assert reader.entries() == entries(number)
            assert reader.entries(after=number - 1) == [entry(number)]
            assert reader.hash_at(number) == writer.hash_at(number)
            assert reader.plans() == writer.plans()
            assert reader.snapshot() == writer.snapshot()
        assert (tmp_path / "b1.sqlite-wal").exists()
        assert (reader.id, reader.heat) == (writer.id, writer.heat)
        assert reader.verify() is None


def test_a_reader_in_the_middle_of_a_look_never_stops_the_writer(
    tmp_path: Path,
) -> None:
    with closing(new_book(tmp_path)) as writer:
        writer.append(entries(1))
        with closing(sqlfile.open_reader(writer.path)) as reader:
            reader.execute("BEGIN")
            assert len(sqlfile.read_rows(reader)) == 1
            writer.append([entry(2)])
            assert len(sqlfile.read_rows(reader)) == 1
        assert sqlite.read(writer.path).last == 2


def test_a_reader_cannot_write(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 1)
    with (
        closing(sqlfile.open_reader(path)) as reader,
        pytest.raises(sqlite3.OperationalError, match="readonly"),
    ):
        reader.execute("DELETE FROM entry")


def test_the_writer_may_be_used_in_another_thread_than_it_was_opened_in(
    tmp_path: Path,
) -> None:
    book = new_book(tmp_path)
    with ThreadPoolExecutor(max_workers=1) as consumer:
        consumer.submit(book.append, entries(3)).result()
        consumer.submit(book.close).result()
    with closing(sqlite.reopen(book.path, patience=0)) as again:
        assert again.entries() == entries(3)


def test_a_book_open_here_cannot_be_opened_again(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append([entry(1, Session(start=True, host="dock", process=4242))])
        book.append(entries(3, first=2))
        with pytest.raises(BookHeld) as reopening:
            sqlite.reopen(book.path, patience=0)
        with pytest.raises(BookHeld) as creating:
            sqlite.create(tmp_path, "b1", event="", heat="", wall=0, patience=0)
        for held in (reopening.value, creating.value):
            assert (held.process, held.host, held.last) == (4242, "dock", entry(3))
            assert held.since == entry(1).wall
    sqlite.reopen(book.path, patience=0).close()


def test_a_held_book_that_never_had_a_session_is_held_all_the_same(
    tmp_path: Path,
) -> None:
    with closing(new_book(tmp_path)) as book:
        with pytest.raises(BookHeld) as caught:
            sqlite.reopen(book.path, patience=0)
        assert (caught.value.process, caught.value.last) == (0, None)
        book.append(entries(2))
        with pytest.raises(BookHeld) as caught:
            sqlite.reopen(book.path, patience=0)
        assert (caught.value.process, caught.value.last) == (0, entry(2))


def test_a_lock_without_a_book_is_held_all_the_same(tmp_path: Path) -> None:
    lock = sqlite.take_lock(tmp_path / "b1.sqlite", 0)
    try:
        with pytest.raises(BookHeld, match=r"b1 is open at another desk$"):
            sqlite.create(tmp_path, "b1", event="", heat="", wall=0, patience=0)
    finally:
        lock.release()


def test_a_full_disk_saves_nothing_and_a_retry_saves_the_same(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(1))
        pages = book._connection.execute("PRAGMA page_count").fetchone()[0]
        book._connection.execute(f"PRAGMA max_page_count = {pages}").fetchall()
        more = entries(400, first=2)
        with pytest.raises(BookError, match="could not be saved: the disk is full"):
            book.append(more, [plan_bytes()])
        assert (book.last, book.entries(), book.plans()) == (1, entries(1), {})
        book._connection.execute("PRAGMA max_page_count = 100000").fetchall()
        book.append(more, [plan_bytes()])
        assert (book.entries(), len(book.plans())) == (entries(400), 1)
        assert book.verify() is None


def fail_after_rollback(connection: sqlite3.Connection) -> None:
    with sqlfile.transaction(connection):
        connection.execute("ROLLBACK")
        raise RuntimeError("the first")


def test_the_first_error_is_the_one_that_is_seen(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        with pytest.raises(RuntimeError, match="the first"):
            fail_after_rollback(book._connection)
        book.append(entries(1))
        assert book.last == 1


@pytest.mark.parametrize("file", ["b1.sqlite", "b1.sqlite-wal"])
@pytest.mark.parametrize("replaced", [False, True])
def test_nothing_is_saved_to_a_file_that_is_gone(
    tmp_path: Path, file: str, replaced: bool
) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(2))
        moved = (tmp_path / file).rename(tmp_path / "moved")
        if replaced:
            shutil.copyfile(moved, tmp_path / file)
        for _ in range(2):
            with pytest.raises(BookError, match="was moved, deleted or changed"):
                book.append([entry(3)])
        assert book.last == 2
        moved.replace(tmp_path / file)
        book.append([entry(3)])
    assert sqlite.read(book.path).entries() == entries(3)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (None, "there is no log x.sqlite in"),
        (b"", "x.sqlite is not a log of judgekit"),
        (b"a letter to the editor" * 99, "is not a log of judgekit, or it is damaged"),
    ],
)
def test_what_is_no_book_is_refused_in_words(
    tmp_path: Path, content: bytes | None, says: str
) -> None:
    path = tmp_path / "x.sqlite"
    if content is not None:
        path.write_bytes(content)
    for open_it in (sqlite.read, sqlite.reopen):
        with pytest.raises(BookError) as caught:
            open_it(path)
        assert says in str(caught.value)


def test_a_renamed_copy_can_be_read_but_not_written(tmp_path: Path) -> None:
    copy = closed_book(tmp_path, 2).rename(tmp_path / "b1 (copy) #2?.sqlite")
    assert sqlite.read(copy).entries() == entries(2)
    with pytest.raises(BookError, match="only a copy to read"):
        sqlite.reopen(copy)


def test_an_unwritable_place_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "log").write_text("a file where the folder belongs")
    with pytest.raises(BookError, match=r"b1\.sqlite could not be opened"):
        new_book(tmp_path / "log")


def test_a_book_without_its_head_is_refused(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 1)
    tamper(path, "DELETE FROM book")
    with pytest.raises(BookError, match="head of the log is missing"):
        sqlite.read(path)


def test_a_book_that_contradicts_its_format_is_refused(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 1)
    head = b'{"book":"b1","created":0,"event":"","format":7,"heat":"1"}'
    tamper(path, "UPDATE book SET header = ?", values=(head,))
    with pytest.raises(BookError, match="its format is 4"):
        sqlite.read(path)
