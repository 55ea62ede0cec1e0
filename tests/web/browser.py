"""A headless Chromium for a test, spoken to by its own protocol.

Only the pages of the server under test are ever opened.
"""

from __future__ import annotations

import asyncio
import base64
import json
import re
import shutil
import tempfile
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast
from urllib.parse import parse_qs, urlsplit

import aiohttp
import pyte

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable

CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))),
    "",
)
PATIENCE_S = 60.0
# The kind of a message that holds bytes, by RFC 6455.
_BINARY = 2
_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-extensions",
    "--disable-sync",
    "--no-first-run",
    "--mute-audio",
    "--remote-debugging-port=0",
)
_PLAIN = ("--disable-3d-apis",)


class Page:
    """One tab: a size, what it asked the network for, and fingers on it."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket = socket
        self._asked = 0
        self._answers: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self.requests: list[str] = []
        self.problems: list[str] = []
        self._painted: pyte.Screen | None = None
        self._stream: pyte.ByteStream | None = None
        self._reader = asyncio.create_task(self._read())

    async def _read(self) -> None:
        async for message in self._socket:
            said = json.loads(message.data)
            if "id" in said:
                self._answers.pop(said["id"]).set_result(said)
            else:
                self._heard(said["method"], said["params"])

    def _heard(self, method: str, params: dict[str, Any]) -> None:
        match method:
            case "Network.requestWillBeSent":
                self.requests.append(params["request"]["url"])
            case "Network.webSocketCreated":
                self.requests.append(params["url"])
                self._opened(params["url"])
            case "Network.webSocketFrameReceived":
                self._received(params["response"])
            case "Runtime.exceptionThrown":
                self.problems.append(str(params["exceptionDetails"]))
            case "Log.entryAdded":
                self.problems.append(str(params["entry"]))
            case _:
                pass

    def _opened(self, url: str) -> None:
        """A new screen: what comes for it is painted beside the browser, to be read."""
        size = {k: int(v[0]) for k, v in parse_qs(urlsplit(url).query).items()}
        if size:
            self._painted = pyte.Screen(size["width"], size["height"])
            self._stream = pyte.ByteStream(self._painted)

    def _received(self, frame: dict[str, Any]) -> None:
        if frame["opcode"] == _BINARY and self._stream is not None:
            self._stream.feed(base64.b64decode(frame["payloadData"]))

    @property
    def screen(self) -> list[str]:
        """The rows of the screen that the page shows."""
        return list(self._painted.display) if self._painted is not None else []

    def forget(self) -> None:
        """Only what is painted from now on stands on the screen."""
        self._painted = self._stream = None

    async def until_shown(self, *words: str) -> None:
        """Wait until all of that stands on the screen."""
        limit = asyncio.get_running_loop().time() + PATIENCE_S
        while not all(any(word in row for row in self.screen) for word in words):
            if asyncio.get_running_loop().time() > limit:
                shown = "\n".join(self.screen)
                raise AssertionError(f"never shown: {words}; the screen was\n{shown}")
            await asyncio.sleep(0.01)

    async def until_row(self, pattern: str) -> None:
        """Wait until one row of the screen is like that."""
        like = re.compile(pattern)
        limit = asyncio.get_running_loop().time() + PATIENCE_S
        while not any(like.search(row) for row in self.screen):
            if asyncio.get_running_loop().time() > limit:
                shown = "\n".join(self.screen)
                raise AssertionError(f"no row like {pattern}; the screen was\n{shown}")
            await asyncio.sleep(0.01)

    async def place_of(self, words: str) -> tuple[float, float]:
        """The middle of these words on the page, in its own pixels.

        Pads lie lowest, but for STOP, which lies highest.
        """
        rows = self.screen
        found = [y for y, row in enumerate(rows) if words in row]
        y = found[0] if words == "STOP" else found[-1]
        x = rows[y].index(words) + len(words) / 2
        box = await self.js(
            "(({left, top, width, height}) => [left, top, width, height])"
            "(document.querySelector('.xterm-screen').getBoundingClientRect())"
        )
        left, top, width, height = cast("list[float]", box)
        across, down = width / len(rows[0]), height / len(rows)
        return left + x * across, top + (y + 0.5) * down

    async def tap(self, words: str) -> None:
        """A finger on what says that."""
        await self.touch(*await self.place_of(words))

    async def call(self, method: str, **params: object) -> dict[str, Any]:
        """One command of the protocol, and what it gives."""
        self._asked += 1
        answer = asyncio.get_running_loop().create_future()
        self._answers[self._asked] = answer
        await self._socket.send_json(
            {"id": self._asked, "method": method, "params": params}
        )
        said = await asyncio.wait_for(answer, PATIENCE_S)
        assert "error" not in said, said
        result: dict[str, Any] = said["result"]
        return result

    async def begin(self, width: int, height: int, *, touch: bool) -> None:
        """Make it a device of that size."""
        for domain in ("Page", "Network", "Runtime", "Log"):
            await self.call(f"{domain}.enable")
        await self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=touch,
        )
        if touch:
            await self.call("Emulation.setTouchEmulationEnabled", enabled=True)

    async def open(self, url: str) -> None:
        """Another page, whose screen shows nothing yet."""
        self.forget()
        await self.call("Page.navigate", url=url)

    async def js(self, expression: str) -> object:
        """What an expression is in the page."""
        found = await self.call(
            "Runtime.evaluate",
            expression=expression,
            returnByValue=True,
            awaitPromise=True,
        )
        assert "exceptionDetails" not in found, found
        return found["result"].get("value")

    async def until(self, expression: str) -> None:
        """Wait for it to be so; AssertionError with the page's text if never."""
        limit = asyncio.get_running_loop().time() + PATIENCE_S
        while asyncio.get_running_loop().time() < limit:
            # A page on its way to another one has no answer.
            with suppress(AssertionError):
                if await self.js(f"!!({expression})"):
                    return
            await asyncio.sleep(0.02)
        shown = await self.js("document.body.innerText")
        raise AssertionError(f"never so: {expression}; the page said {shown!r}")

    async def touch(self, x: float, y: float) -> None:
        """A finger comes down and is lifted."""
        await self.finger_down(x, y)
        await self.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])

    async def finger_down(self, x: float, y: float) -> None:
        """A finger comes down, and stays."""
        await self.fingers_down((x, y))

    async def fingers_down(self, *places: tuple[float, float]) -> None:
        """Fingers come down at once, and stay."""
        points = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(places)]
        await self.call(
            "Input.dispatchTouchEvent", type="touchStart", touchPoints=points
        )

    async def picture(self) -> bytes:
        """What is on it, as a PNG."""
        data = await self.call("Page.captureScreenshot", format="png")
        return base64.b64decode(data["data"])


