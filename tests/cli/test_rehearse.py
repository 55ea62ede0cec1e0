from __future__ import annotations

import errno
import shutil
from time import sleep
from typing import TYPE_CHECKING

import pytest

from judgekit.cli.rehearse import FIRST
from judgekit.core.entry import Go, NoRep, Rep
from judgekit.desk.practising import open_practice
from judgekit.files.folder import load_event
from judgekit.review.performing import script
from judgekit.store.folder import read_all
from judgekit.store.practice import FORMAT, Performance, keep
from tests.cli.running import judged_event, run
from tests.desk.fakes import FakeClock
from tests.rehearsing import athlete, rehearsal
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.plan import Plan
    from judgekit.desk import Desk
    from judgekit.review.performing import Athlete


def rehearse(folder: Path, plan: Plan, *, right: bool = True) -> None:
    """A short rehearsal under a judge who has everything right, or counts all."""
    found = rehearsal(*(card.id for card in plan.cards), reps=8)
    performed = script(found.plan, athlete(found, reps=8))
    clock = FakeClock()
    desk = open_practice(folder, plan, "", clock)
    desk.call_go(boot_ms=clock.boot_now)
    clock.pass_(10_000)
    for one in performed:
        fault = (one.fault,) if one.fault and right else ()
        act = NoRep(faults=fault) if fault else Rep()
        desk.submit(plan.lane, act, boot_ms=clock.boot_now + one.at_ms + 900)
    clock.pass_(60_000)
    desk.close("over")
    shown = Performance(format=FORMAT, seed=1, percent=100, performed=performed)
    keep(folder, desk.book_id, shown)


