"""Several lanes by fingers alone: which lane, what happened there, and STOP."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Freeze, NameFault, NoRep, Rep, Stop, Time
from judgekit.core.watchentry import Look, LookEnd, SetReported
from judgekit.ui.screens.padmany import PadMany
from tests.support import for_time, simple
from tests.ui.fake_desk import text, until
from tests.ui.fingers import cells, finger, pads
from tests.ui.many_desk import ClassFloor
from tests.ui.test_many_screen import work

if TYPE_CHECKING:
    from judgekit.core.entry import Body

PHONE, TABLET, LANDSCAPE = (40, 39), (82, 51), (145, 46)


def padded(many: int = 12, **given: object) -> ClassFloor:
    return ClassFloor(many=many, pads=True, **given)  # type: ignore[arg-type]


def of(floor: ClassFloor, kind: type[Body]) -> list[tuple[int | None, int | None]]:
    """The lane and the time of each entry of a kind."""
    entries = floor.book.entries()
    return [(e.lane, e.at) for e in entries if isinstance(e.body, kind)]


def lit(floor: ClassFloor) -> set[str]:
    """The lanes whose pads are lit."""
    return of_kind(floor, "ask")


def of_kind(floor: ClassFloor, kind: str) -> set[str]:
    """The lanes whose pads are drawn so."""
    found = {p for p, _, _ in cells(floor) if p.key.startswith("lane pad ")}
    return {pad.says[0] for pad in found if pad.kind == kind}


def now_lies(floor: ClassFloor) -> dict[str, tuple[int, int]]:
    """Where each pad lies, but for the one that has another meaning for a while."""
    found = pads(floor)
    return {says: at for says, at in found.items() if says not in ("MORE", "DROP IT")}


@pytest.mark.parametrize("size", [PHONE, TABLET, LANDSCAPE])
async def test_a_pad_chooses_its_lane_also_on_another_page(
    size: tuple[int, int],
) -> None:
    floor = padded(plan=simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=size) as pilot:
        assert isinstance(floor.app.screen, PadMany)
        wide = size == LANDSCAPE
        await until(pilot, lambda: floor.app.screen.has_class("-wide") == wide)
        await pilot.pause()
        for lane, name in ((12, "12 Jo"), (1, "1 Ines"), (10, "10 Hana")):
            await finger(floor, pilot, name, "GOOD REP", "GOOD REP")
            assert lit(floor) == {str(lane)}
    assert floor.good() == [2, *[0] * 8, 2, 0, 2]


async def test_an_act_before_its_lane_waits_with_its_own_time() -> None:
    floor = padded(6, plan=simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=TABLET) as pilot:
        lay = now_lies(floor)
        await finger(floor, pilot, "GOOD REP")
        assert "Which lane? Tap it" in text(floor.app)
        assert now_lies(floor) == lay
        assert lit(floor) == set("123456")
        assert sum(floor.good()) == 0
        await finger(floor, pilot, "4 Ana", after=3000)
        [(lane, at)] = of(floor, Rep)
        # The lane was named three seconds later.
        assert (lane, (at or 0) < 2500) == (4, True)
        # One that nobody wants is dropped, and says so.
        await finger(floor, pilot, "2 Bo", "1 Ines")
        floor.clock.pass_(9000)
        await finger(floor, pilot, "DEPTH", "DROP IT")
        assert "no lane was named" in text(floor.app)
    assert of(floor, NoRep) == []


async def test_nothing_on_it_tells_of_a_digit_to_press() -> None:
    floor = padded(6, plan=work())
    floor.go()
    async with floor.app.run_test(size=TABLET) as pilot:
        await pilot.pause()
        assert "Watched: d DEPTH" in text(floor.app)
        await finger(floor, pilot, "GOOD REP")
        assert "digit" not in text(floor.app)


async def test_stop_freezes_all_and_the_next_pad_says_whose_it_is() -> None:
    floor = padded(plan=simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=TABLET) as pilot:
        await finger(floor, pilot, "STOP")
        assert len(of(floor, Freeze)) == 1
        assert not of_kind(floor, "stop")
        assert len(lit(floor)) == 12
        await finger(floor, pilot, "11 Ivo", after=2000)
        [(lane, at)] = of(floor, Stop)
        assert (lane, at) == (11, of(floor, Freeze)[0][1])
        # The emergency box hides the lanes; a finger leads back to them.
        assert "Which sign?" in text(floor.app)
        [sign] = [name for name in pads(floor) if name.startswith("1 ")]
        assert {pad.kind for pad, _, _ in cells(floor) if sign in pad.says} == {"plain"}
        await finger(floor, pilot, sign)
        assert f"Sign: {sign[2:]}" in text(floor.app)
        await finger(floor, pilot, "CLOSE")
        assert {"11 Ivo", "WORK goes on"} <= set(pads(floor))
        assert of_kind(floor, "stop") == {"11"}


async def test_two_lanes_have_their_own_pads_and_a_reason_goes_to_the_last() -> None:
    floor = padded(2, plan=simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        # The pads say what the keys do; the counts have the room.
        assert "z good" not in text(floor.app)
        await finger(floor, pilot, "GOOD REP 1", "GOOD REP 2", "GOOD REP 2")
        await finger(floor, pilot, "NO REP 2", "DEPTH", after=900)
        assert floor.good() == [1, 2]
        assert [lane for lane, _ in of(floor, NoRep)] == [2]
        assert [lane for lane, _ in of(floor, NameFault)] == [2]


async def test_reported_sets_and_looks_have_their_own_pads() -> None:
    plan = replace(for_time(), watching="reported")
    floor = padded(6, plan=plan)
    floor.go()
    async with floor.app.run_test(size=TABLET) as pilot:
        await finger(floor, pilot, "3 Zoé", "SET DONE")
        await finger(floor, pilot, "5 Cy", "HOW MANY", "2")
        assert "SET DONE" not in pads(floor)
        await finger(floor, pilot, "ENTER")
        assert [lane for lane, _ in of(floor, SetReported)] == [3, 5]
        await finger(
            floor, pilot, "2 Bo", "LOOK", "SEEN GOOD", "SEEN GOOD", "LOOK ENDS"
        )
        await finger(floor, pilot, "ENTER")
        assert [lane for lane, _ in of(floor, Look)] == [2]
        assert [lane for lane, _ in of(floor, LookEnd)] == [2]
    assert floor.lane(2).work.good == 0


async def test_a_phone_has_the_chosen_lanes_count_large_and_no_keys() -> None:
    floor = padded(3, plan=work())
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "2 Bo", "GOOD REP")
        assert "██" in text(floor.app)
        assert "0 STOP" not in text(floor.app)
        assert "next  toes to bar" in text(floor.app)


async def test_with_pads_a_list_hides_no_lane_and_lanes_have_their_numbers() -> None:
    floor = padded(plan=work())
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "11 Ivo", "MORE", "who, more")
        shown = text(floor.app)
        assert "hidden" not in shown
        assert "\n MORE" in shown
        assert "1  that was close" not in shown
        assert "⇥" not in shown
        assert "▶11 Ivo Tamm" in shown


async def test_a_list_is_read_beside_low_pads() -> None:
    floor = padded(6, plan=work())
    floor.go()
    async with floor.app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await finger(floor, pilot, "2 Bo", "MORE", "who, more")
        assert "1  that was close" in text(floor.app)


async def test_what_is_about_all_lanes_has_a_pad_of_its_own() -> None:
    floor = padded(6, plan=simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "2 Bo", "MORE", "all lanes")
        await finger(floor, pilot, "class over", "YES y")
        assert [lane for lane, _ in of(floor, Time)] == [None]


async def test_go_is_for_all_lanes_and_a_scorecard_for_its_own() -> None:
    floor = padded(6, plan=simple(reps=1))
    async with floor.app.run_test(size=TABLET) as pilot:
        await finger(floor, pilot, "GO", "YES y")
        assert all(floor.lane(n).started for n in range(1, 7))
        floor.clock.pass_(20_000)
        await finger(floor, pilot, "4 Ana", "GOOD REP", "SCORE CARD")
        assert "Ana Ruiz" in text(floor.app)
        # The others are at work: STOP is there, and each signature is made sure of.
        await finger(floor, pilot, "athlete accepts", "YES y", "judge accepts", "YES y")
        assert "STOP, all lanes" in text(floor.app)
        await finger(floor, pilot, "to the Floor")
        assert isinstance(floor.app.screen, PadMany)
    assert [floor.lane(n).closed for n in (3, 4)] == [False, True]
