"""Whoever is added to an event's lists while it is served: desk, PIN and sheet."""

from __future__ import annotations

import json
import re
import threading
from contextlib import AsyncExitStack
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
import segno

from judgekit.core.classmates import Classmate
from judgekit.files.folder import load_event
from judgekit.files.walkins import add_walk_in, who_may_it_be
from judgekit.ui.athletecodes import codes_of
from judgekit.ui.webdriver import PageDriver
from judgekit.web import server
from judgekit.web.lists import Lists
from tests.handed import told
from tests.small_event import write_event
from tests.support import simple
from tests.ui.test_arrivals import a_class
from tests.web.fakes import PINS, enter, fake_screens, until, visiting

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.eventfolder import EventFolder


def joined(folder: EventFolder, name: str) -> None:
    """Somebody walks into the first heat, as at any desk of it."""
    [who] = who_may_it_be(folder, Classmate(name=name))
    add_walk_in(folder, "1", who)


def append(path: Path, row: str) -> None:
    path.write_text(path.read_text(encoding="utf-8") + row, encoding="utf-8")


async def test_a_walk_in_has_a_desk_and_all_lanes_keep_their_id_and_pin(
    tmp_path: Path,
) -> None:
    folder = load_event(a_class(tmp_path, "Ana, Bo"))
    lists = Lists(folder)
    before = {desk.id: desk for desk in lists.desks}
    joined(folder, "Dee")
    await lists.look()
    now = {desk.id: desk for desk in lists.desks}
    assert set(now) - set(before) == {"lane-1-3"}
    assert now["lane-1-3"].pin == "lane 3"
    assert {now[name] for name in before if name != "lanes-1-1"} <= {*before.values()}
    # Whoever comes back to the desk of all lanes carries on with all of them.
    grown = now["lanes-1-1"]
    assert (grown.name, grown.pin) == ("Lanes 1-3", "lanes 1-2")
    assert grown.arguments[:3] == ("floor", "--heat=1", "--lane=1-3")


async def test_a_desk_of_a_heat_s_one_lane_keeps_all_that_it_took_in(
    tmp_path: Path,
) -> None:
    folder = load_event(a_class(tmp_path, "Ana"))
    lists = Lists(folder)
    [alone] = [desk for desk in lists.desks if desk.lanes]
    lists.opens(alone)
    assert lists.as_left(alone, ()) == alone
    joined(folder, "Dee")
    await lists.look()
    desks = {desk.id: desk for desk in lists.desks}
    left = lists.as_left(desks[alone.id], ())
    assert (left.id, left.lanes) == (alone.id, (1, 2))
    assert left.arguments == desks["lanes-1-1"].arguments
    # Dee's own desk, and what judges nothing, are what they are, also when opened.
    for name in ("lane-1-2", "lanes-1-1", "head"):
        lists.opens(desks[name])
        assert lists.as_left(desks[name], ()) == desks[name]
    # Where Dee is judged at her own desk, that one has her; its first lane it keeps.
    assert lists.as_left(desks[alone.id], (1, 2)) == alone


async def test_a_desk_that_did_not_have_all_lanes_when_opened_takes_no_more(
    tmp_path: Path,
) -> None:
    folder = load_event(a_class(tmp_path, "Ana"))
    lists = Lists(folder)
    joined(folder, "Dee")
    await lists.look()
    desk = next(desk for desk in lists.desks if desk.id == "lane-1-1")
    lists.opens(desk)
    joined(folder, "Eve")
    await lists.look()
    assert lists.as_left(desk, ()) == desk


