"""The other judge's book, as each of the two finds it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Recall, Rep, Rule
from judgekit.core.plan import SetKey
from judgekit.core.ruling import RepsInSet
from judgekit.desk.beside import other_judges
from judgekit.desk.headdesk import HeadDesk
from judgekit.desk.onlooker import Onlooker
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.reading import read_lanes
from judgekit.store.verify import verify_code
from tests.desk.fakes import FakeClock
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.eventfolder import EventFolder

TEAM = '[team]\nsize = 2\nhow = "together"\njudges = 2\n\n[[part]]'


def counted(folder: EventFolder, reps: int, *, second: bool, recalled: bool) -> None:
    """A desk at which so many reps are counted, after one start more if recalled."""
    clock = FakeClock()
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1,), second=second), clock)
    if recalled:
        desk.call_go(boot_ms=clock.boot_now)
        desk.work_off()
        clock.pass_(12_000)
        desk.submit(1, Rep(), boot_ms=clock.boot_now)
        desk.submit(1, Recall(), boot_ms=clock.boot_now)
        desk.work_off()
        clock.pass_(5000)
    desk.call_go(boot_ms=clock.boot_now)
    desk.work_off()
    clock.pass_(10_000)
    for _ in range(reps):
        clock.pass_(3000)
        desk.submit(1, Rep(), boot_ms=clock.boot_now)
        desk.work_off()
    desk.close("done")


def event_of_two(path: Path) -> EventFolder:
    """One lane whose team two judges count."""
    event = write_event(path)
    text = WORKOUT.replace("[[part]]", TEAM, 1)
    (event / "workouts" / "quayside.toml").write_text(text, encoding="utf-8")
    people = (
        "bib,name,division,team\n27,Ines Varga,women,Heron\n007,Zoé Marr,women,Heron\n"
    )
    (event / "people.csv").write_text(people, encoding="utf-8")
    heats = "heat,start,workout,lane,bib,judge\n1,10:00,quayside,1,Heron,kb\n"
    (event / "heats.csv").write_text(heats, encoding="utf-8")
    return load_event(event)


@pytest.mark.parametrize("recalled", [False, True])
def test_each_finds_the_other_and_nobody_finds_what_is_not_there(
    tmp_path: Path, *, recalled: bool
) -> None:
    folder = event_of_two(tmp_path / "event")
    counted(folder, 3, second=False, recalled=recalled)
    assert other_judges(folder, "1", 1, second=False) is None
    counted(folder, 2, second=True, recalled=recalled)
    for second, good in ((False, 2), (True, 3)):
        found = other_judges(folder, "1", 1, second=second)
        assert found is not None
        assert found.lane.work.good == good
        assert verify_code(folder.log, found.code)
        (read,) = (one for one in read_lanes(folder.log).lanes if one.number == 1)
        assert found.code == read.codes[0 if second else 1]
    assert other_judges(folder, "1", 9, second=False) is None


def test_a_head_judge_rules_on_the_count_that_holds(tmp_path: Path) -> None:
    """The first judge has all three of the set, the second one two of them."""
    folder = event_of_two(tmp_path / "event")
    counted(folder, 3, second=False, recalled=False)
    counted(folder, 2, second=True, recalled=False)
    onlooker, clock = Onlooker(folder), FakeClock()
    head = HeadDesk(folder, clock)
    one_more = Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=1), why="video")
    said = []
    for _ in range(2):
        onlooker.look()
        said.append(head.rule(onlooker.heats[0], 1, one_more))
    head.close()
    assert said == ["", "That set has 3 good and 0 left: it cannot move +1."]
    (read,) = (one for one in read_lanes(folder.log).lanes if one.number == 1)
    assert read.counted.work.good == 3
