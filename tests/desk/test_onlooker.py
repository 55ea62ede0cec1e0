"""Whoever looks on sees what the log says, and reads only what is new."""

from __future__ import annotations

from threading import Event
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Absent, Freeze, NoRep, Rep
from judgekit.core.press import TakeBackOne
from judgekit.desk import onlooker
from judgekit.desk.lookout import Lookout
from judgekit.desk.onlooker import HeatSeen, Onlooker
from judgekit.desk.opening import Wish, open_desk
from judgekit.desk.transcribing import transcribe
from judgekit.files import tally
from judgekit.files.folder import load_event
from judgekit.store.reading import read_lanes
from judgekit.store.sqlite import ReadOnlyBook
from tests.desk.fakes import FakeClock
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.press import Act
    from judgekit.core.state import Lane
    from judgekit.desk import Desk
    from judgekit.files.eventfolder import EventFolder


class Hall:
    """A desk in lane 1 of heat 1, under one clock, and somebody who looks on."""

    def __init__(self, folder: EventFolder) -> None:
        self.folder = folder
        self.clock = FakeClock()
        self.desk: Desk
        wish = Wish(heat="1", lanes=(1,), judge="kb")
        self.desk, self._follower = open_desk(folder, wish, self.clock)
        self.onlooker = Onlooker(folder)

    def press(self, act: Act, after: int = 2000) -> None:
        self.clock.pass_(after)
        self.desk.submit(1, act, boot_ms=self.clock.boot_now)
        self.desk.work_off()

    def go(self) -> None:
        self.desk.call_go(boot_ms=self.clock.boot_now)
        self.desk.work_off()
        self.clock.pass_(10_000)

    def as_read(self) -> list[Lane]:
        """The lanes of heat 1 as the whole log, read from its beginning, has them."""
        rows = self.folder.lanes("1")
        read = read_lanes(self.folder.log, "1", rows=rows, resolve=self.folder.plan_of)
        assert read.wrong == ()
        return [one.lane for one in read.lanes]

    @property
    def heat(self) -> HeatSeen:
        return next(seen for seen in self.onlooker.heats if seen.heat == "1")

    def close(self) -> None:
        self._follower.close()
        self.desk.close("done")


@pytest.fixture
def hall(tmp_path: Path) -> Iterator[Hall]:
    found = Hall(load_event(write_event(tmp_path / "event")))
    yield found
    found.close()


def test_after_each_press_it_is_what_a_whole_reading_says(hall: Hall) -> None:
    hall.go()
    acts: tuple[Act, ...] = (Rep(), NoRep(), TakeBackOne(), Rep(), Freeze(why="bar"))
    for act in acts:
        hall.press(act)
        assert hall.onlooker.look()
        assert [one.lane for one in hall.heat.lanes] == hall.as_read()
    assert hall.heat.lanes[0].lane.work.good == 2
    assert hall.heat.lanes[0].lane.holds


def test_where_nothing_is_written_no_book_is_opened(
    hall: Hall, monkeypatch: pytest.MonkeyPatch
) -> None:
    hall.go()
    hall.onlooker.look()
    hall.onlooker.look()

    def opened(_book: ReadOnlyBook, after: int = 0) -> list[object]:
        raise AssertionError(f"read after entry {after}")

    monkeypatch.setattr(ReadOnlyBook, "entries", opened)
    assert not hall.onlooker.look()
    hall.press(Rep())
    with pytest.raises(AssertionError, match="read after entry"):
        hall.onlooker.look()


