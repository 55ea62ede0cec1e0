"""An event's log folder, read together."""

from __future__ import annotations

import re
import shutil
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.entry import NoRep
from judgekit.core.errors import BookError
from judgekit.store import chain, sqlfile, sqlite
from judgekit.store.folder import (
    Fork,
    Found,
    book_paths,
    look,
    new_book_id,
    read_all,
    transcribed_book_id,
)
from judgekit.store.verify import verify_code, verify_folder
from tests.store.entry_strategies import TEXT
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
    import sqlite3
    from pathlib import Path


def test_a_folder_that_is_not_there_holds_no_books(tmp_path: Path) -> None:
    log = tmp_path / "log"
    assert (book_paths(log), look(log), read_all(log)) == ([], Found(), ())
    assert verify_folder(log) == []


def test_only_book_files_are_read(tmp_path: Path) -> None:
    paths = [closed_book(tmp_path, 1, book_id) for book_id in ("b2", "b1")]
    (tmp_path / "notes.txt").write_text("not ours")
    (tmp_path / "x.sqlite").mkdir()
    assert book_paths(tmp_path) == sorted(paths)


def test_every_book_is_read_whole_also_one_being_written(tmp_path: Path) -> None:
    closed_book(tmp_path, 3, "b1", heat="1")
    with closing(new_book(tmp_path, "b2", heat="2")) as live:
        live.append(entries(5, book="b2"), [plan_bytes()])
        first, second = read_all(tmp_path)
        assert (first.id, first.heat, first.event, first.path.name) == (
            "b1",
            "1",
            "Quayside Saturday",
            "b1.sqlite",
        )
        assert list(first.entries) == entries(3)
        assert list(second.entries) == entries(5, book="b2")
        assert second.plans == live.plans()
        assert second.snapshot() == live.snapshot()
        assert [second.hash_at(n) for n in range(6)] == [
            live.hash_at(n) for n in range(6)
        ]
        assert second.last == 5
        for number in (-1, 6):
            with pytest.raises(BookError, match=f"has no entry {number}"):
                second.hash_at(number)


def test_a_sound_file_is_opened_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed_book(tmp_path, 3, "a")
    opened: list[Path] = []
    open_reader = sqlfile.open_reader

    def counted(path: Path) -> sqlite3.Connection:
        opened.append(path)
        return open_reader(path)

    monkeypatch.setattr(sqlfile, "open_reader", counted)
    assert len(read_all(tmp_path)) == 1
    assert [path.name for path in opened] == ["a.sqlite"]


def test_one_heat_can_be_read_alone(tmp_path: Path) -> None:
    closed_book(tmp_path, 1, "b1", heat="1")
    damaged = closed_book(tmp_path, 2, "b2", heat="2")
    tamper(damaged, "DELETE FROM entry WHERE number = 1")
    assert [copy.id for copy in read_all(tmp_path, heat="1")] == ["b1"]
    with pytest.raises(BookError, match=r"b2\.sqlite: entry 1 is missing"):
        read_all(tmp_path, heat="2")


def test_all_that_is_wrong_is_named_and_the_rest_still_read(tmp_path: Path) -> None:
    closed_book(tmp_path, 2, "b1")
    tamper(closed_book(tmp_path, 9, "b2"), "DELETE FROM entry WHERE number = 5")
    (tmp_path / "b3.sqlite").write_bytes(b"not a database at all" * 99)
    found = look(tmp_path)
    assert [copy.id for copy in found.copies] == ["b1"]
    assert [one.broken.number for one in found.damaged] == [5, 0]
    with pytest.raises(BookError) as caught:
        read_all(tmp_path)
    lines = str(caught.value).splitlines()
    assert lines[0] == "b2.sqlite: entry 5 is missing or out of place"
    assert lines[1].startswith("b3.sqlite: could not be read")
    assert [bool(one) for one in verify_folder(tmp_path)] == [True, False, False]


def test_of_two_copies_the_longer_is_used(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 3)
    shutil.copyfile(path, tmp_path / "a-copy.sqlite")
    with closing(sqlite.reopen(path)) as book:
        book.append(entries(5, first=4))
    (copy,) = read_all(tmp_path)
    assert (copy.path, copy.last) == (path, 5)
    assert all(verify_folder(tmp_path))


