"""The emergency box of one lane: there where the event says whom to call."""

from __future__ import annotations

from pathlib import Path

import pytest

from judgekit.core.entry import NoRep, Stop
from judgekit.core.people import Emergency, Event
from judgekit.files.folder import EventFolder
from judgekit.ui.widgets.face import Face
from tests.support import simple
from tests.ui.fake_desk import Floor, faint, text

SIZE = (80, 24)
EMERGENCY = Emergency(call="112", say="Boat shed, Quay 4", first_aid="Kim Brandt")


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is handled in the very instant in which it was pressed."""
    monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: 0.0)


def judging(emergency: Emergency = EMERGENCY) -> Floor:
    event = Event(name="E", date="2027-05-08", divisions=(), emergency=emergency)
    folder = EventFolder(
        folder=Path(), event=event, athletes=(), heats=(), workouts={}, cards={}
    )
    floor = Floor(simple(reps=20), folder=folder)
    floor.go()
    return floor


async def test_stop_fills_the_screen_with_whom_to_call_and_asks_for_the_sign() -> None:
    floor = judging()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "space", "0")
        shown = text(floor.app)
        for words in ("112", "Boat shed, Quay 4", "Kim Brandt", "1  Sharp pain"):
            assert words in shown
        assert "Front squat frozen at 2 of 20" in shown
        assert faint(floor.app) == []
        # The digit is the sign here, and no fault.
        await floor.tap(pilot, "1", "space")
        assert [stop.body for stop in floor.lane.stops] == [Stop(sign="Sharp pain")]
        assert (floor.good, floor.lane.held) == (2, 1)
        assert "Sign: Sharp pain" in text(floor.app)
        await floor.tap(pilot, "escape")
        assert "112" not in text(floor.app)
        assert floor.app.screen.query_one(Face).given[0].phase == "stopped"


async def test_the_box_goes_when_it_was_a_mistake() -> None:
    floor = judging()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "0", "space", "g")
        assert "112" not in text(floor.app)
        assert floor.good == 2


async def test_an_event_that_says_nobody_to_call_has_no_box() -> None:
    floor = judging(Emergency())
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "0")
        assert "STOPPED at 0:02, 0 held" in text(floor.app)
        assert "Which sign?" not in text(floor.app)
        await floor.tap(pilot, "w", "6", "1")
        assert [stop.body for stop in floor.lane.stops] == [Stop(sign="Sharp pain")]


@pytest.mark.parametrize(
    "keys", [("0", "g"), ("0", "space", "g"), ("0", "w", "6", "g")]
)
async def test_the_sign_is_asked_no_longer_than_the_stop_lasts(
    keys: tuple[str, ...],
) -> None:
    floor = judging()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", *keys)
        assert "Which sign?" not in text(floor.app)
        # The digit has its own meaning again: the first fault of the card.
        await floor.tap(pilot, "1")
        assert not floor.lane.stopped
        assert floor.bodies()[-1] == NoRep(faults=("depth",))


@pytest.mark.parametrize("keys", [("1",), ("w", "1")])
async def test_a_desk_that_decides_later_asks_for_the_sign_no_second_time(
    keys: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    floor = judging()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "0")
        assert "Which sign?" in text(floor.app)
        decide = floor.desk.work_off
        monkeypatch.setattr(floor.desk, "work_off", lambda: None)
        await floor.tap(pilot, *keys)
        assert "Which sign?" not in text(floor.app)
        decide()
        await pilot.pause()
        assert "Which sign?" not in text(floor.app)


async def test_the_sign_is_asked_once_the_stop_is_decided(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = judging()
    async with floor.app.run_test(size=SIZE) as pilot:
        decide = floor.desk.work_off
        monkeypatch.setattr(floor.desk, "work_off", lambda: None)
        await floor.tap(pilot, "0")
        assert "112" in text(floor.app)
        assert "Which sign?" not in text(floor.app)
        decide()
        await pilot.pause()
        assert "Which sign?" in text(floor.app)