def test_what_is_written_within_one_tick_of_the_files_clock_is_seen(
    hall: Hall, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file looks as it did when it was read, whatever is in it by now."""
    hall.go()
    hall.press(Rep())
    monkeypatch.setattr(onlooker, "_sign", lambda _path: ((1, 1, 1), (1, 1, 1)))
    hall.onlooker.look()
    hall.press(Rep())
    assert hall.onlooker.look()
    assert hall.heat.lanes[0].lane.work.good == 2


def test_heat_time_runs_from_the_go_of_any_lane(hall: Hall) -> None:
    hall.onlooker.look()
    assert hall.heat.heat_ms(hall.clock) is None
    hall.go()
    hall.clock.pass_(4000)
    hall.onlooker.look()
    assert hall.heat.heat_ms(hall.clock) == 4000
    other_boot = FakeClock(boot="another", wall_now=hall.clock.wall_now + 500)
    assert hall.heat.heat_ms(other_boot) == 4500


def test_a_lane_from_paper_moves_no_zero_that_a_desk_knows(hall: Hall) -> None:
    hall.onlooker.look()
    # The heat begins early, so that the tally's start is the later one.
    hall.clock.wall_now = hall.heat.planned_ms - 600_000
    hall.go()
    row = next(row for row in hall.folder.lanes("1") if row.lane == 2)
    parsed = tally.parse(TALLY, "t")
    transcribe(hall.folder, row, parsed, TALLY.encode(), shown="t")
    hall.clock.pass_(4000)
    hall.onlooker.look()
    assert [read.lane.started for read in hall.heat.lanes] == [True, True]
    assert hall.heat.heat_ms(hall.clock) == 4000


def test_all_heats_of_the_list_are_there_with_their_plans(hall: Hall) -> None:
    hall.press(Absent(), after=0)
    hall.onlooker.look()
    assert [seen.heat for seen in hall.onlooker.heats] == ["1", "2"]
    one, two = hall.onlooker.heats
    assert [read.lane.plan.bib for read in (*one.lanes, *two.lanes)] == [
        *("27", "007", "31")
    ]
    assert one.lanes[0].lane.absent
    assert two.planned_ms - one.planned_ms == 20 * 60_000


def test_a_book_that_is_written_anew_under_its_name_is_read_anew(hall: Hall) -> None:
    hall.go()
    hall.press(Rep())
    hall.onlooker.look()
    [path] = hall.folder.log.glob("*.sqlite")
    path.rename(path.with_suffix(".away"))
    hall.press(Rep())
    hall.press(Rep())
    assert path.exists()
    assert hall.onlooker.look()
    assert hall.heat.lanes[0].lane.work.good == 3


def test_a_book_that_stays_unreadable_is_told_of_until_it_can_be_read(
    hall: Hall,
) -> None:
    hall.onlooker.look()
    damaged = hall.folder.log / "1_l9_x.sqlite"
    damaged.write_bytes(b"no book at all" * 100)
    hall.onlooker.look()
    assert hall.onlooker.wrong == ""
    for _ in range(8):
        hall.onlooker.look()
    assert damaged.name in hall.onlooker.wrong
    [sound] = hall.folder.log.glob("*_l1_*.sqlite")
    damaged.write_bytes(sound.read_bytes())
    hall.onlooker.look()
    assert hall.onlooker.wrong == ""


def test_whatever_fails_in_a_look_is_told_and_the_looking_goes_on(
    hall: Hall, monkeypatch: pytest.MonkeyPatch
) -> None:
    lookout = Lookout(hall.onlooker)
    told: list[str] = []
    failed, mended = Event(), Event()

    def fails() -> bool:
        raise ValueError("no such set")

    def tell(_heats: tuple[HeatSeen, ...], wrong: str) -> None:
        told.append(wrong)
        (failed if wrong else mended).set()

    with monkeypatch.context() as patch:
        patch.setattr(hall.onlooker, "look", fails)
        lookout.start(tell)
        assert failed.wait(30)
    assert mended.wait(30)
    lookout.close()
    assert told == ["ValueError: no such set", ""]


def test_the_thread_tells_what_is_new_and_does_what_it_is_given(hall: Hall) -> None:
    lookout = Lookout(hall.onlooker)
    told: list[int] = []
    seen, done = Event(), Event()

    def tell(heats: tuple[HeatSeen, ...], wrong: str) -> None:
        assert wrong == ""
        told.append(heats[0].lanes[0].lane.work.good)
        if told[-1] == 1:
            seen.set()

    lookout.start(tell)
    hall.go()
    hall.press(Rep())
    assert seen.wait(30)
    lookout.soon(done.set)
    assert done.wait(30)
    lookout.close()
    lookout.close()
    assert told == sorted(told)
