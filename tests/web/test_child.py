"""A screen's process by itself: a failing screen, keys cut in two, and a stuck one."""

from __future__ import annotations

import asyncio
import os
import sys
from time import monotonic
from typing import TYPE_CHECKING

import pyte

from judgekit.core.entry import Rep
from judgekit.ui.athletecodes import Code, packed
from judgekit.web import child as children
from judgekit.web.child import Child, environment
from tests.pty.failing import HEAD, bodies, under_way

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    import pytest

SIZE = (43, 40)
PATIENCE_S = 60.0
# Of one text, on Linux.
MOST_IN_ENVIRONMENT = 128 * 1024
FAILS = """
was = floor.FloorScreen.on_key
def on_key(self, event):
    if event.key == "x":
        fail()
    was(self, event)
floor.FloorScreen.on_key = on_key
"""


class Paper:
    """What a screen has painted."""

    def __init__(self) -> None:
        self._screen = pyte.Screen(*SIZE)
        self._stream = pyte.ByteStream(self._screen)

    async def paint(self, data: bytes) -> None:
        self._stream.feed(data)

    def place_of(self, words: str) -> tuple[int, int]:
        rows = self._screen.display
        y = max(number for number, row in enumerate(rows) if words in row)
        return rows[y].index(words), y

    async def until_shown(self, words: str) -> None:
        await until(lambda: any(words in row for row in self._screen.display))


async def until(holds: Callable[[], bool]) -> None:
    limit = asyncio.get_running_loop().time() + PATIENCE_S
    while not holds():
        assert asyncio.get_running_loop().time() < limit, "it never came to hold"
        await asyncio.sleep(0.02)


async def test_a_screen_that_fails_comes_back_behind_the_same_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = under_way(tmp_path)
    site = tmp_path / "site"
    site.mkdir()
    (site / "sitecustomize.py").write_text(HEAD + FAILS, encoding="utf-8")

    def with_failure(size: tuple[int, int]) -> dict[str, str]:
        known = environment(size)
        path = os.pathsep.join([os.fspath(site), known["PYTHONPATH"]])
        failed = os.fspath(site / "failed")
        return known | {"PYTHONPATH": path, "FAILS_ONCE": failed}

    monkeypatch.setattr(children, "environment", with_failure)
    paper = Paper()
    event = os.fspath(folder.folder)
    arguments = ("floor", "--heat=1", "--lane=1", "--", event)
    child = await Child.start(arguments, SIZE, paper.paint)
    try:
        await paper.until_shown("rep 1")
        await child.type("x")
        await paper.until_shown("The screen failed (ValueError)")
        x, y = paper.place_of("GOOD REP")
        await child.tell(type="tap", x=x, y=y, at=round(monotonic() * 1000))
        await paper.until_shown("rep 2")
        await child.type(" ")
        await paper.until_shown("rep 3")
    finally:
        ended = await child.end()
    assert "hunter2" not in ended.says
    assert sum(isinstance(body, Rep) for body in bodies(folder)) == 3


async def test_a_screen_that_cannot_be_begun_says_why() -> None:
    child = await Child.start(
        ("floor", "--heat=1", "--", "nowhere"), SIZE, Paper().paint
    )
    ended = await child.ended()
    assert ended.code == 2
    assert "nowhere" in ended.says


async def test_a_process_that_does_not_end_is_ended(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(children, "END_S", 0.1)
    stuck = ("-c", "import time\nprint('here', flush=True)\ntime.sleep(600)")

    def command(_: object) -> tuple[str, ...]:
        return (sys.executable, *stuck)

    monkeypatch.setattr(children, "command", command)
    child = await Child.start((), SIZE, Paper().paint)
    ended = await child.end()
    assert ended.code == -9


async def test_a_screen_is_told_more_codes_than_an_environment_holds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As its driver reads them, and with none left for what it begins itself."""
    shows = """
import os, sys
from textual.drivers._byte_stream import ByteStream
from judgekit.ui.webdriver import PageDriver
from judgekit.ui import athletecodes
driver, stream = object.__new__(PageDriver), ByteStream()
while data := os.read(0, 4096):
    for kind, payload in stream.feed(data):
        driver._on_meta(kind, payload)
handed_on = [name for name, value in os.environ.items() if "/sheet/" in value]
print(len(athletecodes._TOLD.codes), handed_on, sys.argv[1:], flush=True)
"""
    monkeypatch.setattr(children, "command", lambda _: (sys.executable, "-c", shows))
    link = "http://192.168.178.20:8720/sheet/0123456789abcdefghijklmn"
    one = Code(link=link, rows=("01" * 14,) * 29)
    codes = packed({str(bib): one for bib in range(300)})
    assert len(codes) > MOST_IN_ENVIRONMENT
    child = await Child.start((), SIZE, Paper().paint)
    await child.tell(type="codes", codes=codes)
    ended = await child.end()
    assert (ended.code, ended.says) == (0, "300 [] []")
