"""What is done to a book behind its back shows; the program's own way refuses it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Cue, Go
from judgekit.store import chain, sqlfile, sqlite
from judgekit.store.book import AT_ONCE, Broken, Row, Snapshot
from judgekit.store.codec import encode_entry, plan_hash
from judgekit.store.folder import look
from judgekit.store.proof import find_broken
from judgekit.store.verify import verify_code, verify_folder
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

BYPASSES = [
    "UPDATE entry SET data = x'00' WHERE number = 2",
    "UPDATE entry SET number = 9 WHERE number = 3",
    "UPDATE entry SET rowid = 9 WHERE rowid = 3",
    "UPDATE OR REPLACE entry SET number = 1 WHERE number = 3",
    "UPDATE OR IGNORE entry SET data = x'00'",
    "UPDATE plan SET data = x'00'",
    "UPDATE book SET header = x'00'",
    "DELETE FROM entry",
    "DELETE FROM entry WHERE number = 3",
    "DELETE FROM plan",
    "DELETE FROM book",
    "INSERT INTO entry SELECT 2, data, hash FROM entry WHERE number = 1",
    "INSERT INTO entry SELECT 5, data, hash FROM entry WHERE number = 1",
    "INSERT INTO entry SELECT 0, data, hash FROM entry WHERE number = 1",
    "INSERT INTO entry SELECT NULL, data, hash FROM entry WHERE number = 1",
    "INSERT OR REPLACE INTO entry SELECT 2, data, hash FROM entry WHERE number = 1",
    "INSERT OR IGNORE INTO entry SELECT 2, data, hash FROM entry WHERE number = 1",
    "REPLACE INTO entry SELECT 3, data, hash FROM entry WHERE number = 1",
    (
        "INSERT INTO entry SELECT 2, data, hash FROM entry WHERE number = 1 "
        "ON CONFLICT DO UPDATE SET data = excluded.data"
    ),
    "INSERT INTO entry VALUES (4, x'00', x'00')",
    "INSERT INTO entry VALUES (4, x'', zeroblob(32))",
    "INSERT INTO entry VALUES (4, NULL, zeroblob(32))",
    "INSERT INTO entry VALUES (4, 'text', zeroblob(32))",
    "INSERT OR REPLACE INTO plan SELECT place, hash, x'00' FROM plan",
    "INSERT OR REPLACE INTO plan SELECT 2, hash, x'00' FROM plan",
    (
        "INSERT INTO plan SELECT 2, hash, x'00' FROM plan WHERE true "
        "ON CONFLICT DO UPDATE SET data = excluded.data"
    ),
    "INSERT OR REPLACE INTO book VALUES (1, x'00')",
    "INSERT INTO book VALUES (2, x'00')",
]


@pytest.mark.parametrize("recursive", [1, 0])
@pytest.mark.parametrize("statement", BYPASSES)
def test_the_database_itself_refuses_every_way_round(
    tmp_path: Path, statement: str, recursive: int
) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(3), [plan_bytes()])
        before = book.snapshot()
        book._connection.execute(f"PRAGMA recursive_triggers = {recursive}").fetchall()
        with pytest.raises(sqlite3.IntegrityError):
            book._connection.execute(statement)
        assert book.snapshot() == before


def swapped(path: Path) -> None:
    tamper(
        path,
        "UPDATE entry SET number = 999 WHERE number = 50",
        "UPDATE entry SET number = 50 WHERE number = 51",
        "UPDATE entry SET number = 51 WHERE number = 999",
    )


@pytest.mark.parametrize(
    ("statement", "number", "what"),
    [
        (
            (
                "UPDATE entry SET data = CAST(replace(CAST(data AS TEXT), '\"n\":1', "
                "'\"n\":2') AS BLOB) WHERE number = 50"
            ),
            50,
            "was changed, or what comes before it was",
        ),
        (
            "UPDATE entry SET hash = zeroblob(32) WHERE number = 200",
            200,
            "was changed, or what comes before it was",
        ),
        ("DELETE FROM entry WHERE number = 50", 50, "is missing or out of place"),
        ("DELETE FROM entry WHERE number = 1", 1, "is missing or out of place"),
        (
            "INSERT INTO entry SELECT 202, data, hash FROM entry WHERE number = 200",
            201,
            "is missing or out of place",
        ),
        (
            "INSERT INTO entry SELECT 201, data, hash FROM entry WHERE number = 200",
            201,
            "was changed, or what comes before it was",
        ),
        (
            (
                'UPDATE book SET header = CAST(\'{"book":"b1","created":0,'
                '"event":"","format":4,"heat":"2"}\' AS BLOB)'
            ),
            1,
            "was changed, or what comes before it was",
        ),
        (
            "UPDATE book SET header = x'00'",
            0,
            "the head of the log is damaged: its bytes are damaged",
        ),
    ],
)
def test_the_first_entry_that_does_not_stand_is_named(
    tmp_path: Path, statement: str, number: int, what: str
) -> None:
    path = closed_book(tmp_path, 200)
    tamper(path, statement)
    (result,) = verify_folder(tmp_path)
    assert (result.path, result.broken) == (path, Broken(number=number, what=what))
    assert not result
    (damaged,) = look(tmp_path).damaged
    assert damaged.broken == Broken(number=number, what=what)
    assert look(tmp_path).copies == ()


def test_an_entry_is_named_among_more_than_are_read_together(tmp_path: Path) -> None:
    path = closed_book(tmp_path, AT_ONCE + 50)
    number = AT_ONCE + 20
    change = "UPDATE entry SET data = x'00' WHERE number = ?"
    tamper(path, change, values=[number])
    broken = sqlite.read(path).verify()
    what = "was changed, or what comes before it was"
    assert broken == Broken(number=number, what=what)
    tamper(path, "DELETE FROM entry WHERE number = ?", values=[AT_ONCE + 1])
    broken = sqlite.read(path).verify()
    assert broken == Broken(number=AT_ONCE + 1, what="is missing or out of place")


def test_an_entry_of_which_damage_has_changed_the_type_shows(tmp_path: Path) -> None:
    whole = sqlite.read(closed_book(tmp_path, 3)).snapshot()
    first, second, third = whole.rows
    for wrong in (
        second._replace(data=second.data.decode()),  # type: ignore[arg-type]
        second._replace(hash=None),  # type: ignore[arg-type]
    ):
        broken = find_broken(replace(whole, rows=(first, wrong, third)))
        what = "cannot be read: entry 2 is damaged"
        assert broken == Broken(number=2, what=what)


def test_two_entries_swapped_are_found_at_the_first(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 200)
    swapped(path)
    broken = sqlite.read(path).verify()
    assert broken == Broken(number=50, what="was changed, or what comes before it was")


def test_a_tail_cut_off_is_seen_only_against_the_code_on_paper(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 200)
    book = sqlite.read(path)
    code = chain.piece(200, book.hash_at(200))
    earlier = chain.piece(190, book.hash_at(190))
    assert verify_code(tmp_path, code)
    tamper(path, "DELETE FROM entry WHERE number > 190")
    assert [bool(result) for result in verify_folder(tmp_path)] == [True]
    assert verify_code(tmp_path, earlier)
    result = verify_code(tmp_path, f"{earlier}+{code}")
    assert not result
    first, second = result.pieces
    assert (first.number, first.book, first.what) == (190, "b1", "")
    assert (second.number, second.book) == (200, "")
    assert second.what == (
        "no log here has entry 200 as it was read: b1 goes to entry 190 only"
    )


def test_a_chain_forged_from_an_altered_entry_on_fails_its_code(
    tmp_path: Path,
) -> None:
    path = closed_book(tmp_path, 200)
    before = sqlite.read(path).snapshot()
    code = chain.piece(200, before.rows[-1].hash.hex())
    rows = list(before.rows[:49])
    previous = rows[-1].hash
    for number in range(50, 201):
        data = encode_entry(entry(number, Cue(fault="late") if number == 50 else None))
        previous = chain.link(previous, data)
        rows.append(Row(number, data, previous))
    path.unlink()
    sqlfile.build(
        path, Snapshot(header=before.header, rows=tuple(rows), plans=before.plans)
    )
    assert sqlite.read(path).verify() is None
    assert verify_code(tmp_path, chain.piece(49, before.rows[48].hash.hex()))
    result = verify_code(tmp_path, code)
    assert not result
    assert "b1 has another entry 200" in result.pieces[0].what


def test_entries_before_the_damage_still_answer_for_their_code(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 200)
    codes = [chain.piece(n, sqlite.read(path).hash_at(n)) for n in (49, 50)]
    tamper(path, "UPDATE entry SET data = x'00' WHERE number = 50")
    assert [bool(verify_code(tmp_path, code)) for code in codes] == [True, False]


@pytest.mark.parametrize(
    ("statement", "what"),
    [
        ("DELETE FROM plan", "names a plan that is missing"),
        ("UPDATE plan SET data = x'00'", "has a plan that was changed"),
    ],
)
def test_a_plan_changed_after_go_shows_at_its_go(
    tmp_path: Path, statement: str, what: str
) -> None:
    go = Go(boot="x", boot_ms=0, zero_ms=0, plans=((4, plan_hash(plan_bytes())),))
    with closing(new_book(tmp_path)) as book:
        book.append([entry(1), entry(2, go)], [plan_bytes()])
    tamper(book.path, statement)
    assert sqlite.read(book.path).verify() == Broken(number=2, what=what)


def test_a_head_that_cannot_be_read_comes_before_all_entries() -> None:
    broken = find_broken(Snapshot(header=b"{}", rows=(), plans=()))
    assert broken is not None
    assert broken.number == 0
    assert str(broken).startswith("the head of the log is damaged")


def test_a_plan_that_was_never_one_shows(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 1)
    tamper(
        path,
        "INSERT INTO plan VALUES (1, ?, x'00')",
        values=[plan_hash(b"\x00")],
    )
    broken = sqlite.read(path).verify()
    assert broken is not None
    assert (broken.number, "unreadable plan" in broken.what) == (0, True)


def test_an_entry_that_fits_the_chain_but_says_nothing_shows(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 1)
    snapshot = sqlite.read(path).snapshot()
    for data, what in (
        (b"[]", "its bytes are no entry"),
        (encode_entry(entry(7)), "it says that it is entry 7"),
    ):
        link = chain.link(snapshot.rows[0].hash, data)
        wrong = Snapshot(
            header=snapshot.header,
            rows=(*snapshot.rows, Row(2, data, link)),
            plans=(),
        )
        path.unlink()
        sqlfile.build(path, wrong)
        broken = sqlite.read(path).verify()
        assert broken is not None
        assert (broken.number, what in broken.what) == (2, True)