def test_a_script_is_the_same_for_the_same_seed(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    first = run("rehearse", event, "--plain", "--seed", "7", "--reps", "12")
    assert (first.code, first.err) == (0, "")
    assert first.out.startswith(
        "Rehearsal: Quayside, 12 reps, speed 0.5, seed 7\n\n  1  0:00  Front squat\n"
    )
    assert "  Toes-to-bar\n" in first.out
    assert run("rehearse", event, "--plain", "--seed", "7", "--reps", "12") == first
    assert run("rehearse", event, "--plain", "--seed", "8", "--reps", "12") != first
    assert sorted(path.name for path in event.iterdir()) == [
        "event.toml",
        "heats.csv",
        "people.csv",
        "workouts",
    ]


def test_without_a_seed_the_script_says_which_it_took(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    first = run("rehearse", event, "--plain", "--reps", "5")
    seed = first.out.splitlines()[0].rpartition(" ")[2]
    again = run("rehearse", event, "--plain", "--reps", "5", "--seed", seed)
    assert again.out == first.out


def test_half_the_speed_takes_about_twice_as_long(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    given = ("rehearse", event, "--plain", "--seed", "7", "--reps", "3", "--speed")
    slow, quick = (run(*given, speed).out.splitlines() for speed in ("0.5", "1"))
    assert [one.split()[1:2] for one in slow if one[:3] == "  3"] == [["0:12"]]
    assert [one.split()[1:2] for one in quick if one[:3] == "  3"] == [["0:06"]]


def test_an_event_in_this_folder_is_the_one_that_is_meant(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    event = write_event(tmp_path / "event")
    monkeypatch.chdir(event)
    assert run("rehearse", "--plain", "--seed", "7") == run(
        "rehearse", event, "--plain", "--seed", "7"
    )


def test_a_workout_or_cards_can_be_chosen(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    other = WORKOUT.replace("quayside", "mole").replace("Quayside", "Mole")
    other = other.replace("front-squat", "deadlift")
    (event / "workouts" / "mole.toml").write_text(other, encoding="utf-8")
    given = ("rehearse", event, "--plain", "--seed", "1", "--reps", "30")
    both, mole = run(*given).out, run(*given, "--workout", "mole").out
    one = run(*given, "--card", "burpee").out
    assert ["Front squat" in t for t in (both, mole, one)] == [True, False, False]
    assert ["Deadlift" in t for t in (both, mole, one)] == [True, True, False]
    assert ["Burpee" in t for t in (both, mole, one)] == [False, False, True]
    assert both.startswith("Rehearsal: Quayside Saturday, ")
    assert mole.startswith("Rehearsal: Mole, ")


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (("--card", "burpe"), 'there is no card "burpe"; did you mean "burpee"?'),
        (("--card", "row"), "none of these movements is counted rep by rep"),
        (("--workout", "mole"), "--workout needs an EVENT that holds it"),
        (("--speed", "2"), "2.0 is not in the range"),
        (("--reps", "0"), "0 is not in the range"),
    ],
)
def test_what_cannot_be_rehearsed_is_said(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    given: tuple[str, ...],
    says: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    done = run("rehearse", "--plain", *given)
    assert (done.code, done.out) == (2, "")
    assert says in done.err


def test_a_judge_of_an_event_is_one_of_its_judges(tmp_path: Path) -> None:
    event = write_event(tmp_path / "e")
    done = run("rehearse", event, "--plain", "--judge", "xx")
    assert done.code == 2
    assert 'there is no judge "xx"; there is kb, mo' in done.err
    assert run("rehearse", event, "--plain", "--judge", "kb").code == 0


def test_a_workout_that_is_not_there_is_named_with_those_that_are(
    tmp_path: Path,
) -> None:
    done = run("rehearse", write_event(tmp_path / "e"), "--plain", "--workout", "mole")
    assert done.code == 2
    assert 'there is no workout "mole"; there is quayside' in done.err


def test_a_workout_and_cards_at_once_are_refused(tmp_path: Path) -> None:
    given = ("--plain", "--workout", "quayside", "--card", "burpee")
    done = run("rehearse", write_event(tmp_path / "e"), *given)
    assert done.code == 2
    assert "say --workout or --card, not both" in done.err


def test_what_is_left_out_and_what_is_set_otherwise_is_said(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    written = (event / "event.toml").read_text(encoding="utf-8")
    (event / "event.toml").write_text(
        f'{written}"front-squat.first-rep" = "tall"\n', encoding="utf-8"
    )
    more = '[[part.movement]]\ncard = "row"\ncalories = 9\n'
    path = event / "workouts" / "quayside.toml"
    path.write_text(WORKOUT + more, encoding="utf-8")
    done = run("rehearse", event, "--plain")
    assert done.code == 0
    assert done.err == (
        "left out: Row is not counted rep by rep\n"
        "front-squat.first-rep is tall here, and the reps go by that\n"
    )


def test_the_reps_of_an_event_go_by_its_settings_and_its_cards(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    written = (event / "event.toml").read_text(encoding="utf-8")
    (event / "event.toml").write_text(
        f'{written}"toes-to-bar.place" = "between"\n', encoding="utf-8"
    )
    (event / "cards").mkdir()
    (event / "cards" / "front-squat.toml").write_text(
        """[[example]]
says = "As our own coach shows it"
[[example]]
says = "As our own coach would not"
fault = "shallow"
""",
        encoding="utf-8",
    )
    shown = run("rehearse", event, "--plain", "--reps", "80", "--seed", "1").out
    assert "our own coach shows" in " ".join(shown.split())
    assert "our own coach would not" in " ".join(shown.split())
    assert "elbows stay ahead" not in shown
    assert "outside of the left hand" in " ".join(shown.split())
    alone = run("rehearse", "--card", "toes-to-bar", "--plain", "--reps", "80").out
    assert "outside of the left hand" not in " ".join(alone.split())


def test_where_nothing_is_known_of_a_judge_it_begins_with_the_usual_ones(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shown = run("rehearse", "--plain", "--seed", "1", "--reps", "30").out
    (named,) = {tuple(rehearsal(*FIRST).shows)}
    assert len(named) == 3
    assert [name in shown for name in ("Air squat", "Push-up", "Burpee")] == [True] * 3


def test_what_was_called_worst_comes_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    place = tmp_path / "judgekit-practice"
    rehearse(place, rehearsal("deadlift", reps=8).plan, right=False)
    rehearse(place, rehearsal("air-squat", reps=8).plan)
    shown = run("rehearse", "--plain", "--seed", "1", "--reps", "30").out
    movements = {line[11:] for line in shown.splitlines() if line[3:6] == "  0"}
    assert movements == {"Deadlift"}
    other = run("rehearse", "--plain", "--seed", "1", "--judge", "kb").out
    assert "Air squat" in other


def test_without_a_terminal_there_is_nothing_to_judge_on(tmp_path: Path) -> None:
    done = run("rehearse", write_event(tmp_path / "event"))
    assert done.code == 2
    assert "this is none" in done.out


def judge_in_place_of_a_screen(
    monkeypatch: pytest.MonkeyPatch, *, right: bool, code: int = 0
) -> list[object]:
    """Nobody draws; a judge presses as each rep ends. Gives what stood on the wall."""
    walls: list[object] = []

    def run_floor(desk: Desk, *, folder: object, athlete: Athlete) -> int:
        [number] = desk.lanes
        zero = desk.clock.boot_ms() - 3_600_000
        desk.call_go(boot_ms=zero - 10_000)
        while desk.zero_boot_ms is None:
            sleep(0.001)
        while not athlete.is_done:
            before = len(athlete.performed)
            athlete.look(athlete.due_ms, desk.lane(number))
            for one in athlete.performed[before:]:
                bad = one.fault and right
                act = NoRep(faults=(one.fault,)) if bad else Rep()
                desk.submit(number, act, boot_ms=zero + one.until_ms)
            while desk.at_stake:
                sleep(0.001)
        return code

    def run_wall(sheets: object) -> int:
        walls.append(sheets)
        return 0

    monkeypatch.setattr("judgekit.ui.start.terminal_problem", lambda *_: "")
    monkeypatch.setattr("judgekit.ui.start.run_floor", run_floor)
    monkeypatch.setattr("judgekit.ui.start.run_wall", run_wall)
    return walls


def test_the_same_movements_are_set_beside_the_last_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    given = ("rehearse", "--card", "air-squat", "--reps", "9", "--seed", "1")
    walls = judge_in_place_of_a_screen(monkeypatch, right=False)
    first = run(*given)
    (line,) = [one for one in first.out.splitlines() if one.endswith(" %")]
    share = line.rpartition(" right, ")[2]
    assert (first.code, share, "last time" in first.out) == (0, "55 %", False)
    judge_in_place_of_a_screen(monkeypatch, right=True)
    assert "last time" not in run(*given, "--judge", "kb").out
    assert "last time" not in run("rehearse", "--card", "burpee", "--reps", "1").out
    again = run(*given)
    assert "\n9 of 9 right, 100 %\n  55 %   last time\n" in again.out
    assert len(walls) == 1


def test_a_screen_that_failed_adds_no_other_screen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    walls = judge_in_place_of_a_screen(monkeypatch, right=True, code=143)
    done = run("rehearse", "--card", "air-squat", "--reps", "2")
    assert (done.code, done.out, walls) == (143, "", [])
    assert len(list(tmp_path.glob("judgekit-practice/*.shown.json"))) == 1


def test_what_cannot_be_kept_is_told_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.chdir(tmp_path)
    judge_in_place_of_a_screen(monkeypatch, right=True)
    monkeypatch.setattr("judgekit.store.practice.keep", full)
    done = run("rehearse", "--card", "air-squat", "--reps", "2")
    assert done.code == 0
    assert "2 of 2 right" in done.out
    assert done.err == (
        "judgekit-practice: this rehearsal was not kept: No space left on device\n"
    )


READERS = (
    ("scorecard", "--heat", "1"),
    ("standings",),
    ("faults",),
    ("exposure",),
    ("log", "verify"),
    ("log", "show"),
)


def test_no_rehearsal_is_ever_read_as_a_heat(tmp_path: Path) -> None:
    event = judged_event(tmp_path)

    def read(readers: tuple[tuple[str, ...], ...] = READERS) -> list[object]:
        parted = [
            (words[:2], words[2:]) if words[0] == "log" else (words[:1], words[1:])
            for words in readers
        ]
        return [run(*name, event, *more) for name, more in parted]

    before = read()
    folder = load_event(event)
    plan = rehearsal("front-squat", "toes-to-bar", reps=8).plan
    rehearse(event / "practice", plan)
    # The very heat and lane that were judged, as an evil plan would have them.
    rehearse(event / "practice", folder.plan_of(folder.lanes("1")[0], ()))
    assert len(read_all(event / "practice")) == 2
    assert read() == before
    for book in (event / "practice").glob("1_*.sqlite"):
        shutil.copy(book, event / "log")
    assert len(read_all(event / "log")) == 2
    assert read(READERS[:4]) == before[:4]
    assert any(isinstance(e.body, Go) for e in read_all(event / "practice")[0].entries)
