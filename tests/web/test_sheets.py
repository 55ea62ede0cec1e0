"""Links to athletes' own sheets: who gets them, what they show, how long they last."""

from __future__ import annotations

import re
import stat
from typing import TYPE_CHECKING

import pytest

from judgekit.files.folder import load_event
from judgekit.ui.athletecodes import Code, codes_of, packed
from judgekit.web.lists import Lists
from judgekit.web.sheets import SheetPages, squares
from tests.handed import told
from tests.small_event import write_event
from tests.support import simple
from tests.web.fakes import HOST, ORIGIN, PINS, enter, fake_screens, until, visiting

if TYPE_CHECKING:
    from pathlib import Path

    from tests.web.fakes import Client

LINK = re.compile(rf"http://{re.escape(HOST)}(/sheet/[\w-]{{24}})(?![\w-])")
NAMES = {"27": "Ines Varga", "007": "Zoé Marr", "31": "Bo Lindt"}


async def link_of(client: Client, desk: str) -> str:
    """The one link on the page of a desk's code."""
    answer = await client.get(f"/desk/{desk}/sheet")
    page = await answer.text()
    assert answer.status == 200
    assert "<svg" in page
    (link,) = set(LINK.findall(page))
    return str(link)


async def test_a_link_shows_its_own_athlete_to_whoever_has_it(tmp_path: Path) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1", "lane-1-2")
        mine = await link_of(client, "lane-1-1")
        other = await link_of(client, "lane-1-2")
        # A phone that came with nothing else.
        client.session.cookie_jar.clear()
        for link, bib in ((mine, "27"), (other, "007")):
            answer = await client.get(link)
            page = await answer.text()
            assert answer.status == 200
            for number, name in NAMES.items():
                assert (name in page) == (number == bib)
        assert (await client.get("/")).status == 401


async def test_what_lies_in_the_current_folder_is_never_imported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    event = write_event(tmp_path / "event")
    (tmp_path / "click.py").write_text("open('touched', 'w')\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    pages = SheetPages(Lists(load_event(event)))
    mine = links(event)["27"].rpartition("/")[2]
    assert b"Ines Varga" in (await pages.page(mine) or b"")
    assert not (tmp_path / "touched").exists()


async def test_codes_are_for_whoever_judges_the_lane(tmp_path: Path) -> None:
    async with visiting(tmp_path) as client:
        assert (await client.get("/desk/lane-1-1/sheet")).status == 401
        await enter(client, "lane-1-1")
        asked = await client.get("/desk/lane-1-2/sheet", allow_redirects=False)
        assert "PIN of lane 2" in await asked.text()
        assert "/sheet/" not in await asked.text()
        assert (await client.get("/desk/none/sheet")).status == 404
        page = await (await client.get("/desk/standings/sheet")).text()
        assert "Nobody stands in this lane." in page


async def test_the_pin_that_a_sheet_asked_for_leads_to_the_sheet(
    tmp_path: Path,
) -> None:
    async with visiting(tmp_path) as client:
        await enter(client)
        sheet = "/desk/lane-1-1/sheet"
        wrong = await client.post(sheet, data={"pin": "none"}, allow_redirects=False)
        assert wrong.status == 403
        pin = {"pin": PINS["lane 1"]}
        right = await client.post(sheet, data=pin, allow_redirects=False)
        assert (right.status, right.headers["Location"]) == (303, sheet)
        desk = await client.post("/desk/lane-1-1", data=pin, allow_redirects=False)
        assert desk.headers["Location"] == "/desk/lane-1-1"


@pytest.mark.parametrize("link", ["", "x" * 24, "27", "../log", "%00"])
async def test_what_is_no_link_shows_nothing(tmp_path: Path, link: str) -> None:
    async with visiting(tmp_path) as client:
        answer = await client.get(f"/sheet/{link}")
        assert answer.status in (401, 404)
        told = await answer.text()
        assert not any(name in told for name in NAMES.values())


async def test_a_sheet_fetches_nothing_and_is_kept_by_nobody(tmp_path: Path) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        answer = await client.get(await link_of(client, "lane-1-1"))
        assert answer.headers["Cache-Control"] == "no-store"
        assert "script-src 'self'" in answer.headers["Content-Security-Policy"]
        page = await answer.text()
        assert "noindex" in page
        assert "<script" not in page


async def test_a_code_names_what_a_phone_reaches_whatever_this_computer_opened(
    tmp_path: Path,
) -> None:
    here = "127.0.0.1:8720"
    async with visiting(tmp_path, host=here, others=ORIGIN) as client:
        await enter(client, "lane-1-1")
        assert (await link_of(client, "lane-1-1")).startswith("/sheet/")


@pytest.mark.parametrize("host", ["127.0.0.1:8720", "localhost:8720"])
async def test_there_is_no_code_where_no_phone_reaches_it_and_the_page_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, host: str
) -> None:
    begun = fake_screens(monkeypatch)
    async with visiting(tmp_path, host=host) as client:
        await enter(client, "lane-1-1")
        page = await (await client.get("/desk/lane-1-1/sheet")).text()
        assert "No phone reaches these sheets" in page
        assert "--network" in page
        assert "<svg" not in page
        assert f'href="http://{host}/sheet/' in page
        async with client.ws_connect("/ws/lane-1-1") as socket:
            await socket.receive_bytes()
            await until(lambda: bool(begun[0].codes))
    # The screen knows that there is none, and can say why.
    assert begun[0].codes == [packed({})]


