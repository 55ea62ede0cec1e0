"""`judgekit check` and `brief` beside a gym's logs: five athletes, and no fewer."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import run
from tests.cli.test_exposure import judge, make
from tests.small_event import HEATS, WORKOUT

if TYPE_CHECKING:
    from pathlib import Path

# Ten squats, in two rounds: ten units are enough.
ATHLETES = 5
TEN = WORKOUT.replace("reps = [3, 2]", "reps = 5")
# The middle is 4 s, the quarters 3 and 5; four toes-to-bar by the card are 8 s, or 5.4.
BY_THE_LOGS = (
    "by the logs: about 0:48, from 0:35 to 0:58 for the middle half "
    "(front squat 4.0 s (3.0 to 5.0) of 5 athletes; toes-to-bar by its card)"
)


def people(many: int) -> str:
    rows = [f"{n},Athlete {n},women,person-{n}" for n in range(1, many + 1)]
    return "\n".join(["bib,name,division,id", *rows, ""])


def heats(many: int) -> str:
    head = HEATS.splitlines()[0]
    rows = [f"1,10:00,quayside,{n},{n},kb" for n in range(1, many + 1)]
    return "\n".join([head, *rows, ""])


def tally(seconds: int) -> str:
    """Two rounds of 5 squats, so many seconds each, and 2 toes-to-bar, 2 s each."""
    lines, now = ["0:00.0  go"], 0
    for _ in range(2):
        for wait, many in ((seconds, 5), (2, 2)):
            for _ in range(many):
                now += wait
                lines.append(f"{now // 60}:{now % 60:02d}.0  rep")
    return "\n".join([*lines, ""])


def gym(folder: Path, day: str, many: int) -> Path:
    """An event of that many athletes: the first took 2 s a squat, each other 1 more."""
    event = make(folder, day, people=people(many))
    (event / "heats.csv").write_text(heats(many), encoding="utf-8")
    (event / "workouts" / "quayside.toml").write_text(TEN, encoding="utf-8")
    for n in range(1, many + 1):
        judge(event, tally(n + 1), lane=str(n))
    return event


def today(tmp_path: Path) -> Path:
    event = make(tmp_path / "events" / "today", "2027-05-08", people=people(1))
    (event / "heats.csv").write_text(heats(1), encoding="utf-8")
    (event / "workouts" / "quayside.toml").write_text(TEN, encoding="utf-8")
    return event


def test_five_athletes_beside_it_make_an_estimate(tmp_path: Path) -> None:
    event = today(tmp_path)
    gym(tmp_path / "events" / "last", "2027-05-01", ATHLETES)
    done = run("check", event)
    by_cards, by_logs, count = done.err.splitlines()
    assert (done.code, done.out) == (0, "")
    assert by_cards.startswith("quayside, Women: 10 reps of front squat")
    assert by_logs == f"quayside, Women, {BY_THE_LOGS}"
    assert count == "0 problems"


@pytest.mark.parametrize(
    ("day", "many"), [("2027-05-01", 4), ("2027-03-12", 5), ("2027-05-08", 5)]
)
def test_fewer_athletes_and_other_days_make_none(
    tmp_path: Path, day: str, many: int
) -> None:
    event = today(tmp_path)
    gym(tmp_path / "events" / "last", day, many)
    assert "by the logs" not in run("check", event).err


def test_a_copy_of_a_folder_makes_no_athlete_of_its_own(tmp_path: Path) -> None:
    event = today(tmp_path)
    last = gym(tmp_path / "events" / "last", "2027-05-01", ATHLETES - 1)
    shutil.copytree(last, last.with_name("copy"))
    assert "by the logs" not in run("check", event).err


def test_the_briefing_says_it_beside_the_workout(tmp_path: Path) -> None:
    event = today(tmp_path)
    gym(tmp_path / "past" / "last", "2027-05-01", ATHLETES)
    assert "time here" not in run("brief", event).out
    done = run("brief", event, "--history", tmp_path / "past")
    assert (done.code, done.err) == (0, "")
    told = " ".join(done.out.split())
    assert "time here Women about 0:48, from 0:35 to 0:58 for the middle half" in told


def test_what_cannot_be_read_is_named_and_changes_no_exit_code(tmp_path: Path) -> None:
    event = today(tmp_path)
    broken = tmp_path / "past" / "broken"
    broken.mkdir(parents=True)
    (broken / "event.toml").write_text("name = ", encoding="utf-8")
    done = run("check", event, "--history", tmp_path / "past")
    assert done.code == 0
    assert f"{broken} is left out" in done.err
    missing = run("check", event, "--history", tmp_path / "none")
    assert missing.code == 2
