"""Books as JSON Lines and back, unchanged, or refused by line."""

from __future__ import annotations

import io
import json
import os
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.entry import NoRep, Rep
from judgekit.core.errors import BookError, InputError
from judgekit.store import sqlite
from judgekit.store.exchange import ImportedBook, ImportReport, export, import_file
from judgekit.store.folder import read_all
from judgekit.store.memory import MemoryBook
from tests.store.entry_strategies import runs
from tests.store.making import (
    WALL,
    closed_book,
    entries,
    entry,
    new_book,
    plan_bytes,
    tamper,
)

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.entry import Entry


def memory_book(written: list[Entry], book_id: str = "b1") -> MemoryBook:
    book = MemoryBook(book_id, event="Quayside Saturday", heat="1", wall=WALL)
    book.append(written, [plan_bytes()])
    return book


def exported(*books: MemoryBook) -> str:
    out = io.StringIO()
    export(books, out)
    return out.getvalue()


def write(folder: Path, text: str | bytes) -> Path:
    file = folder / "moved.jsonl"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


def test_the_lines_have_documented_keys() -> None:
    book = memory_book([entry(1, NoRep(faults=("shallow",)))])
    head, plan, first = map(json.loads, exported(book).splitlines())
    assert head == {
        "type": "book",
        "format": 4,
        "book": "b1",
        "event": "Quayside Saturday",
        "heat": "1",
        "created": WALL,
        "created_at": "2027-05-08T10:30:00.000Z",
        "plans": 1,
        "entries": 1,
    }
    assert list(plan) == ["type", "hash", "plan"]
    assert plan["plan"]["bib"] == "007"
    assert first == {
        "type": "entry",
        "book": "b1",
        "number": 1,
        "lane": 4,
        "at": 1000,
        "wall": WALL + 1000,
        "wall_at": "2027-05-08T10:30:01.000Z",
        "who": "kb",
        "set": [1, 1, 1],
        "kind": "no-rep",
        "body": {"faults": ["shallow"]},
        "hash": book.hash_at(1),
    }


def test_an_export_is_plain_ascii_and_the_same_each_time() -> None:
    book = memory_book(entries(3))
    assert exported(book) == exported(book)
    assert exported(book).isascii()
    assert "Zo\\u00eb" in exported(book)


