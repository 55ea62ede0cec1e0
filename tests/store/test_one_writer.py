"""One writer a book: nobody else writes, tidies, or opens the file past SQLite."""

from __future__ import annotations

import ast
import shutil
from contextlib import closing
from pathlib import Path

import judgekit
from judgekit.store import sqlite
from judgekit.store.backup import back_up
from judgekit.store.folder import look
from judgekit.store.verify import verify_folder
from tests.store.making import entries, new_book

PACKAGE = Path(judgekit.__file__).parent
# What opens a file by itself: the few that do, none of which is a book.
OPENS = {"open", "read_bytes", "read_text", "write_bytes", "write_text", "copyfile"}
ALLOWED = {
    ("desk/clock.py", "read_text"),  # the system's boot id
    ("store/ahead.py", "open"),  # what lies beside a book; no lock is on it
    ("store/disk.py", "open"),  # a trial write under a name of its own
    ("store/disk.py", "read_text"),  # the system's table of mounts
    ("store/exchange.py", "read_bytes"),  # an exported text
    ("store/practice.py", "read_bytes"),  # what a scripted athlete showed, no book
    ("store/seasonkept.py", "read_bytes"),  # what was made of books, none of them
    ("store/readonly.py", "read_bytes"),  # what lies beside a book; no lock is on it
    ("store/reserve.py", "open"),  # room kept beside a book
    ("store/sqlfile.py", "open"),  # a folder, to make its names durable
    ("store/whole.py", "open"),  # a file in the making
}


def sources() -> dict[str, str]:
    return {
        path.relative_to(PACKAGE).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(PACKAGE.rglob("*.py"))
    }


def calls(source: str) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            found.add(str(name))
    return found


def test_nothing_near_a_book_opens_files_but_through_sqlite() -> None:
    found = {
        (path, name)
        for path, source in sources().items()
        if path.startswith(("store/", "desk/"))
        for name in calls(source) & OPENS
    }
    assert found == ALLOWED


def test_no_module_beyond_the_store_opens_files_and_knows_books_names() -> None:
    words = ('.sqlite"', "sqlite.SUFFIX", "{SUFFIX}", "book_paths(")
    found = {
        path
        for path, source in sources().items()
        if any(word in source for word in words) and calls(source) & OPENS
    }
    # It reads exported text.
    assert found == {"store/exchange.py"}


def test_only_one_place_connects_to_a_book_and_only_the_writer_tidies() -> None:
    found = {
        word: {path for path, source in sources().items() if word in source}
        for word in ("sqlite3.connect", "wal_checkpoint", "immutable=", "nolock=")
    }
    assert found == {
        "sqlite3.connect": {"store/sqlfile.py"},
        "wal_checkpoint": {"store/sqlite.py"},
        "immutable=": {"store/sqlfile.py"},
        "nolock=": set(),
    }
    tree = ast.parse(sources()["store/sqlite.py"])
    classes = {
        node.name
        for node in tree.body
        if isinstance(node, ast.ClassDef) and "wal_checkpoint" in ast.unparse(node)
    }
    assert classes == {"SqliteBook"}


def test_whoever_reads_a_log_leaves_every_byte_of_it(tmp_path: Path) -> None:
    log, left = tmp_path / "log", tmp_path / "left"
    left.mkdir()
    with closing(new_book(log)) as book:
        book.append(entries(50))
        for end in ("", "-wal"):
            shutil.copyfile(log / f"b1.sqlite{end}", left / f"b1.sqlite{end}")
    files = [left / f"b1.sqlite{end}" for end in ("", "-wal")]
    before = [file.read_bytes() for file in files]
    assert sqlite.read(files[0]).entries() == entries(50)
    assert sqlite.read(files[0]).verify() is None
    assert look(left).copies[0].last == 50
    assert all(verify_folder(left))
    assert all(back_up(left, tmp_path / "stick"))
    assert [file.read_bytes() for file in files] == before
