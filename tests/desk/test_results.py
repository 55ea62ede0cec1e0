"""Results after a live class: the lane is carried on, never taken from a desk."""

from __future__ import annotations

from contextlib import closing
from itertools import product
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Absent, Rep
from judgekit.core.errors import InputError
from judgekit.core.press import EndLook
from judgekit.core.score import score
from judgekit.core.watchentry import Look
from judgekit.desk.opening import Wish, open_desk
from judgekit.desk.results import record
from judgekit.files.folder import EventFolder, load_event
from judgekit.store.reading import LaneRead, read_lanes
from tests.desk.fakes import FakeClock
from tests.small_event import write_event

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.core.press import Act


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return load_event(write_event(tmp_path / "event"))


def held(
    folder: EventFolder,
    acts: Sequence[Act] = (),
    *,
    go: bool = True,
    later_ms: int = 0,
    lanes: tuple[int, ...] = (1,),
) -> None:
    """Both lanes of heat 1 at a desk: go, acts in some, and the desk is closed."""
    clock = FakeClock()
    clock.pass_(later_ms)
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1, 2)), clock)
    with closing(desk):
        if go:
            desk.call_go(boot_ms=clock.boot_now)
            desk.work_off()
            clock.pass_(12_000)
        for act, lane in product(acts, lanes):
            clock.pass_(2000)
            desk.submit(lane, act, boot_ms=clock.boot_now)
            desk.work_off()


def read(folder: EventFolder, lane: int) -> LaneRead:
    lanes = read_lanes(folder.log, "1", rows=folder.heats, resolve=folder.plan_of)
    assert lanes.wrong == ()
    return next(one for one in lanes.lanes if one.number == lane)


def write(folder: EventFolder, *lines: str, again: str = "") -> None:
    record(folder, "1", lines, shown="line", again=again)


def test_a_lane_that_only_started_gets_its_result_in_the_same_run(
    folder: EventFolder,
) -> None:
    held(folder)
    write(folder, "Ines 7:41", "Zoé 8 reps with hanging knee raise")
    one, two = read(folder, 1), read(folder, 2)
    assert [len(one.runs), len(two.runs)] == [1, 1]
    assert score(one.lane).shown == "7:41"
    assert score(two.lane).shown == "8 of 9"
    assert two.lane.plan.substituted
    write(folder, "27 7:42", again="misheard")
    assert score(read(folder, 1).lane).shown == "7:42"
    assert len(read(folder, 1).runs) == 1


def test_a_result_said_once_more_after_another_is_another_entry(
    folder: EventFolder,
) -> None:
    for result, again in (("7:41", ""), ("7:42", "typo"), ("7:41", "no, it was")):
        write(folder, f"Ines {result}", again=again)
        assert score(read(folder, 1).lane).shown == result
    write(folder, "Zoé 8:00", "Ines 7:42", again="video")
    found = [score(read(folder, lane).lane).shown for lane in (1, 2)]
    assert found == ["7:42", "8:00"]


def test_a_look_closed_after_a_result_stays_when_another_one_is_told(
    folder: EventFolder,
) -> None:
    path = folder.folder / "workouts" / "quayside.toml"
    text = path.read_text(encoding="utf-8")
    told = text.replace("[[part]]", 'watching = "reported"\n\n[[part]]', 1)
    path.write_text(told, encoding="utf-8")
    folder = load_event(folder.folder)
    held(folder, [Look()])
    write(folder, "Ines 7:41")
    held(folder, [EndLook(seen=3)], go=False, later_ms=60_000)
    write(folder, "Ines 7:42", again="misheard")
    lane = read(folder, 1).lane
    assert score(lane).shown == "7:42"
    assert [look.seen for look in lane.work.looks] == [3]


def test_a_lane_that_never_started_gets_one_too(folder: EventFolder) -> None:
    held(folder, go=False)
    write(folder, "Ines 7:41")
    assert score(read(folder, 1).lane).shown == "7:41"


def test_what_was_judged_live_counts_until_a_ruling(folder: EventFolder) -> None:
    held(folder, [Rep()])
    with pytest.raises(InputError, match="27 Ines Varga was judged until 0:04"):
        write(folder, "Ines 7:41")
    write(folder, "Ines 7:41", again="the judge left")
    lane = read(folder, 1)
    assert len(lane.runs) == 2
    assert lane.run is not None
    assert lane.run.number == 1
    assert score(lane.lane).shown == "1 of 9"


def test_nothing_is_taken_from_a_desk_that_is_open(folder: EventFolder) -> None:
    clock = FakeClock()
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1,)), clock)
    with closing(desk), pytest.raises(InputError, match=r"close that desk first \(q\)"):
        write(folder, "Ines 7:41", "Zoé 8:00")
    assert read(folder, 2).runs == ()


def test_an_absent_athlete_has_no_result(folder: EventFolder) -> None:
    held(folder, [Absent()], go=False)
    with pytest.raises(InputError, match="27 Ines Varga is marked absent"):
        write(folder, "Ines 7:41")


def test_a_result_that_is_there_closes_the_lane_to_presses(folder: EventFolder) -> None:
    held(folder)
    write(folder, "Ines 7:41")
    clock = FakeClock()
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1,)), clock)
    with closing(desk):
        desk.submit(1, Rep(), boot_ms=clock.boot_now)
        desk.work_off()
    assert score(read(folder, 1).lane).shown == "7:41"