def test_two_copies_that_part_ways_are_a_fork_and_neither_is_used(
    tmp_path: Path,
) -> None:
    path = closed_book(tmp_path, 3)
    other = tmp_path / "elsewhere"
    other.mkdir()
    twin = other / "b1.sqlite"
    shutil.copyfile(path, twin)
    for each, body in ((path, NoRep()), (twin, None)):
        with closing(sqlite.reopen(each)) as book:
            book.append([entry(4, body)])
            if each == twin:
                book.append([entry(5)])
    twin = twin.rename(tmp_path / "b1-from-laptop-2.sqlite")
    closed_book(tmp_path, 1, "b2")
    found = look(tmp_path)
    fork = Fork(id="b1", first=twin, second=path, number=4)
    assert ([copy.id for copy in found.copies], found.damaged) == (["b2"], ())
    assert found.forks == (fork,)
    with pytest.raises(BookError, match="two different logs b1, from entry 4 on"):
        read_all(tmp_path)
    results = verify_folder(tmp_path)
    assert [one.broken and one.broken.number for one in results] == [4, 4, None]


def test_two_books_made_under_one_id_are_a_fork_from_their_heads_on(
    tmp_path: Path,
) -> None:
    closed_book(tmp_path, 1)
    other = closed_book(tmp_path / "other", 1, heat="2")
    other.rename(tmp_path / "c.sqlite")
    assert "from their heads on" in str(look(tmp_path).forks[0])


def test_a_code_over_several_books_stands_piece_by_piece(tmp_path: Path) -> None:
    pieces = []
    for book_id, last in (("b1", 3), ("b2", 5)):
        book = sqlite.read(closed_book(tmp_path, last, book_id))
        pieces.append(chain.piece(last, book.hash_at(last)))
    empty = sqlite.read(closed_book(tmp_path, 0, "b3"))
    pieces.append(chain.piece(0, empty.hash_at(0)))
    result = verify_code(tmp_path, chain.code_of(pieces))
    assert result
    assert [piece.book for piece in result.pieces] == ["b1", "b2", "b3"]
    assert not verify_code(tmp_path, f"{pieces[0]}+3.0000000000")
    assert (
        verify_code(tmp_path / "none", pieces[0])
        .pieces[0]
        .what.endswith("there are no logs")
    )
    with pytest.raises(BookError, match="is not a log code"):
        verify_code(tmp_path, "57")


NASTY = [
    "",
    "../..",
    "AC/DC",
    "CON",
    "a\x00b",
    "Ünïted Ⅳ",
    "\u202eevil",
    "=1+1",
    "x" * 300,
]


@settings(deadline=None)
@given(
    heat=st.sampled_from(NASTY) | TEXT,
    lanes=st.lists(st.integers(1, 999), max_size=12),
    chance=st.binary(min_size=8, max_size=8),
)
def test_a_new_id_is_always_a_safe_file_name(
    heat: str, lanes: list[int], chance: bytes
) -> None:
    book_id = new_book_id(heat, lanes, WALL, chance.hex())
    assert re.fullmatch(r"[a-z0-9_-]{1,80}", book_id)
    assert book_id.endswith(f"_20270508t103000z_{chance.hex()}")
    run_id = transcribed_book_id(heat, heat, 4, b"0:00 go\n", 1)
    assert re.fullmatch(r"[a-z0-9_-]{1,80}", run_id)


def test_a_new_id_says_heat_and_lanes() -> None:
    ids = [new_book_id("Heat 12", lanes, WALL, "ab12") for lanes in ([4], [7, 1], [])]
    assert ids == [
        "heat-12_l4_20270508t103000z_ab12",
        "heat-12_l1-7_20270508t103000z_ab12",
        "heat-12_l0_20270508t103000z_ab12",
    ]


def test_a_transcribed_id_is_the_same_for_the_same_tally_only() -> None:
    first = transcribed_book_id("e", "12", 4, b"0:00 go\n", 1)
    assert first == transcribed_book_id("e", "12", 4, b"0:00 go\n", 1)
    others = {
        transcribed_book_id("f", "12", 4, b"0:00 go\n", 1),
        transcribed_book_id("e", "13", 4, b"0:00 go\n", 1),
        transcribed_book_id("e", "12", 5, b"0:00 go\n", 1),
        transcribed_book_id("e", "12", 4, b"0:01 go\n", 1),
        transcribed_book_id("e", "12", 4, b"0:00 go\n", 2),
    }
    assert len(others | {first}) == 6
