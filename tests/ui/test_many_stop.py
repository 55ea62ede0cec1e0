"""STOP on a Floor of several lanes, whatever else is open, asked or lost."""

from __future__ import annotations

import pytest

from judgekit.core.entry import Claim, Entry
from judgekit.core.looking import is_over
from judgekit.desk import Lost
from tests.support import simple
from tests.ui.fake_desk import text
from tests.ui.many_desk import ClassFloor

SIZE = (80, 24)


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is handled in the very instant in which it was pressed."""
    monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: 0.0)


def at_work(many: int = 3) -> ClassFloor:
    floor = ClassFloor(many=many, plan=simple(50))
    floor.go()
    floor.clock.pass_(3000)
    return floor


def stopped(floor: ClassFloor) -> list[int]:
    return [number for number in floor.desk.lanes if floor.lane(number).stopped]


def frozen(floor: ClassFloor) -> list[int]:
    return [number for number in floor.desk.lanes if floor.lane(number).holds]


def lose(floor: ClassFloor, *lanes: int) -> None:
    """Another desk claims these lanes."""
    told: list[object] = []
    floor.desk.listen(told.append)
    for lane in lanes:
        claim = Claim(judge="mo", why="tablet flat")
        floor.desk.hear([_theirs(claim, lane)])
    floor.desk.work_off()
    assert told == [Lost(lane=lane, to="mo") for lane in lanes]


def _theirs(claim: Claim, lane: int) -> Entry:
    late = 5_000_000_000_000
    return Entry(
        book="a",
        number=1,
        lane=lane,
        at=None,
        wall=late,
        who="mo",
        set=None,
        body=claim,
    )


@pytest.mark.parametrize(
    "opened", [("w", "w"), ("w", "w", "1"), ("m",), ("f", "f"), ("?",)]
)
async def test_the_digit_after_stop_names_its_lane_whatever_list_was_open(
    opened: tuple[str, ...],
) -> None:
    floor = at_work()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, *opened, "0")
        assert "Whose? Press a digit" in text(floor.app)
        assert "ALL LANES" not in text(floor.app)
        await floor.tap(pilot, "2")
        assert stopped(floor) == [2]
        assert not any(is_over(floor.lane(number)) for number in (1, 3))


async def test_a_list_opened_while_stop_waits_takes_no_digit() -> None:
    floor = at_work()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "0", "f")
        assert "FROZEN" in text(floor.app)
        await floor.tap(pilot, "2")
        assert stopped(floor) == [2]
        assert frozen(floor) == [1, 2, 3]


async def test_with_a_lane_lost_stop_freezes_the_lanes_judged_here() -> None:
    floor = at_work()
    async with floor.app.run_test(size=SIZE) as pilot:
        lose(floor, 1)
        await pilot.pause()
        await floor.tap(pilot, "0")
        assert {2, 3} <= set(frozen(floor))
        await floor.tap(pilot, "3")
        assert stopped(floor) == [3]


@pytest.mark.parametrize("chosen", [(), ("1",)])
async def test_with_a_lane_lost_class_over_calls_time(chosen: tuple[str, ...]) -> None:
    floor = at_work()
    async with floor.app.run_test(size=SIZE) as pilot:
        lose(floor, 1)
        await pilot.pause()
        await floor.tap(pilot, *chosen, "w", "w", "1", "y")
        assert is_over(floor.lane(2))
        assert is_over(floor.lane(3))


async def test_a_zero_typed_as_a_number_stops_nobody_and_says_no_stop() -> None:
    floor = at_work(11)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1", "+", "1", "0")
        assert "STOPPED" not in text(floor.app)
        await floor.tap(pilot, "enter")
        assert floor.good()[0] == 10
        assert stopped(floor) == []
