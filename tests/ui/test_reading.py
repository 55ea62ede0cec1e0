"""While a long log is read a screen says so; what reading gives or raises comes out."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import pytest
from textual.widgets import Static

from judgekit.core.errors import BookError
from judgekit.ui import start
from judgekit.ui.reading import ReadingApp, _Work
from tests.ui.fake_desk import until

if TYPE_CHECKING:
    from pathlib import Path

WORDS = "Reading the log (12 MB) ..."


async def test_the_words_stand_until_the_work_is_done() -> None:
    held = threading.Event()

    def read() -> str:
        held.wait()
        return "the desk"

    work = _Work(read)
    app = ReadingApp(WORDS, work.start)
    async with app.run_test(size=(80, 24)) as pilot:
        assert shown(app) == WORDS
        await pilot.press("space", "ctrl+q", "ctrl+c")
        assert shown(app) == f"{WORDS} Nothing counts until the Floor is here."
        held.set()
        await until(pilot, lambda: app.return_code == 0)
    assert work.result() == "the desk"


async def test_what_reading_raises_is_raised_where_it_is_awaited() -> None:
    def read() -> str:
        raise BookError("b1.sqlite: it is damaged")

    work = _Work(read)
    async with ReadingApp(WORDS, work.start).run_test():
        pass
    with pytest.raises(BookError, match="it is damaged"):
        work.result()


def test_without_a_screen_the_work_is_done_all_the_same() -> None:
    assert _Work(lambda: "the desk").result() == "the desk"


def test_a_log_of_a_heat_is_opened_without_a_screen_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown_words: list[str] = []

    def behind(words: str, do: object) -> str:
        shown_words.append(words)
        return "read behind a screen"

    monkeypatch.setattr(start, "_ready", lambda: True)
    monkeypatch.setattr("judgekit.ui.reading.while_reading", behind)
    (tmp_path / "h1.sqlite").write_bytes(bytes(900_000))
    assert start.while_opening(tmp_path, lambda: "read at once") == "read at once"
    (tmp_path / "h1.sqlite-wal").write_bytes(bytes(12_300_000))
    assert start.while_opening(tmp_path, lambda: "no") == "read behind a screen"
    assert shown_words == [WORDS]


def shown(app: ReadingApp) -> str:
    return str(app.query_one(Static).content)
