"""The other judge's book, as each of the two finds it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import Rep
from judgekit.desk.beside import other_judges
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from tests.desk.fakes import FakeClock
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.eventfolder import EventFolder

TEAM = '[team]\nsize = 2\nhow = "together"\njudges = 2\n\n[[part]]'


def counted(folder: EventFolder, reps: int, *, second: bool) -> None:
    """A desk at which so many reps are counted."""
    clock = FakeClock()
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(1,), second=second), clock)
    desk.call_go(boot_ms=clock.boot_now)
    desk.work_off()
    clock.pass_(10_000)
    for _ in range(reps):
        clock.pass_(3000)
        desk.submit(1, Rep(), boot_ms=clock.boot_now)
        desk.work_off()
    desk.close("done")


def test_each_finds_the_other_and_nobody_finds_what_is_not_there(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    text = WORKOUT.replace("[[part]]", TEAM, 1)
    (event / "workouts" / "quayside.toml").write_text(text, encoding="utf-8")
    people = (
        "bib,name,division,team\n27,Ines Varga,women,Heron\n007,Zoé Marr,women,Heron\n"
    )
    (event / "people.csv").write_text(people, encoding="utf-8")
    heats = "heat,start,workout,lane,bib,judge\n1,10:00,quayside,1,Heron,kb\n"
    (event / "heats.csv").write_text(heats, encoding="utf-8")
    folder = load_event(event)
    counted(folder, 3, second=False)
    assert other_judges(folder, "1", 1, second=False) is None
    counted(folder, 2, second=True)
    for second, good in ((False, 2), (True, 3)):
        found = other_judges(folder, "1", 1, second=second)
        assert found is not None
        assert found.work.good == good
    assert other_judges(folder, "1", 9, second=False) is None
