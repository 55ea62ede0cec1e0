"""Somebody walks into a class: named on the Floor, into the files, into a lane."""

from __future__ import annotations

import threading
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core.classmates import Classmate
from judgekit.core.entry import Rep
from judgekit.desk import Desk, News, Started
from judgekit.desk import onlooker as onlooking
from judgekit.desk.onlooker import Onlooker
from judgekit.desk.opening import open_desk
from judgekit.desk.wish import Wish
from judgekit.files.folder import load_event
from judgekit.files.walkins import add_walk_in, as_written
from judgekit.ui.app import FloorApp
from judgekit.ui.arrivals import arrive
from judgekit.ui.manykeys import CHOICE_MS
from judgekit.ui.openpanel import NAME_CLOSED_MS, TYPING_MS
from tests.cli.running import run
from tests.desk.fakes import FakeClock
from tests.ui.fake_desk import text, until
from tests.ui.fingers import finger, pads

if TYPE_CHECKING:
    from textual.pilot import Pilot

    from judgekit.files.eventfolder import EventFolder


TOWPATH = """\
id = "towpath"
name = "Towpath"
revision = 1
score = "time"
[[part]]
rounds = 2
[[part.movement]]
card = "air-squat"
reps = 5
"""
DIVIDED = f'{TOWPATH}load = {{ women = "10 kg", men = "15 kg" }}\n'


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is handled in the very instant in which it was pressed."""
    monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: 0.0)


@dataclass
class Class:
    """A class of some names in a folder, its desk, and the Floor over it."""

    folder: Path
    pads: bool = False
    lanes: tuple[int, ...] = ()
    clock: FakeClock = field(default_factory=FakeClock)
    desk: Desk = field(init=False)
    app: FloorApp = field(init=False)

    def __post_init__(self) -> None:
        event = load_event(self.folder)
        heat = event.heat_names()[-1]
        lanes = self.lanes or tuple(row.lane for row in event.lanes(heat))
        self.desk, _ = open_desk(event, Wish(heat=heat, lanes=lanes), self.clock)
        self.desk.start()
        self.app = FloorApp(self.desk, folder=event, pads=self.pads)

    def go(self) -> None:
        """Go, and the countdown passed."""
        started = threading.Event()

        def hear(news: News) -> None:
            if isinstance(news, Started):
                started.set()

        self.desk.listen(hear)
        self.desk.call_go(boot_ms=self.clock.boot_now)
        started.wait()
        self.clock.pass_(10_000)

    def close(self) -> None:
        self.desk.close("done")

    async def tap(self, pilot: Pilot[None], *keys: str, after: int = 200) -> None:
        for key in keys:
            self.clock.pass_(after)
            await pilot.press(key)
            await pilot.pause()

    async def sits(self, pilot: Pilot[None], *lanes: int) -> None:
        await until(pilot, lambda: self.desk.lanes == lanes and not self.desk.at_stake)
        await pilot.pause()


def a_class(
    where: Path, names: str, workout: str = TOWPATH, folder: str = "monday"
) -> Path:
    source = where / "towpath.toml"
    source.write_text(workout, encoding="utf-8")
    target = where / folder
    done = run("class", str(source), names, "--folder", str(target), "--judged")
    assert done.code == 0, done
    return target


ASKS = "Dee is not in yet, who is it?"
LONG = TOWPATH.replace("reps = 5", "reps = 50")
NEW = ("w", "w", "1", "D", "e", "e", "enter")


async def test_a_name_typed_on_the_floor_is_a_lane_more_on_its_own_clock(
    tmp_path: Path,
) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo, Cy"))
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, "2", "space", after=2000)
            made.clock.pass_(60_000)
            await made.tap(pilot, *NEW)
            await made.sits(pilot, 1, 2, 3, 4)
            await until(pilot, lambda: "Dee has lane 4" in text(made.app))
            await until(pilot, lambda: made.desk.lane(4).started)
            assert made.desk.lane(4).offset_ms > 60_000
            assert [made.desk.lane(n).work.good for n in (1, 2, 3)] == [0, 1, 0]
            await made.tap(pilot, "4", "space", after=3000)
            await until(pilot, lambda: made.desk.lane(4).work.good == 1)
    event = load_event(made.folder)
    assert [(a.name, a.person) for a in event.athletes][-1] == ("Dee", "dee")
    assert [row.lane for row in event.lanes("1")] == [1, 2, 3, 4]


@pytest.mark.parametrize("size", [(40, 39), (82, 51)])
async def test_a_name_is_spelt_by_a_finger_with_capitals_where_words_begin(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo, Cy"), pads=True)
    with closing(made):
        made.go()
        async with made.app.run_test(size=size) as pilot:
            await pilot.pause()
            await finger(made, pilot, "2 Bo", "MORE", "all lanes", "1 somebody new")
            assert "a" not in pads(made)
            await finger(made, pilot, "D", "e", "e", "e", "DEL", "space", "O", "'")
            await finger(made, pilot, "N", after=300)
            assert "Dee O'N_" in text(made.app)
            await finger(made, pilot, "ENTER")
            await made.sits(pilot, 1, 2, 3, 4)
            await until(pilot, lambda: "4 Dee" in pads(made))
            assert not made.desk.lane(2).work.attempts
    assert load_event(made.folder).athletes[-1].name == "Dee O'N"


async def test_stop_is_a_pad_also_while_a_name_is_spelt(tmp_path: Path) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo, Cy"), pads=True)
    with closing(made):
        made.go()
        async with made.app.run_test(size=(40, 39)) as pilot:
            await pilot.pause()
            await finger(made, pilot, "2 Bo", "MORE", "all lanes", "1 somebody new")
            await finger(made, pilot, "D", "STOP")
            await until(pilot, lambda: made.desk.lane(2).stopped)


async def test_a_class_of_one_takes_somebody_in_by_a_finger(tmp_path: Path) -> None:
    made = Class(a_class(tmp_path, "Ana"), pads=True)
    with closing(made):
        made.go()
        async with made.app.run_test(size=(40, 39)) as pilot:
            await pilot.pause()
            await finger(made, pilot, "MORE", "who, more", "other athlete")
            await finger(made, pilot, "somebody new", "D", "ENTER")
            await until(pilot, lambda: made.app.grew)
    assert made.desk.lanes == (1, 2)


async def test_opened_again_the_newcomer_is_there_with_what_counts(
    tmp_path: Path,
) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo, Cy"))
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, *NEW)
            await made.sits(pilot, 1, 2, 3, 4)
            await made.tap(pilot, "4", "space", after=3000)
            await until(pilot, lambda: made.desk.lane(4).work.good == 1)
        lane = made.desk.lane(4)
    again = Class(made.folder, clock=made.clock)
    with closing(again):
        assert again.desk.book_id == made.desk.book_id
        assert again.desk.lanes == (1, 2, 3, 4)
        assert again.desk.lane(4).work == lane.work
        assert again.desk.lane(4).offset_ms == lane.offset_ms


async def test_letters_of_a_name_judge_nothing_and_zero_is_stop_all_the_same(
    tmp_path: Path,
) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo, Cy"))
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, "2", "w", "w", "1", "d", "space", "w", "w", "K")
            assert "d wwK_" in text(made.app)
            assert not made.desk.lane(2).work.attempts
            await made.tap(pilot, "0")
            await until(pilot, lambda: made.desk.lane(2).stopped)


async def test_the_workout_that_differs_asks_for_the_division(tmp_path: Path) -> None:
    made = Class(a_class(tmp_path, "Ana/women, Bo/men", DIVIDED))
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, *NEW)
            await until(pilot, lambda: ASKS in text(made.app))
            assert made.desk.lanes == (1, 2)
            await made.tap(pilot, "w", "w", "2", "2")
            await made.sits(pilot, 1, 2, 3)
            assert made.desk.lane(3).plan.division == "men"
            assert not made.desk.lane(3).started


async def test_who_was_here_before_is_asked_about_and_never_joined_unasked(
    tmp_path: Path,
) -> None:
    a_class(tmp_path, "Dee", folder="sunday")
    made = Class(a_class(tmp_path, "Ana, Bo"))
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, *NEW)
            await until(pilot, lambda: ASKS in text(made.app))
            await made.tap(pilot, "w", "w", "2")
            assert "as before" in text(made.app)
            await made.tap(pilot, "2")
            await made.sits(pilot, 1, 2, 3)
            await made.tap(pilot, "w", "w")
            assert "who?" not in text(made.app)
    assert load_event(made.folder).athletes[-1].person == "dee-2"


@pytest.mark.parametrize(
    ("names", "typed", "says"),
    [
        ("Ana, Bo, Dee", "dee", "in this class already"),
        (", ".join(f"Athlete {n}" for n in range(12)), "Dee", "all of its 12 lanes"),
    ],
)
async def test_who_cannot_come_in_is_told_why_and_nothing_changes(
    tmp_path: Path, names: str, typed: str, says: str
) -> None:
    made = Class(a_class(tmp_path, names))
    before = [(made.folder / n).read_bytes() for n in ("people.csv", "heats.csv")]
    with closing(made):
        lanes = made.desk.lanes
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, "w", "w", "1", *typed, "enter")
            await until(pilot, lambda: says in " ".join(text(made.app).split()))
            assert made.desk.lanes == lanes
    after = [(made.folder / n).read_bytes() for n in ("people.csv", "heats.csv")]
    assert after == before


async def test_a_class_of_one_ends_its_floor_for_one_of_two(tmp_path: Path) -> None:
    made = Class(a_class(tmp_path, "Ana"))
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, "w", "5", "4", "D", "e", "e", "enter")
            await until(pilot, lambda: made.app.grew)
        assert made.desk.lanes == (1, 2)
        folder = made.app.behind.folder
        assert folder is not None
        made.app = FloorApp(made.desk, folder=folder, standing=made.app.standing)
        async with made.app.run_test(size=(80, 24)) as pilot:
            assert "Dee has lane 2. Lane 1 stays chosen" in text(made.app)
            # The coach goes on as before, and comes to the new one later.
            await made.tap(pilot, "space", after=CHOICE_MS + 1000)
            await made.tap(pilot, "space", after=CHOICE_MS + 1000)
            await made.tap(pilot, "2", "space", after=2000)
            await until(pilot, lambda: made.desk.lane(2).work.good == 1)
            assert made.desk.lane(1).work.good == 2
            await made.tap(pilot, "escape")
            await made.tap(pilot, "space", after=CHOICE_MS + 1000)
            assert "Which lane?" in text(made.app)


async def test_in_an_event_that_a_coach_wrote_nobody_is_taken_in(
    tmp_path: Path,
) -> None:
    folder = a_class(tmp_path, "Ana, Bo")
    event = folder / "event.toml"
    own = event.read_text(encoding="utf-8").partition("\n")[2]
    event.write_text(own, encoding="utf-8")
    made = Class(folder)
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, "w", "w")
            assert "ALL LANES" in text(made.app)
            assert "somebody new" not in text(made.app)


async def test_at_a_desk_with_some_lanes_of_a_class_nobody_is_taken_in(
    tmp_path: Path,
) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo, Cy"), lanes=(1, 2))
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, "w", "w")
            assert "ALL LANES" in text(made.app)
            assert "somebody new" not in text(made.app)


def test_a_row_that_was_added_meanwhile_is_no_ones_number(tmp_path: Path) -> None:
    folder = a_class(tmp_path, "Ana, Bo")
    made = Class(folder)
    with closing(made):
        names = "Ana, Eve"
        run("class", str(tmp_path / "towpath.toml"), names, "--folder", str(folder))
        arrive(load_event(folder), made.desk, Classmate(name="Dee"), boot_ms=0)
    found = load_event(folder)
    assert [a.name for a in found.athletes] == ["Ana", "Bo", "Eve", "Dee"]
    assert [row.lane for row in found.lanes("1")] == [1, 2, 3, 4]


def test_who_looks_on_sees_who_has_walked_in(tmp_path: Path) -> None:
    folder = a_class(tmp_path, "Ana, Bo")
    event, clock = load_event(folder), FakeClock()
    desk, _ = open_desk(event, Wish(heat="1", lanes=(1, 2)), clock)
    onlooker = Onlooker(load_event(folder))
    with closing(desk):
        desk.call_go(boot_ms=clock.boot_now)
        desk.work_off()
        clock.pass_(20_000)
        assert onlooker.look()
        assert [one.number for one in onlooker.heats[0].lanes] == [1, 2]
        arrive(event, desk, Classmate(name="Dee"), boot_ms=clock.boot_now)
        desk.work_off()
        assert onlooker.look()
        seen = onlooker.heats[0].lanes
        assert [one.lane.plan.name for one in seen] == ["Ana", "Bo", "Dee"]
        assert seen[2].lane.started
        clock.pass_(2000)
        desk.submit(3, Rep(), boot_ms=clock.boot_now)
        desk.work_off()
        onlooker.look()
        assert onlooker.heats[0].lanes[2].lane.work.good == 1


def test_lists_are_read_again_once_for_a_lane_that_they_do_not_have(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = a_class(tmp_path, "Ana, Bo")
    event, clock, reads = load_event(folder), FakeClock(), list[str]()
    desk, _ = open_desk(event, Wish(heat="1", lanes=(1, 2)), clock)
    heats = folder / "heats.csv"
    shorter = heats.read_text(encoding="utf-8").splitlines()[:-1]
    heats.write_text("\n".join(shorter) + "\n", encoding="utf-8")

    def read(then: EventFolder) -> EventFolder:
        reads.append("once")
        return as_written(then)

    monkeypatch.setattr(onlooking, "as_written", read)
    onlooker = Onlooker(load_event(folder))
    with closing(desk):
        desk.call_go(boot_ms=clock.boot_now)
        desk.work_off()
        onlooker.look()
        clock.pass_(20_000)
        desk.submit(1, Rep(), boot_ms=clock.boot_now)
        desk.work_off()
        onlooker.look()
    assert [one.number for one in onlooker.heats[0].lanes] == [1]
    assert reads == ["once"]


@pytest.mark.parametrize(
    ("names", "keys"),
    [
        ("Ana", ("w", "5", "4", "D", "e", "e", "enter", "+")),
        ("Ana, Bo, Cy", (*NEW, "1", "+")),
    ],
)
async def test_who_is_asked_about_takes_no_digit_of_a_number(
    tmp_path: Path, names: str, keys: tuple[str, ...]
) -> None:
    a_class(tmp_path, "Dee", folder="sunday")
    made = Class(a_class(tmp_path, names, LONG))
    with closing(made):
        lanes = made.desk.lanes
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, *keys)
            await until(pilot, lambda: bool(made.app.behind.known.unsure))
            await pilot.pause()
            await made.tap(pilot, "1", "2", "enter")
            await until(pilot, lambda: made.desk.lane(1).work.good == 12)
            assert made.desk.lanes == lanes


async def test_who_is_asked_about_takes_no_digit_of_a_stop(tmp_path: Path) -> None:
    a_class(tmp_path, "Dee", folder="sunday")
    made = Class(a_class(tmp_path, "Ana, Bo, Cy"))
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, *NEW, "0")
            await until(pilot, lambda: bool(made.app.behind.known.unsure))
            await made.tap(pilot, "2")
            await until(pilot, lambda: made.desk.lane(2).stopped)
            assert made.desk.lanes == (1, 2, 3)


@pytest.mark.parametrize(
    ("names", "opens"),
    [("Ana", ("w", "5", "4")), ("Ana, Bo, Cy", ("2", "w", "w", "1"))],
)
async def test_a_digit_in_a_name_is_a_sign_of_it(
    tmp_path: Path, names: str, opens: tuple[str, ...]
) -> None:
    made = Class(a_class(tmp_path, names))
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, *opens, *"Dee", "space", "2", "enter")
            await until(pilot, lambda: len(made.desk.lanes) == len(names.split()) + 1)
            newest = made.desk.lane(made.desk.lanes[-1])
            assert newest.plan.name == "Dee 2"
            assert not any(made.desk.lane(n).work.attempts for n in made.desk.lanes)


@pytest.mark.parametrize(
    ("names", "opens"),
    [("Ana", ("w", "5", "4")), ("Ana, Bo, Cy", ("2", "w", "w", "1"))],
)
async def test_what_is_typed_of_a_name_that_has_closed_judges_nothing_but_stop(
    tmp_path: Path, names: str, opens: tuple[str, ...]
) -> None:
    made = Class(a_class(tmp_path, names))
    lane = made.desk.lanes[len(opens) == 4]
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, *opens, "J", "o", after=1000)
            made.clock.pass_(TYPING_MS)
            await made.tap(pilot, "space", "S", "d", "d", "1", "enter", after=300)
            assert "The panel had closed: enter" in text(made.app)
            made.clock.pass_(NAME_CLOSED_MS)
            await made.tap(pilot, *opens, "J", "o", after=1000)
            made.clock.pass_(TYPING_MS)
            await made.tap(pilot, "0")
            await until(pilot, lambda: bool(made.desk.lane(lane).holds))
            assert not made.desk.lane(lane).work.attempts


async def test_after_class_over_nobody_is_taken_in(tmp_path: Path) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo"))
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, "w", "w", "2", "y", after=1000)
            # The screen hears of it a moment after the desk, and closes its lists then.
            await until(pilot, lambda: "■ TIME" in text(made.app))
            await pilot.pause()
            await made.tap(pilot, *NEW)
            await until(pilot, lambda: "time was called" in text(made.app))
            assert made.desk.lanes == (1, 2)
    assert len(load_event(made.folder).athletes) == 2


async def test_a_lane_that_was_never_started_can_start_in_a_running_heat(
    tmp_path: Path,
) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo, Cy"))
    made.go()
    made.close()
    # It came into the lists, and the desk's process died.
    dee = Classmate(name="Dee", person="dee", division="class")
    add_walk_in(load_event(made.folder), "1", dee)
    again = Class(made.folder, clock=made.clock)
    with closing(again):
        assert not again.desk.lane(4).started
        async with again.app.run_test(size=(80, 24)) as pilot:
            await again.tap(pilot, "4", "w", after=1000)
            assert "this lane starts now" in text(again.app)
            await again.tap(pilot, "4")
            await until(pilot, lambda: again.desk.lane(4).started)
            await again.tap(pilot, "space", after=2000)
            await until(pilot, lambda: again.desk.lane(4).work.good == 1)


async def test_the_own_keys_of_two_lanes_say_what_to_press_once_there_are_three(
    tmp_path: Path,
) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo"))
    with closing(made):
        made.go()
        async with made.app.run_test(size=(80, 24)) as pilot:
            await made.tap(pilot, "z", *NEW)
            await made.sits(pilot, 1, 2, 3)
            says = "z x , . count no more: digits choose."
            await until(pilot, lambda: says in " ".join(text(made.app).split()))
            await made.tap(pilot, ".")
            # The desk says once that this test's clock has jumped.
            await until(pilot, lambda: not made.desk.at_stake)
            await pilot.pause()
            await made.tap(pilot, "z")
            says = "with more than two lanes press 1, then space."
            await until(pilot, lambda: says in " ".join(text(made.app).split()))
            assert made.desk.lane(2).work.attempts == ()


async def test_closing_waits_for_nobody_who_looks_back(tmp_path: Path) -> None:
    made = Class(a_class(tmp_path, "Ana, Bo"))
    ended, looks = threading.Event(), threading.Event()

    def stopped() -> dict[str, int]:
        looks.set()
        ended.wait()
        return {}

    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            made.app.behind.stopped = stopped
            await made.tap(pilot, *NEW)
            await made.sits(pilot, 1, 2, 3)
            await until(pilot, looks.is_set)
            [thread] = [t for t in threading.enumerate() if t.name == "stopped"]
            assert thread.daemon
            ended.set()
