from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Claim, Session
from judgekit.desk.practising import open_practice
from judgekit.store.folder import read_all
from tests.desk.fakes import FakeClock
from tests.rehearsing import rehearsal

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.desk import Desk


def test_a_rehearsal_has_a_book_of_its_own_that_says_what_it_is(tmp_path: Path) -> None:
    plan = rehearsal("air-squat").plan
    for _ in range(2):
        open_practice(tmp_path / "practice", plan, "kb", FakeClock()).close("over")
    books = read_all(tmp_path / "practice")
    assert [(book.heat, book.event) for book in books] == [("practice", "Practice")] * 2
    for book in books:
        start, claim, end = (entry.body for entry in book.entries)
        assert isinstance(start, Session)
        assert claim == Claim(judge="kb", source="practice")
        assert isinstance(end, Session)


def test_a_desk_that_cannot_begin_lets_its_book_go(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(_desk: Desk, _bodies: object) -> None:
        raise OSError

    monkeypatch.setattr("judgekit.desk.door.Desk.begin", fails)
    with pytest.raises(OSError):  # noqa: PT011 - the very error, unchanged
        open_practice(tmp_path, rehearsal("air-squat").plan, "kb", FakeClock())
    (book,) = read_all(tmp_path)
    assert book.last == 0
