"""Attempts, holds and teams under the judge's keys, from go to the last try."""

from __future__ import annotations

from dataclasses import replace

from judgekit.core.entry import NoRep, Rep
from judgekit.core.plan import Member, PlanTeam
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from tests.format_plans import attempts, hold, rounds, workout
from tests.support import movement
from tests.ui.fake_desk import Floor, text

SIZE = (80, 24)
LIFTS = workout(attempts(2, 0), score="load")


def after_go(floor: Floor) -> list[object]:
    """What the log holds beyond the claim, the go and what opens with it."""
    kept = (Bar, Rep, NoRep, HoldOn, HoldOff, Works)
    return [body for body in floor.bodies() if isinstance(body, kept)]


async def test_an_attempt_is_a_load_a_look_and_one_key() -> None:
    floor = Floor(LIFTS)
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        assert "enter the load" in text(floor.app)
        await floor.tap(pilot, "enter", "6", "2", "full_stop", "5")
        assert "62.5 kg" in text(floor.app)
        await floor.tap(pilot, "enter")
        assert "y bar checked" in text(floor.app)
        await floor.tap(pilot, "y", "space")
        assert "attempt 2 of 2" in text(floor.app)
        await floor.tap(pilot, "enter", "7", "0", "enter", "d")
    assert after_go(floor) == [
        Bar(load="62.5 kg"),
        Bar(load="62.5 kg", confirmed=True),
        Rep(),
        Bar(load="70 kg"),
        NoRep(faults=("depth",)),
    ]
    assert floor.lane.work.done_ms is not None


async def test_a_load_forgotten_is_asked_for_after_the_last_attempt() -> None:
    floor = Floor(LIFTS)
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "enter")
        assert "Attempt 1's load, in kg" in text(floor.app)
        await floor.tap(pilot, "6", "0", "enter", "space", "enter")
        assert "Attempt 2's load, in kg" in text(floor.app)
        await floor.tap(pilot, "6", "5", "enter")
    said = [(bar.round, bar.load) for bar in floor.lane.work.bars]
    assert said == [(1, "60 kg"), (2, "65 kg")]


async def test_take_back_opens_an_attempt_again() -> None:
    floor = Floor(LIFTS)
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "d")
        assert "attempt 2 of 2" in text(floor.app)
        await floor.tap(pilot, "backspace")
        assert "attempt 1 of 2" in text(floor.app)
    assert floor.lane.work.attempts == ()


async def test_y_says_nothing_where_no_bar_waits() -> None:
    floor = Floor(LIFTS)
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "y")
        assert "Nothing is asked." in text(floor.app)
    assert after_go(floor) == []


async def test_a_hold_runs_between_two_presses_of_space() -> None:
    floor = Floor(workout(hold()))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        assert "space the hold begins" in text(floor.app)
        await floor.tap(pilot, "space")
        assert "space ends the hold" in text(floor.app)
        await floor.tap(pilot, "space", after=12_400)
    assert after_go(floor) == [HoldOn(), HoldOff()]
    assert floor.good == 12


async def test_the_desk_ends_a_hold_that_was_long_enough() -> None:
    plan = workout(rounds(movement("plank", 20, unit="seconds"), movement("row", 2)))
    floor = Floor(plan)
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space")
        floor.clock.pass_(20_000)
        floor.desk.idle()
        await pilot.pause()
        assert after_go(floor) == [HoldOn(), HoldOff()]
        assert "ROW" in text(floor.app)
    assert floor.good == 20


async def test_who_of_a_team_works_stands_behind_w() -> None:
    members = (
        Member(bib="31", name="Ana Roth", show="number"),
        Member(bib="32", name="Bo Lind", show="initials"),
    )
    team = PlanTeam(members=members, how="shared", least=2)
    floor = Floor(replace(workout(rounds(movement("front-squat", 4))), team=team))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "w")
        shown = text(floor.app)
        assert "who of the team works" in shown
        line = next(row for row in shown.splitlines() if "who of the team" in row)
        digit = line.split("who of")[0].split()[-1]
        await floor.tap(pilot, digit)
        assert "32 B. L." in " ".join(text(floor.app).split())
        await floor.tap(pilot, "2", "space")
        # Names are shown as their owners want.
        assert "Bo Lind" not in text(floor.app)
        await floor.tap(pilot, "l")
        assert "B. L. works" in text(floor.app)
        assert "Ana Roth" not in text(floor.app)
    assert after_go(floor) == [Rep(), Works(bib="32"), Rep()]
    assert [bib for _at, bib in floor.lane.work.turns] == ["32"]
