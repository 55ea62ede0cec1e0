"""Home lists heats and lanes as they are, and gives back the one to open."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import Rep
from judgekit.core.people import Athlete, HeatLane
from judgekit.ui.home_app import HomeApp
from judgekit.ui.views.home import HeatRow, ToAll, ToBrief, heat_rows
from tests.support import Played, for_time
from tests.ui.fake_desk import faint, rows, text


def listed(heat: str, lane: int, bib: str, start_ms: int = 36_000_000) -> HeatLane:
    return HeatLane(
        heat=heat,
        date="2027-05-08",
        start_ms=start_ms,
        workout="quayside",
        lane=lane,
        bib=bib,
        judge="kb",
    )


def heats() -> tuple[HeatRow, ...]:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6)
    athletes = [
        Athlete(bib="27", name="Ines Varga", division="women"),
        Athlete(bib="007", name="[b]Zoé[/] Marr", division="women"),
        Athlete(bib="31", name="Bo Lindt", division="men"),
    ]
    rows = [
        listed("2", 1, "31", 37_200_000),
        listed("1", 2, "007"),
        listed("1", 1, "31"),
    ]
    return heat_rows(rows, athletes, {"quayside": "Quayside"}, {("1", 1): played.lane})


def test_a_name_is_listed_as_its_owner_wants() -> None:
    athletes = [
        Athlete(bib="27", name="Ines Varga", division="w", show="initials"),
        Athlete(bib="31", name="Bo Lindt", division="m", show="number"),
    ]
    rows = [listed("1", 1, "27"), listed("1", 2, "31")]
    seen = heat_rows(rows, athletes, {"quayside": "Quayside"}, {})
    assert [(r.bib, r.name) for r in seen] == [("27", "I. V."), ("31", "")]


def test_beside_a_team_stand_its_members_as_they_want_to_be_shown() -> None:
    athletes = [
        Athlete(bib="27", name="Ines Varga", division="w", show="initials", team="9"),
        Athlete(bib="31", name="Bo Lindt", division="m", show="number", team="9"),
        Athlete(bib="9", name="Zoé Marr", division="w"),
    ]
    rows = [listed("1", 1, "9")]
    for teams, name in ((("quayside",), "I. V., 31"), ((), "Zoé Marr")):
        seen = heat_rows(rows, athletes, {}, {}, for_teams=teams)
        assert [(r.bib, r.name) for r in seen] == [("9", name)]


def test_rows_stand_in_the_order_of_the_day_with_the_athlete_of_the_log() -> None:
    seen = [(r.heat, r.start, r.lane, r.bib, r.name, r.state) for r in heats()]
    assert seen == [
        ("1", "10:00", 1, "27", "Ines Varga", "under way, 2 good at 0:06"),
        ("1", "10:00", 2, "007", "[b]Zoé[/] Marr", "not started"),
        ("2", "10:20", 1, "31", "Bo Lindt", "not started"),
    ]


async def test_arrows_choose_and_enter_opens() -> None:
    app = HomeApp("Quayside Saturday", heats())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = text(app)
        for words in (
            "Quayside Saturday",
            "Heat 1   10:00   Quayside",
            "007  [b]Zoé[/] Marr",
            "under way, 2 good at 0:06",
        ):
            assert words in shown
        await pilot.press("down", "enter")
    assert app.return_value == heats()[1]


@pytest.mark.parametrize(("down", "chosen"), [(0, 0), (2, 2)])
@pytest.mark.parametrize("key", ["b", "и"])
async def test_b_gives_back_the_heat_to_brief(key: str, down: int, chosen: int) -> None:
    app = HomeApp("Quayside Saturday", heats())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*["down"] * down, key)
    assert app.return_value == ToBrief(row=heats()[chosen])


@pytest.mark.parametrize("key", ["a", "ф"])
async def test_a_gives_back_the_heat_whose_lanes_are_all_wanted(key: str) -> None:
    app = HomeApp("Quayside Saturday", heats())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", key)
    assert app.return_value == ToAll(row=heats()[1])


async def test_without_heats_there_is_nobody_to_brief() -> None:
    app = HomeApp("Quayside Saturday", ())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("b")
        assert "b does nothing here." in text(app)


@pytest.mark.parametrize("key", ["q", "Q", "й", "alt+q"])
async def test_q_leaves_with_nothing_chosen(key: str) -> None:
    app = HomeApp("Quayside Saturday", heats())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(key)
    assert (app.return_value, app.return_code) == (None, 0)


async def test_a_key_that_does_nothing_says_so_and_what_does_something() -> None:
    app = HomeApp("Quayside Saturday", heats())
    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("space", "x", "tab", "ctrl+q", "ctrl+p", "f5", "left", "ö"):
            await pilot.press(key)
            assert f"{key} does nothing here." in text(app)
            assert "enter opens   q leaves" in text(app)
        await pilot.press("left_shift", "down", "enter")
    assert app.return_value == heats()[1]


async def test_an_event_without_heats_says_where_to_write_them() -> None:
    app = HomeApp("Quayside Saturday", ())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "No heats yet: write them in heats.csv." in text(app)


async def test_every_row_can_be_read_the_chosen_one_too() -> None:
    app = HomeApp("Quayside Saturday", heats())
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(3):
            await pilot.pause()
            assert faint(app) == []
            await pilot.press("down")


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12)])
async def test_a_long_state_is_whole_and_below_itself(size: tuple[int, int]) -> None:
    row = replace(
        heats()[1], state="closed, not signed by athlete, 91 of 134, 43 short"
    )
    app = HomeApp("Quayside Saturday", (heats()[0], row))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        shown = rows(app)
        assert row.state in " ".join(" ".join(shown).split())
        assert "007  [b]Zoé[/] Marr" in text(app)
        begins = next(line.index("closed") for line in shown if "closed" in line)
        below = shown[next(n for n, s in enumerate(shown) if "closed" in s) + 1]
        assert not below.strip() or below.startswith(" " * begins)
        for keys in ("arrows choose", "b briefs", "enter opens", "q leaves"):
            assert keys in text(app)
