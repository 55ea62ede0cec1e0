"""A server and its screens as processes: taps, keys, and how they end."""

from __future__ import annotations

import json
import re
import sys
from contextlib import asynccontextmanager
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any

import aiohttp
import pyte
import pytest

from judgekit.core.entry import Rep, Session
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.ui.app import PAGE_GONE
from tests.web.serving import PATIENCE_S, Serving, bodies, screens_of, under_way, until

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from judgekit.files.folder import EventFolder

pytestmark = pytest.mark.skipif(
    sys.platform != "linux", reason="it looks at processes as Linux shows them"
)
SIZE = (43, 40)


class Screen:
    """A page's end of a screen, without a browser."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self.socket = socket
        self._painted = pyte.Screen(*SIZE)
        self._stream = pyte.ByteStream(self._painted)
        self.said: list[Any] = []

    async def until_shown(self, words: str) -> None:
        """Read until that stands on it."""
        while not any(words in row for row in self._painted.display):
            await self.read()

    async def read(self) -> None:
        """One message of the server's."""
        message = await self.socket.receive(PATIENCE_S)
        if message.type == aiohttp.WSMsgType.TEXT:
            self.said.append(json.loads(message.data))
        else:
            assert message.type == aiohttp.WSMsgType.BINARY, self._painted.display
            self._stream.feed(message.data)

    async def tap(self, words: str, at: float = 0) -> None:
        """A finger on these words, at a time of the monotonic clock or now."""
        rows = self._painted.display
        y = max(number for number, row in enumerate(rows) if words in row)
        ms = round((at or monotonic()) * 1000)
        place = {"x": rows[y].index(words), "y": y, "at": ms}
        await self.socket.send_json(["tap", place])


@asynccontextmanager
async def screen(
    serving: Serving, *, over: str = "", shows: str = "saved"
) -> AsyncIterator[Screen]:
    """Lane 1 of heat 1, as its judge opens it."""
    lines = {"Origin": serving.base}
    jar = aiohttp.CookieJar(unsafe=True)
    async with aiohttp.ClientSession(
        serving.base, cookie_jar=jar, headers=lines
    ) as one:
        assert (await one.post("/enter", data=serving.token)).status == 204
        pin = {"pin": serving.pins["lane 1"]}
        assert (await one.post("/desk/lane-1-1", data=pin)).status == 200
        columns, rows = SIZE
        address = f"/ws/lane-1-1{over}?width={columns}&height={rows}"
        async with one.ws_connect(address) as socket:
            found = Screen(socket)
            await found.until_shown(shows)
            yield found


def words_around(process: int) -> set[bytes]:
    """Every name, value and argument that a process was given."""
    given = Path(f"/proc/{process}")
    found = (given / "environ").read_bytes() + (given / "cmdline").read_bytes()
    return set(found.replace(b"=", b"\0").split(b"\0"))


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path / "event")


async def test_taps_and_keys_are_counted_with_the_time_of_the_finger(
    folder: EventFolder,
) -> None:
    env = {"A_PASSWORD": "not for screens"}
    with Serving(folder.folder, env=env) as serving:
        async with screen(serving) as page:
            [number] = serving.screens()
            assert not {b"A_PASSWORD", serving.token.encode()} & words_around(number)
            now = monotonic()
            for ago in (6.0, 4.0, 2.0):
                await page.tap("GOOD REP", now - ago)
            await page.until_shown("rep 3")
            await page.socket.send_json(["stdin", " "])
            await page.until_shown("rep 4")
        until(lambda: not serving.screens())
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1,)), SystemClock())
    try:
        lane = desk.lane(1)
        made = [lane.when(e) for e in lane.entries if isinstance(e.body, Rep)]
    finally:
        desk.close()
    first, second, third, _ = (at or 0 for at in made)
    assert second - first == pytest.approx(2000, abs=5)
    assert third - second == pytest.approx(2000, abs=5)


async def test_a_page_that_goes_ends_its_desk_as_a_judge_would(
    folder: EventFolder,
) -> None:
    before = len(bodies(folder, Session))
    with Serving(folder.folder) as serving:
        async with screen(serving) as page:
            await page.tap("GOOD REP")
            await page.until_shown("rep 1")
            assert len(serving.screens()) == 1
        until(lambda: not serving.screens())
        opened, ended = bodies(folder, Session)[before:]
        assert (opened.start, ended.start, ended.why) == (True, False, PAGE_GONE)
        # The lane is free, and the count is where it was.
        async with screen(serving) as page:
            await page.until_shown("Opened again: 1 rep")


async def test_a_killed_server_leaves_no_screen_and_no_held_lane(
    folder: EventFolder,
) -> None:
    serving = Serving(folder.folder)
    try:
        async with screen(serving) as page:
            await page.tap("GOOD REP")
            await page.until_shown("rep 1")
            [_] = serving.screens()
            serving.kill()
            until(lambda: not screens_of(serving.process.pid))
    finally:
        serving.close()
    assert not bodies(folder, Session)[-1].start
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1,)), SystemClock())
    assert desk.lane(1).work.good == 1
    desk.close()


async def test_a_server_that_is_ended_closes_every_desk_first(
    folder: EventFolder,
) -> None:
    serving = Serving(folder.folder)
    async with screen(serving) as page:
        await page.tap("GOOD REP")
        await page.until_shown("rep 1")
        [number] = serving.screens()
        assert serving.close() == 0
        assert number not in screens_of(serving.process.pid)
    assert not bodies(folder, Session)[-1].start


async def test_a_lane_that_a_terminal_holds_is_told_and_can_be_carried_on(
    folder: EventFolder,
) -> None:
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1,)), SystemClock())
    try:
        with Serving(folder.folder) as serving:
            async with screen(serving, shows="") as page:
                while not page.said:
                    await page.read()
                assert page.said[0][0] == "ended"
                told = page.said[0][1]
                assert (told["held"], "--take-over" in told["says"]) == (True, False)
                assert "is open at another desk" in told["says"]
            async with screen(serving, over="/over") as page:
                await page.tap("GOOD REP")
                await page.until_shown("rep 1")
    finally:
        desk.close()


def test_the_pin_of_who_is_added_to_the_lists_is_printed_though_nobody_asks(
    folder: EventFolder,
) -> None:
    with Serving(folder.folder) as serving:
        for name, row in (
            ("people.csv", "8,Kit Orr,women,2.05 m\n"),
            ("heats.csv", "1,10:00,quayside,3,8,\n"),
        ):
            with (folder.folder / name).open("a", encoding="utf-8") as file:
                file.write(row)
        told = r"^Added to the lists:\n  lane 3 \d{4}$"
        until(lambda: bool(re.search(told, serving.text, re.MULTILINE)))