async def test_a_heat_that_came_later_keeps_its_desk_s_lanes_and_other_judges_theirs(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    lists, heats = Lists(load_event(event)), event / "heats.csv"
    append(event / "people.csv", "8,Kit Orr,women,2.05 m\n9,Ada Roe,women,2.05 m\n")
    append(heats, "3,11:00,quayside,1,8,kb\n")
    await lists.look()
    desk = next(desk for desk in lists.desks if desk.id == "lane-3-1")
    lists.opens(desk)
    append(heats, "3,11:00,quayside,2,9,kb\n3,11:00,quayside,3,27,mo\n")
    await lists.look()
    assert lists.as_left(desk, ()).arguments[:3] == ("floor", "--heat=3", "--lane=1-2")


@pytest.mark.parametrize("how", ["/back", "", "/over"])
async def test_a_desk_is_opened_again_with_who_walked_in_and_the_code(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    begun = fake_screens(monkeypatch)
    folder = load_event(a_class(tmp_path, "Ana", folder="event"))
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        async with client.ws_connect("/ws/lane-1-1") as socket:
            await socket.receive_bytes()
            joined(folder, "Dee")
        await until(lambda: begun[0].is_over)
        async with client.ws_connect(f"/ws/lane-1-1{how}") as socket:
            await socket.receive_bytes()
            await until(lambda: bool(begun[1].codes))
        assert "--lane=1" in begun[0].arguments
        assert "--lane=1-2" in begun[1].arguments
        assert set(json.loads(begun[1].codes[0])) == {"1", "2"}
        page = await (await client.get("/desk/lane-1-1/sheet")).text()
        assert "Dee" in page
        assert "Dee" not in await (await client.get("/desk/lane-1-1")).text()


async def test_a_lane_that_another_page_judges_is_not_taken_from_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = fake_screens(monkeypatch)
    folder = load_event(a_class(tmp_path, "Ana", folder="event"))
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        async with client.ws_connect("/ws/lane-1-1") as socket:
            await socket.receive_bytes()
        joined(folder, "Dee")
        await client.post("/desk/lane-1-2", data={"pin": PINS["lane 2"]})
        async with client.ws_connect("/ws/lane-1-2") as dees:
            await dees.receive_bytes()
            async with client.ws_connect("/ws/lane-1-1/back") as socket:
                await socket.receive_bytes()
                assert "--lane=1" in begun[2].arguments


async def test_a_lane_in_a_heat_before_moves_no_other_heat_s_id(tmp_path: Path) -> None:
    async with visiting(tmp_path):
        folder = load_event(tmp_path / "event")
        lists = Lists(folder)
        before = {desk.id: desk for desk in lists.desks}
        append(folder.folder / "people.csv", "8,Kit Orr,women,2.05 m\n")
        heats = folder.folder / "heats.csv"
        rows = heats.read_text(encoding="utf-8").splitlines(keepends=True)
        rows.insert(3, "1,10:00,quayside,3,8,\n")
        heats.write_text("".join(rows), encoding="utf-8")
        await lists.look()
        assert {d.id: d for d in lists.desks if d.id != "lane-1-3"} == before
        again = Lists(load_event(folder.folder))
        assert [d.id for d in again.desks] == [d.id for d in lists.desks]


async def test_lists_that_cannot_be_read_change_nothing_until_they_can(
    tmp_path: Path,
) -> None:
    folder = load_event(a_class(tmp_path, "Ana, Bo"))
    lists, people = Lists(folder), folder.folder / "people.csv"
    text = people.read_text(encoding="utf-8")
    before = lists.desks
    joined(folder, "Dee")
    people.write_text(text, encoding="utf-8")
    await lists.look()
    assert lists.desks == before
    append(people, "3,Dee,class,\n")
    await lists.look()
    assert len(lists.desks) == len(before) + 1


async def test_a_desk_with_other_lanes_than_before_has_another_pin(
    tmp_path: Path,
) -> None:
    folder = load_event(a_class(tmp_path, "Ana, Bo, Cy"))
    lists, heats = Lists(folder), folder.folder / "heats.csv"
    rows = heats.read_text(encoding="utf-8").splitlines(keepends=True)
    heats.write_text("".join(rows[:-1]), encoding="utf-8")
    await lists.look()
    found = {desk.id: desk for desk in lists.desks}["lanes-1-1"]
    assert (found.name, found.pin) == ("Lanes 1-2", "lanes 1-2")


async def test_a_desk_that_another_judge_gets_with_more_lanes_has_another_pin(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    heats, whose = event / "heats.csv", {"k": "kb", "m": "mo"}

    async def pin(judges: str) -> str:
        given = enumerate(zip(("27", "007", "31", "8"), judges, strict=False), 1)
        rows = (f"1,10:00,quayside,{n},{bib},{whose[who]}" for n, (bib, who) in given)
        text = "\n".join(("heat,start,workout,lane,bib,judge", *rows, ""))
        heats.write_text(text, encoding="utf-8")
        await lists.look()
        return next(desk.pin for desk in lists.desks if desk.id == "lanes-1-1")

    append(event / "people.csv", "8,Kit Orr,women,2.05 m\n")
    lists = Lists(load_event(event))
    found = [await pin(judges) for judges in ("kkm", "kkkm", "mmm", "mmmm", "kkkk")]
    assert found == ["lanes 1-2", "lanes 1-2", "lanes 1-3", "lanes 1-3", "lanes 1-4"]


async def test_a_wrong_pin_names_what_the_coach_s_list_has_beside_the_right_one(
    tmp_path: Path,
) -> None:
    folder = load_event(a_class(tmp_path, "Ana, Bo", folder="event"))
    async with visiting(tmp_path) as client:
        await enter(client)
        joined(folder, "Dee")
        answer = await client.post("/desk/lanes-1-1", data={"pin": "none"})
        page = await answer.text()
        assert "Lanes 1-3" in page
        assert "on the coach&#39;s list, beside &#34;lanes 1-2&#34;" in page


async def test_a_new_lane_s_pin_is_told_opens_it_and_shows_its_sheet(
    tmp_path: Path,
) -> None:
    new: dict[str, str] = {}
    async with visiting(tmp_path, told=new) as client:
        await enter(client, "lane-1-1")
        assert "Lane 3" not in await (await client.get("/")).text()
        assert (await client.get("/desk/lane-1-3")).status == 404
        append(tmp_path / "event" / "people.csv", "8,Kit Orr,women,2.05 m\n")
        append(tmp_path / "event" / "heats.csv", "1,10:00,quayside,3,8,\n")
        assert "Lane 3" in await (await client.get("/")).text()
        [(name, pin)] = new.items()
        assert name == "lane 3"
        answer = await client.post("/desk/lane-1-3", data={"pin": pin})
        assert (answer.status, answer.url.path) == (200, "/desk/lane-1-3")
        page = await (await client.get("/desk/lane-1-3/sheet")).text()
        [link] = set(re.findall(r"/sheet/[\w-]{24}", page))
        assert "Kit Orr" in page
        sheet = await (await client.get(link)).text()
        assert "Kit Orr" in sheet
        assert "Ines Varga" not in sheet


async def test_a_screen_that_is_open_is_told_the_sheet_of_who_comes_into_its_heat(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server, "_LOOK_S", 0.01)
    begun = fake_screens(monkeypatch)
    async with visiting(tmp_path) as client:
        await enter(client, "lane-1-1")
        async with client.ws_connect("/ws/lane-1-1") as socket:
            await socket.receive_bytes()
            append(tmp_path / "event" / "people.csv", "8,Kit Orr,women,2.05 m\n")
            append(tmp_path / "event" / "heats.csv", "1,10:00,quayside,3,8,\n")
            await until(lambda: len(begun[0].codes) > 1)
    first, second = begun[0].codes
    late = simple(bib="8")
    told(monkeypatch, first)
    assert codes_of(late) == ()
    object.__new__(PageDriver).on_meta("codes", {"type": "codes", "codes": second})
    # Of those who stood at other lanes when it was opened it still knows none.
    found = [len(codes_of(replace(late, bib=bib))) for bib in ("8", "27", "007")]
    assert found == [1, 1, 0]


async def test_only_whoever_s_codes_changed_is_told_and_none_is_drawn_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server, "_LOOK_S", 0.01)
    begun = fake_screens(monkeypatch)
    drawn: list[str] = []
    make, serving = segno.make, threading.get_ident()

    def counted(link: str, *, error: str, micro: bool) -> segno.QRCode:
        # Whoever presses a key meanwhile must not wait for it.
        assert threading.get_ident() != serving
        drawn.append(link)
        return make(link, error=error, micro=micro)

    monkeypatch.setattr(segno, "make", counted)
    async with visiting(tmp_path) as client, AsyncExitStack() as pages:
        await enter(client, "lane-1-1", "lane-1-2")
        for desk in ("lane-1-1", "lane-1-2", "lane-2-1"):
            page = client.ws_connect(f"/ws/{desk}")
            await (await pages.enter_async_context(page)).receive_bytes()
        await until(lambda: all(screen.codes for screen in begun))
        append(tmp_path / "event" / "people.csv", "8,Kit Orr,women,2.05 m\n")
        append(tmp_path / "event" / "heats.csv", "1,10:00,quayside,3,8,\n")
        await until(lambda: all(len(screen.codes) > 1 for screen in begun[:2]))
    assert [len(screen.codes) for screen in begun] == [2, 2, 1]
    assert sorted(drawn) == sorted(set(drawn))
    assert len(drawn) == 4