@settings(max_examples=25, deadline=None)
@given(first=runs("b1"), second=runs("b2"))
def test_import_gives_back_what_was_exported(
    first: list[Entry],
    second: list[Entry],
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    folder = tmp_path_factory.mktemp("import")
    books = (memory_book(first), memory_book(second, "b2"))
    report = import_file(write(folder, exported(*books)), folder / "log")
    assert [(book.id, book.outcome) for book in report.books] == [
        ("b1", "new"),
        ("b2", "new"),
    ]
    assert (report.warnings, report.rest) == ((), None)
    for book, copy in zip(books, read_all(folder / "log"), strict=True):
        assert copy.snapshot() == book.snapshot()
        assert list(copy.entries) == book.entries()
        assert copy.plans == book.plans()


def test_an_event_moves_by_file_from_one_laptop_to_another(tmp_path: Path) -> None:
    log = tmp_path / "one"
    closed_book(log, 3, "b1")
    closed_book(log, 5, "b2")
    file = tmp_path / "moved.jsonl"
    with file.open("w") as out:
        export(read_all(log), out)
    import_file(file, tmp_path / "two")
    assert [copy.snapshot() for copy in read_all(tmp_path / "two")] == [
        copy.snapshot() for copy in read_all(log)
    ]


def test_a_cut_off_last_line_costs_itself_alone(tmp_path: Path) -> None:
    text = exported(memory_book(entries(200)))
    cut = text[: text.rindex('"kind"')]
    fragment = cut[cut.rindex("\n") + 1 :]
    file = write(tmp_path, cut)
    log = tmp_path / "log"
    report = import_file(file, log)
    rest = log / "moved.jsonl.rest"
    assert report == ImportReport(
        books=(
            ImportedBook(id="b1", path=log / "b1.sqlite", entries=199, outcome="new"),
        ),
        warnings=(
            (
                f"{file}: the last line is cut off; 199 of 200 entries of the log b1 "
                f"were kept; it is in {rest}"
            ),
        ),
        rest=rest,
    )
    assert rest.read_text() == fragment
    with closing(sqlite.reopen(log / "b1.sqlite")) as book:
        assert book.entries() == entries(199)
        book.append([entry(200)])
    with closing(sqlite.reopen(log / "b1.sqlite")) as book:
        assert (book.entries(), book.verify()) == (entries(200), None)


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_wherever_a_file_is_cut_all_whole_lines_are_kept(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("cut")
    text = exported(memory_book(entries(4))).encode()
    first_line = text.index(b"\n") + 1
    size = data.draw(st.integers(first_line, len(text)))
    report = import_file(write(folder, text[:size]), folder / "log")
    whole = [line for line in text.splitlines() if line in text[:size].splitlines()]
    assert report.books[0].entries == sum(b'"entry"' in line for line in whole)
    complete = size >= len(text) - 1
    assert len(report.warnings) == (0 if complete else 1)
    (copy,) = read_all(folder / "log")
    assert list(copy.entries) == entries(report.books[0].entries)


def test_a_fragment_is_never_kept_over_another(tmp_path: Path) -> None:
    text = exported(memory_book(entries(2)))
    names = []
    for cut in (9, 8, 9, 7):
        rest = import_file(write(tmp_path, text[:-cut]), tmp_path / "log").rest
        assert rest is not None
        names.append(rest.name)
    assert names == [
        "moved.jsonl.rest",
        "moved.jsonl.rest-2",
        "moved.jsonl.rest",
        "moved.jsonl.rest-3",
    ]


def test_a_cut_off_line_is_kept_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = exported(memory_book(entries(3)))
    import_file(write(tmp_path, text), tmp_path / "log")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        import_file(write(tmp_path, text[:-9]), tmp_path / "log")
    kept = [path.name for path in (tmp_path / "log").iterdir()]
    assert not [name for name in kept if ".rest" in name or name.endswith(".part")]


def test_a_file_that_ends_between_two_lines_is_warned_about(tmp_path: Path) -> None:
    lines = exported(memory_book(entries(9))).splitlines(keepends=True)
    file = write(tmp_path, "".join(lines[:-2]))
    report = import_file(file, tmp_path / "log")
    assert report.warnings == (
        f"{file}: the file ends early; 7 of 9 entries of the log b1 were kept",
    )


def damaged(line: int, old: str, new: str) -> str:
    lines = exported(memory_book(entries(9)), memory_book(entries(1, book="b2"), "b2"))
    broken = lines.splitlines(keepends=True)
    assert old in broken[line - 1]
    broken[line - 1] = broken[line - 1].replace(old, new)
    return "".join(broken)


@pytest.mark.parametrize(
    ("line", "old", "new", "says"),
    [
        (5, '"n": 1', '"n": 2', '"hash" does not fit the rest'),
        (5, '"n": 1', '"n": true', "entry 3: rep: "),
        (5, '"n": 1', '"n": NaN', "a value cannot be kept"),
        (5, '"n": 1', '"n": 1.0', "1.0 stands where a whole number belongs"),
        (5, '"number": 3', '"number": 4', "it says that it is entry 4"),
        (5, "10:30:03", "10:30:04", '"wall_at" does not fit the rest'),
        (5, '"book": "b1"', '"book": "b2"', '"book" does not fit the rest'),
        (5, '"who": "kb", ', "", "null stands where a text belongs"),
        (5, '"who"', '"extra": 1, "who"', '"extra" does not fit the rest'),
        (5, '"hash"', '"hush"', '"hash", "hush" does not fit the rest'),
        (5, "{", "", "its bytes are damaged"),
        (5, '"type": "entry"', '"type": "note"', '"type" is not book, plan or entry'),
        (2, "007", "008", '"hash" does not fit the rest'),
        (2, '"bib"', '"bub"', '"bib" is missing, "bub" is unknown'),
        (1, '"entries": 9', '"entries": 8', "its log has only 8 entries"),
        (1, '"plans": 1', '"plans": 0', "its log has only 0 plans"),
        (1, '"heat": "1"', '"heat": "2"', '"hash" does not fit the rest'),
        (1, '"format": 4', '"format": 99', "was written by a newer judgekit"),
        (1, '"format": 4', '"format": "1"', '"format" is not a whole number'),
        (1, '"entries": 9', '"entries": null', "are not whole numbers"),
        (1, '"book": "b1"', '"book": "../b1"', "cannot name a log"),
        (1, '"type": "book"', '"type": "entry"', 'a line of type "book" must come'),
        (1, '"entries": 9', '"entries": 10', "before it there are only 9 of 10"),
        (12, '"book": "b2"', '"book": "b1"', "the log b1 is in this file twice"),
    ],
)
def test_a_damaged_line_is_named_and_nothing_is_written(
    tmp_path: Path, line: int, old: str, new: str, says: str
) -> None:
    file = write(tmp_path, damaged(line, old, new))
    with pytest.raises(InputError) as caught:
        import_file(file, tmp_path / "log")
    (problem,) = caught.value.problems
    assert problem.file == str(file)
    assert says in problem.what
    found_later = {'"entries": 8': 11, '"plans": 0': 2, '"entries": 10': 12}
    wrong_head = 3 if new == '"heat": "2"' else line
    assert problem.line == found_later.get(new, wrong_head)
    assert not (tmp_path / "log").exists()


def test_a_line_lost_from_the_middle_is_named(tmp_path: Path) -> None:
    lines = exported(memory_book(entries(9))).splitlines(keepends=True)
    del lines[4]
    with pytest.raises(InputError, match=r"jsonl:5: .*it says that it is entry 4"):
        import_file(write(tmp_path, "".join(lines)), tmp_path / "log")


@pytest.mark.parametrize("text", ["", "\n\n", '{"type": "bo', "[1]\n", "\x00\n"])
def test_a_file_without_a_log_is_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(InputError, match=r"moved\.jsonl:"):
        import_file(write(tmp_path, text), tmp_path / "log")
    assert not (tmp_path / "log").exists()


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BookError, match="could not be read"):
        import_file(tmp_path / "none.jsonl", tmp_path / "log")


def test_importing_again_adds_nothing_twice(tmp_path: Path) -> None:
    file = write(tmp_path, exported(memory_book(entries(3))))
    first, again = (import_file(file, tmp_path / "log") for _ in range(2))
    assert [book.outcome for book in first.books] == ["new"]
    assert [book.outcome for book in again.books] == ["there already"]
    assert read_all(tmp_path / "log")[0].last == 3


def test_a_book_that_is_there_already_and_longer_is_left(tmp_path: Path) -> None:
    closed_book(tmp_path, 5)
    book = MemoryBook("b1", event="Quayside Saturday", heat="1", wall=WALL)
    book.append(entries(3))
    report = import_file(write(tmp_path, exported(book)), tmp_path)
    assert [(one.outcome, one.entries) for one in report.books] == [
        ("there already", 5)
    ]


def test_a_book_that_the_file_knows_more_of_is_carried_on(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 3)
    whole = memory_book(entries(5))
    report = import_file(write(tmp_path, exported(whole)), tmp_path)
    assert [(one.outcome, one.entries) for one in report.books] == [("longer now", 5)]
    assert sqlite.read(path).snapshot() == whole.snapshot()


def test_a_different_book_of_the_same_name_is_never_touched(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 3)
    before = path.read_bytes()
    other = memory_book([entry(1), entry(2, Rep(n=2))])
    new = memory_book(entries(1, book="b0"), "b0")
    with pytest.raises(BookError, match="another log of the same name"):
        import_file(write(tmp_path, exported(new, other)), tmp_path)
    assert path.read_bytes() == before
    assert not (tmp_path / "b0.sqlite").exists()


def test_a_book_in_use_is_not_carried_on(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(1))
        file = write(tmp_path, exported(memory_book(entries(2))))
        with pytest.raises(BookError, match="open at another desk"):
            import_file(file, tmp_path, patience=0)
        assert book.entries() == entries(1)


def test_what_a_tampered_book_exports_is_refused(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 3)
    tamper(path, "UPDATE entry SET hash = zeroblob(32) WHERE number = 2")
    file = tmp_path / "moved.jsonl"
    with file.open("w") as out:
        export([sqlite.read(path)], out)
    with pytest.raises(InputError, match=r'jsonl:3: .*"hash" does not fit'):
        import_file(file, tmp_path / "log")
