"""One contract for every kind of book."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.entry import Go, Is, Rep
from judgekit.core.errors import BookError
from judgekit.store.book import (
    Book,
    BookHeld,
    Broken,
    check_id,
    header_bytes,
    iso_utc,
    read_header,
)
from judgekit.store.codec import plan_hash
from judgekit.store.memory import MemoryBook
from tests.store.entry_strategies import runs
from tests.store.making import WALL, entries, entry, new_book, plan, plan_bytes

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.entry import Entry


def memory_book() -> MemoryBook:
    return MemoryBook("b1", event="Quayside Saturday", heat="1", wall=WALL)


@pytest.fixture(params=["memory", "sqlite"])
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Book]:
    made: Book = memory_book() if request.param == "memory" else new_book(tmp_path)
    with closing(made):
        yield made


class TestEveryBook:
    def test_starts_empty_and_says_what_it_is(self, book: Book) -> None:
        facts = (book.id, book.event, book.heat, book.last, book.entries())
        assert facts == ("b1", "Quayside Saturday", "1", 0, [])
        assert (book.plans(), book.verify()) == ({}, None)

    def test_gives_entries_back_in_the_order_of_their_numbers(self, book: Book) -> None:
        book.append(entries(3))
        book.append(entries(5, first=4))
        assert book.entries() == entries(5)
        assert book.entries(after=3) == entries(5, first=4)
        assert book.entries(after=5) == []
        assert book.last == 5

    @pytest.mark.parametrize("number", [1, 3, 5, 0, -1])
    def test_refuses_a_number_that_is_not_the_next(
        self, book: Book, number: int
    ) -> None:
        book.append(entries(3))
        with pytest.raises(BookError, match="is not the next one; 4 of b1 is"):
            book.append([entry(number)])
        assert book.entries() == entries(3)

    def test_refuses_an_entry_of_another_book(self, book: Book) -> None:
        with pytest.raises(BookError, match="entry 1 of b2 is not the next one"):
            book.append([entry(1, book="b2")])

    def test_keeps_all_of_an_append_or_nothing(self, book: Book) -> None:
        with pytest.raises(BookError):
            book.append([entry(1), entry(3)], [plan_bytes()])
        with pytest.raises(BookError):
            book.append([entry(1), entry(2, Rep(n=True))], [plan_bytes()])
        with pytest.raises(BookError):
            book.append([entry(1)], [plan_bytes(), b"no plan"])
        assert (book.entries(), book.plans(), book.last) == ([], {}, 0)
        book.append(entries(1))
        assert book.entries() == entries(1)

    def test_an_append_of_nothing_changes_nothing(self, book: Book) -> None:
        book.append(entries(2))
        before = book.snapshot()
        book.append([])
        assert book.snapshot() == before

    def test_keeps_plans_by_hash_in_order_and_each_once(self, book: Book) -> None:
        first, second = plan_bytes(reps=10), plan_bytes(reps=8)
        book.append([], [second, first, second])
        book.append([entry(1)], [first])
        assert list(book.plans().items()) == [
            (plan_hash(second), plan(reps=8)),
            (plan_hash(first), plan(reps=10)),
        ]

    def test_has_a_hash_for_each_entry_and_its_head(self, book: Book) -> None:
        book.append(entries(2))
        rows = book.snapshot().rows
        assert [book.hash_at(1), book.hash_at(2)] == [row.hash.hex() for row in rows]
        assert len({book.hash_at(number) for number in range(3)}) == 3
        for number in (-1, 3):
            with pytest.raises(BookError, match=f"has no entry {number}"):
                book.hash_at(number)

    def test_a_go_whose_plan_is_missing_does_not_stand(self, book: Book) -> None:
        go = Go(boot="x", boot_ms=0, zero_ms=0, plans=((4, plan_hash(plan_bytes())),))
        book.append([entry(1), entry(2, go)])
        assert book.verify() == Broken(number=2, what="names a plan that is missing")
        book.append([], [plan_bytes()])
        assert book.verify() is None

    def test_a_copied_go_seals_the_plans_of_its_own_lanes(self, book: Book) -> None:
        go = Go(
            boot="x",
            boot_ms=0,
            zero_ms=0,
            plans=((1, plan_hash(plan_bytes())),),
            copies=entry(1, book="b2").ref,
        )
        book.append([entry(1, go)])
        broken = book.verify()
        assert broken == Broken(number=1, what="names a plan that is missing")
        book.append(
            [entry(2, Is(bib="31", plan=plan_hash(plan_bytes())))], [plan_bytes()]
        )
        assert book.verify() is None

    def test_takes_nothing_once_closed(self, book: Book) -> None:
        book.close()
        with pytest.raises(BookError, match="closed"):
            book.append(entries(1))
        book.close()


@settings(max_examples=25, deadline=None)
@given(written=runs("b1"), split=st.integers(0, 8))
def test_memory_and_sqlite_hold_the_same_bytes_and_hashes(
    written: list[Entry], split: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    memory = memory_book()
    with closing(new_book(tmp_path_factory.mktemp("log"))) as sqlite_book:
        for book in (memory, sqlite_book):
            book.append(written[:split], [plan_bytes()])
            book.append(written[split:])
            assert book.verify() is None
        assert sqlite_book.snapshot() == memory.snapshot()
        assert sqlite_book.entries() == memory.entries() == written


def test_a_damaged_head_is_said_to_be() -> None:
    with pytest.raises(BookError, match="head of the log is damaged"):
        read_header(b'{"book":"b1"}')


def test_the_head_of_a_book_is_five_plain_facts() -> None:
    assert memory_book().snapshot().header == (
        b'{"book":"b1","created":1809772200000,"event":"Quayside Saturday",'
        b'"format":4,"heat":"1"}'
    )


@pytest.mark.parametrize("book_id", ["", "B1", "a b", "../x", "a.b", "x" * 81, "ä"])
def test_an_id_that_is_no_safe_file_name_is_refused(book_id: str) -> None:
    with pytest.raises(BookError, match="cannot name a log"):
        check_id(book_id)
    header = read_header(memory_book().snapshot().header)
    with pytest.raises(BookError, match="cannot name a log"):
        header_bytes(replace(header, book=book_id))


def test_wall_times_are_shown_to_the_millisecond() -> None:
    assert iso_utc(WALL + 7) == "2027-05-08T10:30:00.007Z"
    assert iso_utc(10**17) == ""


def test_a_held_book_says_what_it_knows() -> None:
    assert str(BookHeld("b1")) == "the log b1 is open at another desk"
    held = BookHeld("b1", process=42, since=WALL, last=entry(9))
    assert str(held) == (
        "the log b1 is open at another desk: process 42 on this machine, "
        "since 2027-05-08 10:30:00 UTC, last entry 9"
    )
