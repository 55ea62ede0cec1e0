"""C31: a finished heat changes only on purpose, and says so for ever."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

from judgekit.core.entry import Accept, Correct, Rep, Rule, Time
from judgekit.core.press import Called, TakeBackOne
from judgekit.core.ruling import Reopen
from judgekit.desk import News, Refused
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from tests.cli.running import run
from tests.desk.fakes import FakeClock
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.press import Act

HUNDRED = (
    WORKOUT.replace('score = "time"\ncap = "10:00"', 'score = "reps"')
    .replace("rounds = 2\n", 'window = "5:00"\n')
    .replace("reps = [3, 2]", "reps = 150")
)
CLOSED = "The scorecard is closed. Only a head judge's ruling changes it."


class Sat:
    """Lane 1 of the event at a desk, one press at a time."""

    def __init__(self, event: Path, clock: FakeClock) -> None:
        self.clock = clock
        self.clock.pass_(1000)
        wish = Wish(heat="1", lanes=(1,))
        self.desk, _ = open_desk(load_event(event), wish, clock)
        self.refused: list[str] = []
        self.desk.listen(self._hear)

    def _hear(self, news: News) -> None:
        if isinstance(news, Refused):
            self.refused.append(news.says)

    def go(self) -> None:
        self.desk.call_go(boot_ms=self.clock.boot_now)
        self.desk.work_off()
        self.clock.pass_(10_000)

    def press(self, *acts: Act) -> None:
        for act in acts:
            self.clock.pass_(2000)
            self.desk.submit(1, act, boot_ms=self.clock.boot_now)
            self.desk.work_off()


def accepted_at_a_hundred(tmp_path: Path) -> tuple[Path, FakeClock]:
    event = write_event(tmp_path / "event")
    (event / "workouts" / "quayside.toml").write_text(HUNDRED, encoding="utf-8")
    clock = FakeClock()
    sat = Sat(event, clock)
    sat.go()
    sat.press(Rep(n=100))
    clock.pass_(300_000)
    sat.press(Time(), *both_accept())
    assert sat.refused == []
    sat.desk.close()
    return event, clock


def both_accept() -> tuple[Act, Act]:
    return Accept(who="athlete", signed=True), Accept(who="judge", signed=True)


def card(event: Path) -> dict[str, object]:
    done = run("scorecard", event, "--heat", "1", "--lane", "1", "--format", "json")
    found: dict[str, object] = json.loads(done.out)["scorecards"][0]
    return found


def standing(event: Path) -> tuple[str, str, str]:
    done = run("standings", event, "--format", "csv")
    for row in csv.DictReader(io.StringIO(done.out)):
        if row["bib"] == "27":
            return row["score_reps"], row["status"], row["rank"]
    raise AssertionError(done.out)


def test_an_accepted_lane_refuses_every_key_in_words(tmp_path: Path) -> None:
    event, clock = accepted_at_a_hundred(tmp_path)
    sat = Sat(event, clock)
    sat.press(Rep(), Rep(), Rep(), Called(fault="shallow"), TakeBackOne())
    assert sat.desk.lane(1).work.good == 100
    assert sat.refused == [CLOSED] * 5
    sat.desk.close()
    assert standing(event) == ("100", "finished, official", "1")
    assert card(event)["amended"] == ""


def test_opening_the_program_again_unlocks_nothing(tmp_path: Path) -> None:
    event, clock = accepted_at_a_hundred(tmp_path)
    for _ in range(2):
        sat = Sat(event, clock)
        assert sat.desk.lane(1).closed
        sat.press(Rep())
        assert sat.refused == [CLOSED]
        sat.desk.close()
    assert standing(event) == ("100", "finished, official", "1")


def test_what_a_ruling_opened_and_changed_is_amended_with_both_scores(
    tmp_path: Path,
) -> None:
    event, clock = accepted_at_a_hundred(tmp_path)
    sat = Sat(event, clock)
    sat.press(Rule(effect=Reopen(), why="video seen"))
    sat.press(Correct(by=1, said="rep 58 was good"), *both_accept())
    assert sat.refused == []
    sat.desk.close()
    found = card(event)
    before, now = "0 rounds and 100 (100 reps)", "0 rounds and 101 (101 reps)"
    assert (found["score"], found["amended"], found["aloud"]) == (
        now,
        f"signed {before}, now {now}",
        f"{now}, amended from {before}, no no-reps",
    )
    assert found["remarks"] == [
        "ruling by Kim Brandt: scorecard opened again (video seen)"
    ]
    assert found["corrections"] == [
        "judge, 5:13.0: Front squat, part A round 1: +1 (rep 58 was good)"
    ]
    assert standing(event) == ("101", "finished, official, amended", "1")
    shown = run("standings", event, "--division", "women").out
    assert f"\namended: 27 signed {before}, now {now}\n" in shown
    log = json.loads(run("log", "show", event, "--format", "json").out)
    changes = [row["says"] for row in log["rows"] if row["kind"] in ("rule", "correct")]
    assert changes == [
        "effect reopen, why video seen",
        "by 1, said rep 58 was good",
    ]
    again = Sat(event, clock)
    again.press(Rep())
    assert (again.desk.lane(1).work.good, again.refused) == (101, [CLOSED])
    again.desk.close()
