"""Several processes and one book: nothing confirmed is lost, and one writes."""

from __future__ import annotations

import random
import subprocess
import sys
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Session
from judgekit.store import sqlite
from judgekit.store.book import BookHeld
from tests.store.making import closed_book, entry, new_book

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
KILLS = 10


@contextmanager
def writer(path: Path, what: str) -> Iterator[subprocess.Popen[str]]:
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.store.writer", str(path), what],
        cwd=ROOT,
        text=True,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    with process:
        try:
            yield process
        finally:
            process.kill()


def confirmed(process: subprocess.Popen[str]) -> int:
    """The number that the writer says next; the test's own failure if it says none."""
    assert process.stdout is not None
    return int(process.stdout.readline())


def test_a_killed_writer_loses_nothing_that_it_confirmed(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 0)
    chance = random.Random(20270508)  # noqa: S311 - picks moments, keeps no secret
    for _ in range(KILLS):
        with writer(path, "forever") as process:
            for _ in range(chance.randint(1, 40)):
                last = confirmed(process)
            process.kill()
            said = process.communicate()[0].split("\n")[:-1]
            last = int(said[-1]) if said else last
        book = sqlite.read(path)
        assert book.last >= last
        assert book.verify() is None
        assert [one.number for one in book.entries()] == [*range(1, book.last + 1)]
    with closing(sqlite.reopen(path)) as again:
        again.append([entry(again.last + 1)])
        assert again.verify() is None


def test_a_second_process_is_told_who_holds_the_book(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 10)
    with writer(path, "hold") as process:
        last = confirmed(process)
        with pytest.raises(BookHeld) as caught:
            sqlite.reopen(path, patience=0.1)
        held = caught.value
        assert (held.process, held.host) == (process.pid, "dock")
        assert held.last is not None
        assert held.last.number == last == 11
        assert f"process {process.pid} on dock, since 2027-05-08" in str(held)
        assert sqlite.read(path).last == 11


def test_after_the_holder_is_killed_the_book_can_be_opened(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 10)
    with writer(path, "hold") as process:
        confirmed(process)
        process.kill()
        process.wait()
        with closing(sqlite.reopen(path)) as book:
            assert book.last == 11
            assert isinstance(book.entries()[-1].body, Session)


def test_a_holder_that_closes_in_time_is_waited_for(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 10)
    with writer(path, "hold") as process:
        confirmed(process)
        assert process.stdin is not None
        process.stdin.close()
        sqlite.reopen(path, patience=60).close()


def test_a_child_process_does_not_inherit_the_lock(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    child = [sys.executable, "-c", "import sys; sys.stdin.read()"]
    with subprocess.Popen(child, stdin=subprocess.PIPE, close_fds=False):
        book.close()
        sqlite.reopen(book.path, patience=0).close()