@asynccontextmanager
async def chromium(
    *more: str,
) -> AsyncIterator[Callable[..., Awaitable[Page]]]:
    """A browser without a window, and what opens a tab in it.

    It draws without WebGL, as old tablets do, and faster than with an imitation of it.
    """
    home = Path(tempfile.mkdtemp(prefix="chromium-"))
    process = await asyncio.create_subprocess_exec(
        CHROMIUM,
        *_FLAGS,
        *(more or _PLAIN),
        f"--user-data-dir={home}",
        "about:blank",
        stdout=asyncio.subprocess.DEVNULL,
        stderr=asyncio.subprocess.DEVNULL,
    )
    try:
        port = await _port(home / "DevToolsActivePort")
        async with aiohttp.ClientSession() as session:
            here = f"127.0.0.1:{port}"
            async with session.get(f"http://{here}/json/version") as answer:
                whole = (await answer.json())["webSocketDebuggerUrl"]
            browser = Page(await session.ws_connect(whole, max_msg_size=0))

            async def tab(width: int, height: int, *, touch: bool = True) -> Page:
                # A window each: a tab behind another one is asleep.
                made = await browser.call(
                    "Target.createTarget", url="about:blank", newWindow=True
                )
                where = f"ws://{here}/devtools/page/{made['targetId']}"
                page = Page(await session.ws_connect(where, max_msg_size=0))
                await page.begin(width, height, touch=touch)
                return page

            yield tab
    finally:
        with suppress(ProcessLookupError):
            process.kill()
        await process.wait()
        shutil.rmtree(home, ignore_errors=True)


async def _port(told: Path) -> str:
    """The port that the browser chose, once it says so."""
    limit = asyncio.get_running_loop().time() + PATIENCE_S
    while asyncio.get_running_loop().time() < limit:
        if lines := _lines(told):
            return lines[0]
        await asyncio.sleep(0.02)
    raise AssertionError("the browser never told its port")


def _lines(told: Path) -> list[str]:
    return told.read_text().splitlines() if told.exists() else []
