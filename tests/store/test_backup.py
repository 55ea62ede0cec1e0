"""Copies of a log: of one moment, checked, whole or not at all, over nothing."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from judgekit.core.errors import BookError
from judgekit.store import backup, sqlfile, sqlite
from judgekit.store.backup import BackedUp, back_up
from tests.store.making import closed_book, entries, entry, new_book, plan_bytes, tamper

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "event" / "log"


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    return tmp_path / "stick" / "saturday"


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_every_book_is_copied_as_one_plain_file(log: Path, stick: Path) -> None:
    with closing(new_book(log)) as open_one:
        open_one.append(entries(3), [plan_bytes()])
        closed = closed_book(log, 2, "b2", heat="2")
        done = back_up(log, stick)
        assert done == [
            BackedUp(
                book=open_one.path,
                copy=stick / "b1.sqlite",
                heat="1",
                entries=3,
                outcome="new",
            ),
            BackedUp(
                book=closed,
                copy=stick / "b2.sqlite",
                heat="2",
                entries=2,
                outcome="new",
            ),
        ]
        assert all(done)
        copy = sqlite.read(stick / "b1.sqlite")
        assert copy.snapshot() == open_one.snapshot()
        assert copy.verify() is None
        open_one.append([entry(4)])
    assert names(stick) == ["b1.sqlite", "b2.sqlite"]
    assert sqlite.read(stick / "b1.sqlite").entries() == entries(3)


def test_a_copy_can_be_written_on_as_the_book_itself(log: Path, stick: Path) -> None:
    closed_book(log, 2)
    back_up(log, stick)
    with closing(sqlite.reopen(stick / "b1.sqlite")) as book:
        book.append([entry(3)])
        assert book.verify() is None


def test_one_heat_can_be_copied_alone(log: Path, stick: Path) -> None:
    closed_book(log, 1)
    closed_book(log, 2, "b2", heat="2")
    assert backup.heats(log) == ("1", "2")
    [done] = back_up(log, stick, "2")
    assert (done.book.name, names(stick)) == ("b2.sqlite", ["b2.sqlite"])


def test_a_name_that_is_taken_is_never_written_over(log: Path, stick: Path) -> None:
    with closing(new_book(log)) as book:
        outcomes = []
        for number in (1, 2, 3):
            book.append([entry(number)])
            for _ in range(2):
                [done] = back_up(log, stick)
                outcomes.append((done.copy and done.copy.name, done.outcome))
    assert outcomes == [
        ("b1.sqlite", "new"),
        ("b1.sqlite", "there already"),
        ("b1-2.sqlite", "new"),
        ("b1-2.sqlite", "there already"),
        ("b1-3.sqlite", "new"),
        ("b1-3.sqlite", "there already"),
    ]
    held = {n: sqlite.read(stick / n).last for n in names(stick)}
    assert held == {"b1-2.sqlite": 2, "b1-3.sqlite": 3, "b1.sqlite": 1}


def test_a_strangers_file_of_that_name_stays(log: Path, stick: Path) -> None:
    closed_book(log, 1)
    stick.mkdir(parents=True)
    (stick / "b1.sqlite").write_bytes(b"a letter")
    [done] = back_up(log, stick)
    assert done.copy == stick / "b1-2.sqlite"
    assert (stick / "b1.sqlite").read_bytes() == b"a letter"


def test_what_a_killed_desk_left_beside_its_log_is_in_the_copy(
    log: Path, stick: Path, tmp_path: Path
) -> None:
    left = tmp_path / "left"
    left.mkdir()
    with closing(new_book(log)) as book:
        book.append(entries(50))
        for end in ("", "-wal"):
            shutil.copyfile(log / f"b1.sqlite{end}", left / f"b1.sqlite{end}")
    [done] = back_up(left, stick)
    assert (done.entries, done.what) == (50, "")
    assert sqlite.read(stick / "b1.sqlite").entries() == entries(50)


def test_a_damaged_book_is_copied_as_it_is_and_said(log: Path, stick: Path) -> None:
    path = closed_book(log, 4)
    tamper(path, "DELETE FROM entry WHERE number = 3")
    closed_book(log, 1, "b2")
    damaged, sound = back_up(log, stick)
    assert (damaged.outcome, damaged.what) == (
        "damaged",
        "entry 3 is missing or out of place",
    )
    assert (bool(damaged), bool(sound)) == (False, True)
    copied = sqlite.read(stick / "b1.sqlite").snapshot()
    assert copied == sqlite.read(path).snapshot()


def test_a_page_that_cannot_be_read_is_copied_and_said(log: Path, stick: Path) -> None:
    path = closed_book(log, 4)
    with path.open("r+b") as file:
        file.seek(2 * 4096)
        file.write(bytes(4096))
    [done] = back_up(log, stick)
    assert (done.outcome, done.what) == (
        "damaged",
        "cannot be read whole: the file is damaged",
    )
    assert done.copy == stick / "b1.sqlite"


def test_what_is_no_book_is_not_copied_and_said(log: Path, stick: Path) -> None:
    log.mkdir(parents=True)
    (log / "odd.sqlite").write_bytes(b"a letter" * 999)
    closed_book(log, 1)
    sound, odd = back_up(log, stick, "1")
    assert (sound.outcome, odd.outcome, odd.copy) == ("new", "not copied", None)
    assert "odd.sqlite" in odd.what
    assert names(stick) == ["b1.sqlite"]


def test_a_folder_that_cannot_take_copies_is_refused(
    log: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed_book(log, 1)
    stick.parent.write_text("a file where the folder belongs")
    with pytest.raises(BookError, match="saturday could not be written to"):
        back_up(log, stick)
    stick.parent.unlink()
    with pytest.raises(BookError, match="is the log itself"):
        back_up(log, log)

    def full(*_: object) -> None:
        error = sqlite3.OperationalError("database or disk is full")
        error.sqlite_errorname = "SQLITE_FULL"
        raise error

    monkeypatch.setattr(sqlfile, "copy_pages", full)
    with pytest.raises(BookError, match="could not be written to: the disk is full"):
        back_up(log, stick)
    assert names(stick) == []


def test_a_copy_cut_short_leaves_no_file(
    log: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed_book(log, 1)

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(backup, "take_name", stopped)
    with pytest.raises(KeyboardInterrupt):
        back_up(log, stick)
    assert names(stick) == []


def test_copies_made_while_another_process_writes_are_each_a_beginning(
    log: Path, stick: Path
) -> None:
    path = closed_book(log, 1)
    writer = subprocess.Popen(
        [sys.executable, "-m", "tests.store.writer", str(path), "forever"],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stdin=subprocess.PIPE,
    )
    assert writer.stdout is not None
    try:
        writer.stdout.readline()
        said, copied = [], 0
        for _ in range(20):
            # A copy is a new one only once there is more to copy.
            while (confirmed := int(writer.stdout.readline())) <= copied:
                pass
            [done] = back_up(log, stick)
            copied = done.entries
            said.append((done.outcome, done.what, copied >= confirmed))
    finally:
        writer.kill()
        writer.communicate()
    assert said == [("new", "", True)] * 20
    whole = sqlite.read(path).entries()
    for copy in stick.iterdir():
        held = sqlite.read(copy)
        assert held.entries() == whole[: held.last]
        assert held.verify() is None
