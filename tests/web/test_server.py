"""What the server refuses, with no process begun; what it sends, and how."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pytest
from aiohttp import ClientWebSocketResponse, WSMsgType, WSServerHandshakeError

from judgekit.web.gate import MOST_TRIES
from judgekit.web.server import _STATIC
from judgekit.web.sessions import CLOSED, ELSEWHERE, FAILED, clamped
from tests.web.fakes import (
    ORIGIN,
    TOKEN,
    Client,
    FakeScreen,
    enter,
    fake_screens,
    until,
    visiting,
)

if TYPE_CHECKING:
    from pathlib import Path

PAGES = ("/", "/desk/lane-1-1", "/desk/standings")


@pytest.fixture
def begun(monkeypatch: pytest.MonkeyPatch) -> list[FakeScreen]:
    """Every screen that is begun in the test."""
    return fake_screens(monkeypatch)


async def refused(client: Client, path: str, **headers: str) -> int:
    """The status with which a screen is refused."""
    with pytest.raises(WSServerHandshakeError) as refusal:
        await client.ws_connect(path, headers=headers)
    return refusal.value.status


async def opened(client: Client, desk: str) -> ClientWebSocketResponse:
    """A screen's page, once it has painted."""
    socket = await client.ws_connect(f"/ws/{desk}?width=43&height=40")
    assert await socket.receive_bytes() == b"painted"
    return socket


async def ended(socket: ClientWebSocketResponse) -> tuple[object, object]:
    """What the page is told at the end, and the code that closes it."""
    told = None
    while (message := await socket.receive()).type == WSMsgType.TEXT:
        told = json.loads(message.data)
    assert message.type == WSMsgType.CLOSE
    return told, message.data


