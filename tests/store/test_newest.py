from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import BookError
from judgekit.store.folder import look
from judgekit.store.newest import newest_entries
from tests.store.making import entries, new_book

if TYPE_CHECKING:
    from pathlib import Path


def test_the_newest_entry_is_named_also_while_it_is_written(tmp_path: Path) -> None:
    assert newest_entries(tmp_path) == {}
    with closing(new_book(tmp_path)) as book:
        assert newest_entries(tmp_path) == {"b1.sqlite": (0, "")}
        book.append(entries(7))
        [copy] = look(tmp_path).copies
        assert newest_entries(tmp_path) == {"b1.sqlite": (7, copy.hash_at(7))}


def test_what_is_no_book_cannot_be_told(tmp_path: Path) -> None:
    (tmp_path / "b1.sqlite").write_bytes(b"nothing of ours" * 99)
    with pytest.raises(BookError):
        newest_entries(tmp_path)