async def test_other_names_of_the_server_lead_nowhere(tmp_path: Path) -> None:
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        link = await link_of(client, "lane-1-1")
        answer = await client.get(link, headers={"Host": "evil.test"})
        assert answer.status == 421


def links(event: Path) -> dict[str, str]:
    lists = Lists(load_event(event))
    pages = SheetPages(lists)
    return {
        one.bib: link
        for desk in lists.desks
        for one, link in pages.links(desk.heat, desk.lanes, ORIGIN)
    }


def test_links_are_the_same_after_a_restart_and_others_elsewhere(
    tmp_path: Path,
) -> None:
    event, elsewhere = write_event(tmp_path / "a"), write_event(tmp_path / "b")
    first = links(event)
    assert set(first) == set(NAMES)
    assert len(set(first.values())) == 3
    assert links(event) == first
    assert set(links(elsewhere).values()).isdisjoint(first.values())
    mode = (event / "log" / "sheets.key").stat().st_mode
    assert stat.S_IMODE(mode) == 0o600


def test_a_secret_that_was_cut_is_no_secret(tmp_path: Path) -> None:
    event = write_event(tmp_path / "a")
    links(event)
    (event / "log" / "sheets.key").write_bytes(b"")
    assert links(event) != links(event)


async def test_a_lane_s_screen_is_handed_its_own_athlete_s_code_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = fake_screens(monkeypatch)
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1", "lane-1-2")
        for desk in ("lane-1-1", "board"):
            async with client.ws_connect(f"/ws/{desk}") as socket:
                await socket.receive_bytes()
                if desk == "lane-1-1":
                    await until(lambda: bool(begun[0].codes))
        link = f"{ORIGIN}{await link_of(client, 'lane-1-1')}"
    lane, board = begun
    # What is listed of a process is seen by everybody on the machine.
    assert not any(link in argument for argument in lane.arguments)
    told(monkeypatch, lane.codes[0])
    (shown,) = codes_of(simple(bib="27"))
    assert shown.code == Code(link=link, rows=squares(link))
    assert codes_of(simple(bib="007")) == ()
    assert board.codes == []


def test_the_squares_of_a_code_are_those_of_its_picture() -> None:
    rows = squares(f"{ORIGIN}/sheet/{'x' * 24}")
    finder = ("1111111", "1000001", "1011101", "1011101", "1011101", "1000001")
    assert tuple(row[:7] for row in rows[:6]) == finder
    assert {len(row) for row in rows} == {len(rows)} == {29}
