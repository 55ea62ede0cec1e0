"""Headless Chromium against a server: taps, keyboards, bad Wi-Fi, and foreign pages."""

from __future__ import annotations

import asyncio
from contextlib import asynccontextmanager
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from judgekit.core.entry import Go, GoOn, NoRep, Rep, Stop
from tests.web.browser import CHROMIUM, Page, chromium
from tests.web.proxy import Proxy
from tests.web.serving import Serving, bodies, screens_of, to_judge, under_way

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable
    from pathlib import Path

    from judgekit.files.folder import EventFolder

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="there is no Chromium here")
PHONE = (390, 844)
PATIENCE_S = 60.0
# Of a server that was killed no screen is left after so long.
GONE_S = 3.0
TRIES = """new Promise((done) => {
  const line = new WebSocket("%s");
  line.onopen = () => done("opened");
  line.onerror = () => done("refused");
})"""


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path / "event")


@asynccontextmanager
async def serving(folder: EventFolder, *more: str) -> AsyncIterator[Serving]:
    """The server, begun beside this test's own loop."""
    begun = await asyncio.to_thread(Serving, folder.folder, *more)
    try:
        yield begun
    finally:
        await asyncio.to_thread(begun.close)


async def come(page: Page, server: Serving, base: str = "") -> None:
    """From the coach's link to lane 1 of heat 1, as a judge does it."""
    await choose(page, server, "lane-1-1", "lane 1", base)
    await page.until_shown("GOOD REP", "saved")


async def choose(
    page: Page, server: Serving, desk: str, pin: str = "", base: str = ""
) -> None:
    """From the coach's link to a desk of the list, with its PIN where it has one."""
    base = base or server.base
    await page.open(f"{base}/#{server.token}")
    await page.until("location.pathname === '/' && document.querySelector('.desks')")
    # No token stays in the address, also where the link is opened once more.
    await page.until("!location.hash")
    assert server.token not in str(await page.js("location.href"))
    await page.js(f"document.querySelector('a[href=\"/desk/{desk}\"]').click()")
    if pin:
        await page.until("document.querySelector('#pin')")
        await page.js(
            f"document.querySelector('#pin').value = '{server.pins[pin]}';"
            "document.querySelector('form').submit()"
        )
    await page.until("document.querySelector('textarea')?.readOnly")


async def until(holds: Callable[[], bool], within_s: float = PATIENCE_S) -> None:
    """Wait for that, while the browser goes on; AssertionError if it does not come."""
    limit = asyncio.get_running_loop().time() + within_s
    while not await asyncio.to_thread(holds):
        assert asyncio.get_running_loop().time() < limit, "it never came to hold"
        await asyncio.sleep(0.02)


async def told(page: Page) -> str:
    """What stands over the screen, once something does."""
    await page.until("!document.querySelector('#over').hidden")
    return str(await page.js("document.querySelector('#over').innerText"))


async def test_a_phone_judges_by_touch_and_asks_nobody_else_for_anything(
    folder: EventFolder,
) -> None:
    async with serving(folder) as server, chromium() as tab:
        page = await tab(*PHONE)
        # A page of another origin opens nothing.
        address = server.base.replace("http", "ws")
        for path in ("/ws/standings", "/ws/lane-1-1"):
            assert await page.js(TRIES % f"{address}{path}") == "refused"
        assert server.screens() == []
        page.requests.clear()
        page.problems.clear()

        await come(page, server)
        # The whole screen is on the page, upright, and no less than forty columns.
        assert len(page.screen[0]) >= 40
        assert await page.js(
            "document.documentElement.scrollWidth <= innerWidth"
            " && document.documentElement.scrollHeight <= innerHeight"
        )
        for words in ("STOP", "DEPTH", "TAKE", "GOOD REP", "FRONT SQUAT"):
            x, y = await page.place_of(words)
            assert 0 < x < PHONE[0], words
            assert 0 < y < PHONE[1], words
        # One thumb: what is tapped most lies lowest, STOP at the far edge.
        assert (await page.place_of("GOOD REP"))[1] > PHONE[1] * 0.8
        assert (await page.place_of("STOP"))[1] < PHONE[1] * 0.1

        for _ in range(10):
            await page.tap("GOOD REP")
        await page.until_shown("rep 10")
        # It counts as the finger comes down, not when it is lifted.
        await page.finger_down(*await page.place_of("GOOD REP"))
        await page.until_shown("rep 11")
        await page.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])

        # Two thumbs at once are two.
        x, y = await page.place_of("GOOD REP")
        await page.fingers_down((x - 90, y), (x + 90, y))
        await page.until_shown("rep 13")
        await page.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])

        # What a soft keyboard would write does nothing, and none was ever asked for.
        assert await page.js("document.activeElement === document.body")
        await page.js("document.querySelector('textarea').focus()")
        await page.call("Input.insertText", text="   ddd0")
        await page.call(
            "Input.imeSetComposition", text="d", selectionStart=0, selectionEnd=1
        )
        # A real key of a keyboard beside it counts.
        for kind in ("keyDown", "keyUp"):
            await page.call(
                "Input.dispatchKeyEvent", type=kind, text=" ", key=" ", code="Space"
            )
        await page.until_shown("rep 14")
        await page.tap("DEPTH")
        await page.until_shown("NO REP depth")
        await page.tap("STOP")
        await page.until_shown("STOPPED")
        assert {urlsplit(url).netloc for url in page.requests} == {
            urlsplit(server.base).netloc
        }
        # It complains of coming without the link, and of a machine without WebGL.
        usual = ("401", "WebGL", "webgl")
        assert [p for p in page.problems if not any(one in p for one in usual)] == []
    counted = [len(bodies(folder, kind)) for kind in (Rep, NoRep, Stop)]
    assert counted == [14, 1, 1]