async def test_nothing_is_shown_or_begun_without_the_link(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        for path in PAGES:
            answer = await client.get(path)
            assert answer.status == 401
            assert "Quayside" not in await answer.text()
        assert await refused(client, "/ws/lane-1-1") == 401
        assert await refused(client, "/ws/standings") == 401
        assert (await client.post("/desk/lane-1-1", data={"pin": "0417"})).status == 401
    assert begun == []


async def test_a_wrong_token_is_no_link(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        for token in ("", TOKEN[:-1], f"{TOKEN}x", "ü"):
            answer = await client.post("/enter", data=token)
            assert (answer.status, "Set-Cookie" in answer.headers) == (401, False)
        assert (await client.post("/enter", data="x" * 5000)).status == 413
        assert await refused(client, "/ws/lane-1-1") == 401
    assert begun == []


async def test_the_cookie_is_no_script_s_and_no_other_site_s(tmp_path: Path) -> None:
    async with visiting(tmp_path) as client:
        answer = await client.post("/enter", data=TOKEN)
        said = answer.headers["Set-Cookie"]
        assert "HttpOnly" in said
        assert "SameSite=Strict" in said
        assert TOKEN not in said


async def test_another_site_s_page_is_refused(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        for origin in ("http://evil.example", "null", "https://desks.test:8720", ""):
            assert await refused(client, "/ws/lane-1-1", Origin=origin) == 403
            post = await client.post(
                "/desk/lane-1-2", data={"pin": "8250"}, headers={"Origin": origin}
            )
            assert post.status == 403
        assert (
            await client.post("/enter", data=TOKEN, headers={"Origin": "x"})
        ).status == 403
    assert begun == []


async def test_a_screen_is_opened_by_a_page_only(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    """Programs that send no origin are no page of ours."""
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        client.session.headers.pop("Origin")
        assert await refused(client, "/ws/lane-1-1") == 403
        assert (await client.get("/ws/lane-1-1")).status == 403
        assert (await client.post("/enter", data=TOKEN)).status == 403
        assert (
            await client.get("/ws/lane-1-1", headers={"Origin": ORIGIN})
        ).status == 426
    assert begun == []


async def test_another_name_of_this_address_leads_nowhere(tmp_path: Path) -> None:
    async with visiting(tmp_path) as client:
        await enter(client)
        for path in (*PAGES, "/static/desk.js", "/alive"):
            answer = await client.get(path, headers={"Host": "evil.example:8720"})
            assert (answer.status, "Quayside" in await answer.text()) == (421, False)


async def test_a_lane_asks_for_its_pin_and_takes_no_other(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client)
        assert "PIN of lane 1" in await (await client.get("/desk/lane-1-1")).text()
        assert await refused(client, "/ws/lane-1-1") == 403
        for pin in ("8250", "", "04170", "<b>"):
            answer = await client.post("/desk/lane-1-1", data={"pin": pin})
            assert (answer.status, "Wrong PIN" in await answer.text()) == (403, True)
        assert await refused(client, "/ws/lane-1-1") == 403
    assert begun == []


async def test_guessing_pins_ends_after_a_few(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client)
        tried = [
            (await client.post("/desk/lane-1-1", data={"pin": "9999"})).status
            for _ in range(MOST_TRIES)
        ]
        assert tried == [403] * (MOST_TRIES - 1) + [429]
        right = await client.post("/desk/lane-1-1", data={"pin": "0417"})
        assert (right.status, "Too many wrong PINs" in await right.text()) == (
            429,
            True,
        )
        assert await refused(client, "/ws/lane-1-1") == 403
    assert begun == []


async def test_a_judge_s_pin_opens_the_lane_in_every_heat(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        async with await opened(client, "lane-2-1"):
            assert begun[0].arguments[:3] == ("floor", "--heat=2", "--lane=1")


async def test_there_is_no_folder_to_look_into_and_no_file_but_the_known(
    tmp_path: Path,
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client)
        for name in (
            "",
            "x.js",
            "..%2f..%2fserver.py",
            "%2e%2e/server.py",
            "js",
            "js/",
        ):
            assert (await client.get(f"/static/{name}")).status == 404
        for name in _STATIC:
            assert (await client.get(f"/static/{name}")).status == 200
        assert (await client.get("/download/x")).status == 404
        assert (await client.get("/desk/nothing")).status == 404
        assert await refused(client, "/ws/nothing") == 404


class Addresses(HTMLParser):
    """Every address that a page names, and every script in its own text."""

    def __init__(self) -> None:
        super().__init__()
        self.named: list[str] = []
        self.inline = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.named += [str(given[n]) for n in ("src", "href", "action") if n in given]
        self.inline += tag == "script" and "src" not in given
        self.inline += any(name.startswith("on") for name in given)


async def test_pages_name_nothing_that_is_not_ours(tmp_path: Path) -> None:
    async with visiting(tmp_path) as client:
        pages = [await (await client.get("/")).text()]
        await enter(client, "lane-1-1")
        pages += [await (await client.get(path)).text() for path in PAGES]
        for page in pages:
            found = Addresses()
            found.feed(page)
            ours = ("/static/", "/desk/", "data:,")
            assert all(n.startswith(ours) or n == "/" for n in found.named), found.named
            assert found.inline == 0
            assert 'name="viewport"' in page
        for name in ("desk.js", "enter.js", "page.css"):
            text = await (await client.get(f"/static/{name}")).text()
            assert re.findall(r"https?:(?!\")", text) == []


async def test_every_answer_tells_the_browser_what_it_may_do(tmp_path: Path) -> None:
    async with visiting(tmp_path) as client:
        for path in ("/", "/static/desk.js", "/nothing", "/alive"):
            answer = await client.get(path)
            policy = answer.headers["Content-Security-Policy"]
            assert "default-src 'none'" in policy
            assert "script-src 'self';" in policy
            assert "frame-ancestors 'none'" in policy
            assert answer.headers["X-Content-Type-Options"] == "nosniff"
            assert answer.headers["Cache-Control"] == "no-store"


async def test_names_of_an_event_are_text_on_its_pages(tmp_path: Path) -> None:
    async with visiting(tmp_path, name="<b>[/]'&") as client:
        await enter(client)
        listed = await (await client.get("/")).text()
        assert "&lt;b&gt;[/]&#39;&amp;" in listed
        assert "<b>[/]" not in listed


async def test_no_more_screens_than_agreed_and_the_page_says_so(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path, most=2) as client:
        await enter(client, "lane-1-1", "lane-1-2")
        async with await opened(client, "standings"), await opened(client, "lane-1-1"):
            assert await refused(client, "/ws/lane-1-2") == 503
            answer = await client.get("/desk/lane-1-2")
            assert answer.status == 503
            assert "No room for another screen" in await answer.text()
            assert len(begun) == 2
            # The lane that is open may come back: it takes its own place.
            async with await opened(client, "lane-1-1"):
                assert len(begun) == 3
        await until(lambda: all(screen.is_over for screen in begun))
        async with await opened(client, "lane-1-2"):
            assert len(begun) == 4


async def test_a_lane_opened_again_ends_the_screen_before_it(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        first = await opened(client, "lane-1-1")
        second = await opened(client, "lane-1-1")
        assert (await ended(first))[1] == ELSEWHERE
        assert [screen.is_over for screen in begun] == [True, False]
        await second.close()
        await until(lambda: begun[1].is_over)


async def test_a_page_comes_back_by_itself_only_to_what_is_still_its_own(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        async with await opened(client, "lane-1-1/back"):
            pass
        async with await opened(client, "lane-1-1/back"):
            assert len(begun) == 2
        before = client.session.cookie_jar.filter_cookies(client.make_url("/"))
        client.session.cookie_jar.clear()
        await enter(client, "lane-1-1")
        async with await opened(client, "lane-1-1"):
            client.session.cookie_jar.clear()
            client.session.cookie_jar.update_cookies(before, client.make_url("/"))
            stale = await client.ws_connect("/ws/lane-1-1/back")
            assert await ended(stale) == (None, ELSEWHERE)
            assert [screen.is_over for screen in begun] == [True, True, False]
            # A judge who opens it on purpose has it.
            async with await opened(client, "lane-1-1"):
                assert [screen.is_over for screen in begun] == [True, True, True, False]


async def test_the_television_may_be_there_twice(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client)
        async with await opened(client, "standings"), await opened(client, "standings"):
            assert [screen.is_over for screen in begun] == [False, False]


async def test_a_page_that_goes_takes_its_screen_with_it(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        await opened(client, "lane-1-1")
        await client.session.close()
        await until(lambda: begun[0].is_over)


async def test_how_a_screen_ended_reaches_its_page(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    held = (
        "Lane 1 is open at another desk.\nClose that desk, or carry on from it here:\n"
        "  judgekit floor --take-over"
    )
    cases = (
        (0, "", "", False, CLOSED),
        (1, "The screen failed (X).", "The screen failed (X).", False, FAILED),
        (2, held, "Lane 1 is open at another desk.", True, FAILED),
    )
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        for code, said, shown, is_held, closes in cases:
            socket = await opened(client, "lane-1-1")
            begun[-1].ends(code, said)
            told = ["ended", {"says": shown, "held": is_held}]
            assert await ended(socket) == (told, closes)
        async with await opened(client, "lane-1-1/over"):
            assert "--take-over" in begun[-1].arguments


async def test_a_screen_is_told_of_keys_taps_and_sizes_and_of_nothing_else(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    nonsense: tuple[object, ...] = (
        ["stdin", 5],
        ["stdin", "x" * 5000],
        ["tap", {"x": "1", "y": 2, "at": 3}],
        ["tap", {"x": 1}],
        ["tap", {"x": -1, "y": 2, "at": 3}],
        ["tap", {"x": 1, "y": 10**6, "at": 3}],
        ["tap", {"x": 1, "y": 2, "at": -3}],
        ["tap", {"x": 1, "y": 2, "at": 10**400}],
        ["tap", {"x": 1, "y": 2, "at": None}],
        ["resize", {"width": None, "height": 3}],
        ["resize", []],
        ["quit"],
        {"type": "quit"},
        [],
        7,
    )
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        async with await opened(client, "lane-1-1") as socket:
            for message in nonsense:
                await socket.send_json(message)
            for text in ("not json", "[" * 50000, ""):
                await socket.send_str(text)
            await socket.send_bytes(b"\0")
            await socket.send_json(["stdin", " "])
            await socket.send_json(["tap", {"x": 1, "y": 2, "at": 3}])
            await socket.send_json(["tap", {"x": 4, "y": 5}])
            await socket.send_json(["resize", {"width": 9999, "height": 0}])
            await socket.send_json(["clock", 17])
            kind, (sent, here) = await socket.receive_json()
            assert (kind, sent, type(here)) == ("clock", 17, int)
            [screen] = begun
            assert (screen.size, screen.typed) == ((43, 40), [" "])
            columns, rows = clamped((9999, 0))
            now = screen.told.pop(1)
            assert (now["x"], now["y"], now["at"] <= here) == (4, 5, True)
            assert screen.told == [
                {"type": "tap", "x": 1, "y": 2, "at": 3},
                {"type": "resize", "width": columns, "height": rows},
            ]


async def test_the_server_ends_every_screen_before_it_ends(
    tmp_path: Path, begun: list[FakeScreen]
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1", "lane-1-2")
        await opened(client, "lane-1-1")
        await opened(client, "lane-1-2")
        await client.server.close()
        assert [screen.is_over for screen in begun] == [True, True]