async def test_a_page_comes_back_to_the_same_count_after_a_bad_line(
    folder: EventFolder,
) -> None:
    proxy = Proxy()
    await proxy.start()
    name = f"http://127.0.0.1:{proxy.port}"
    async with serving(folder, f"--origin={name}") as server, chromium() as tab:
        proxy.lead_to(urlsplit(server.base).port or 0)
        try:
            page = await tab(*PHONE)
            await come(page, server, name)
            for number in (1, 2, 3):
                await page.tap("GOOD REP")
                await page.until_shown(f"rep {number}")

            # The line breaks off: the page is back by itself.
            page.forget()
            proxy.cut()
            await page.until_shown("Opened again: 3 reps", "GOOD REP")
            await page.tap("GOOD REP")
            await page.until_shown("rep 4")

            # Nothing gets through, and nobody says so: the page finds out.
            proxy.stall()
            said = await told(page)
            assert ("NOT CONNECTED" in said, "Nothing counts" in said) == (True, True)
            await page.touch(195, 800)
            page.forget()
            proxy.flow()
            await page.until_shown("Opened again: 4 reps", "GOOD REP")
            await page.tap("GOOD REP")
            await page.until_shown("rep 5")
            assert len(server.screens()) == 1
        finally:
            await proxy.close()
    assert len(bodies(folder, Rep)) == 5


async def test_one_phone_has_the_lane_and_a_killed_server_has_no_screen(
    folder: EventFolder,
) -> None:
    async with serving(folder) as server, chromium() as tab:
        first = await tab(*PHONE)
        await come(first, server)
        second = await tab(*PHONE)
        await second.open(f"{server.base}/desk/lane-1-1")
        await second.until_shown("GOOD REP", "saved")
        assert "OPENED ELSEWHERE" in await told(first)
        assert len(server.screens()) == 1
        await second.tap("GOOD REP")
        await second.until_shown("rep 1")

        server.kill()
        await until(lambda: not screens_of(server.process.pid), GONE_S)
        assert "NOT CONNECTED" in await told(second)
        # Whoever was sent away does not come back for it.
        assert "OPENED ELSEWHERE" in await told(first)


async def test_a_heat_is_judged_by_taps_while_board_and_head_judge_follow(
    tmp_path: Path,
) -> None:
    folder = to_judge(tmp_path / "event")
    async with serving(folder) as server, chromium() as tab:
        board, head, phone = (
            await tab(700, 300),
            await tab(820, 1180),
            await tab(*PHONE),
        )
        await choose(board, server, "board")
        # The browser has been shown the link; each desk asks for its own PIN.
        await choose(head, server, "head", "head judge")
        await come(phone, server)
        await head.until_row(r"> 1 .* waits ")
        await board.until_shown("Ines Varga", "ready")

        await phone.tap("  GO ")
        await phone.tap("YES")
        await head.until_row(r"> 1 .* works ")
        for number in (1, 2):
            await phone.tap("GOOD REP")
            await phone.until_shown(f"rep {number}")
        await board.until_shown("front squat 2 of 3")
        await head.until_row(r"> 1 .* works +2 ")
        await phone.tap("DEPTH")
        await phone.until_shown("NO REP depth")
        await phone.tap("STOP")
        await phone.until_shown("STOPPED")
        await board.until_shown("stopped")
        await head.until_row(r"^ STOP lane 1 ")
        await head.until_row(r"> 1 .* STOP +2 ")

        await phone.tap("MISTAKE")
        await board.until_shown("front squat 2 of 3")
        await head.until_row(r"> 1 .* works +2 ")
        for shown in ("rep 3", "rep 1"):
            await phone.tap("GOOD REP")
            await phone.until_shown(shown)
        await board.until_shown("toes-to-bar 1 of 2")
        await head.until_row(r"> 1 .* works +4 ")
        await phone.tap("GOOD REP")
        await phone.until_shown("Work is done")
        await head.until_row(r"> 1 .* over +0:\d\d ")
        await board.until_shown("finished")

        # Nothing of it is left once the server is gone, whatever it was.
        assert len(server.screens()) == 3
        server.kill()
        await until(lambda: not screens_of(server.process.pid), GONE_S)
        for page in (board, head, phone):
            assert "NOT CONNECTED" in await told(page)
    counted = [len(bodies(folder, kind)) for kind in (Go, Rep, NoRep, Stop, GoOn)]
    assert counted == [1, 5, 1, 1, 1]


async def test_a_page_that_slept_comes_back_to_its_lane_and_count(
    folder: EventFolder,
) -> None:
    proxy = Proxy()
    await proxy.start()
    name = f"http://127.0.0.1:{proxy.port}"
    async with serving(folder, f"--origin={name}") as server, chromium() as tab:
        proxy.lead_to(urlsplit(server.base).port or 0)
        try:
            page = await tab(*PHONE)
            await come(page, server, name)
            await page.tap("GOOD REP")
            await page.until_shown("rep 1")

            # Asleep and hidden, nothing of the page runs; its line ends, its desk too.
            await page.call("Page.setWebLifecycleState", state="frozen")
            page.forget()
            proxy.cut()
            await until(lambda: not server.screens())
            await page.call("Page.setWebLifecycleState", state="active")
            await page.call("Emulation.setFocusEmulationEnabled", enabled=True)
            await page.until_shown("Opened again: 1 rep", "GOOD REP")
            await page.tap("GOOD REP")
            await page.until_shown("rep 2")
        finally:
            await proxy.close()
    assert len(bodies(folder, Rep)) == 2
