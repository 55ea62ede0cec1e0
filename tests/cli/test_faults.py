"""Faults by any keys, over several sessions, and the drills that follow from them."""

from __future__ import annotations

import csv
import io
import json
import shutil
from typing import TYPE_CHECKING, Any

import pytest

from judgekit.cli.pastfaults import _keep, _Told
from judgekit.cli.pastlogs import LaneKey
from judgekit.review.sessions import LaneSum
from tests.cli.running import run, tally
from tests.small_event import EVENT, WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

DATES = ("2027-04-17", "2027-04-24", "2027-05-01", "2027-05-08")
_SQUATS = 40


def session(place: Path, date: str, no_reps: int, fault: str = "shallow") -> Path:
    """A day on which bib 27 did 40 front squats, with so many no-reps."""
    event = write_event(place / date)
    text = EVENT.replace("2027-05-08", date)
    (event / "event.toml").write_text(text, encoding="utf-8")
    workout = WORKOUT.replace("reps = [3, 2]", f"reps = [{_SQUATS}, 2]")
    (event / "workouts" / "quayside.toml").write_text(workout, encoding="utf-8")
    acts = [f"no-rep {fault}"] * no_reps + ["rep"] * _SQUATS
    lines = [
        f"0:{n * 2 // 60:02}:{n * 2 % 60:02}.0  {act}" for n, act in enumerate(acts, 2)
    ]
    path = tally(place, "\n".join(["0:00.0  go", *lines, ""]), f"{date}.tally")
    done = run("transcribe", event, path, "--heat", "1", "--lane", "1")
    assert (done.code, done.out) == (0, ""), done.err
    return event


def data(event: Path, *more: str, command: str = "faults") -> dict[str, Any]:
    done = run(command, event, *more, "--format", "json")
    assert done.code == 0, done.err
    found = json.loads(done.out)
    assert isinstance(found, dict)
    return found


def test_by_keys_has_a_column_for_each(tmp_path: Path) -> None:
    event = session(tmp_path, DATES[-1], 4)
    done = run("faults", event, "--by", "athlete, fault", "--format", "csv")
    (row,) = csv.DictReader(io.StringIO(done.out))
    assert list(row)[:3] == ["athlete", "fault", "watched"]
    assert (row["athlete"], row["fault"], row["no_reps"]) == ("27", "shallow", "4")
    assert (row["attempts"], row["good"]) == (str(_SQUATS + 4), str(_SQUATS))
    table = run("faults", event, "--by", "judge").out
    assert "Kim Brandt" in table
    assert "4 of 44" in table
    assert data(event, "--by", "round,heat")["by"] == ["round", "heat"]


@pytest.mark.parametrize("asked", ["colour", "", "fault;athlete", ","])
def test_an_unknown_key_is_refused_with_those_there_are(
    tmp_path: Path, asked: str
) -> None:
    done = run("faults", session(tmp_path, DATES[-1], 1), "--by", asked)
    assert done.code == 2
    assert "movement, fault, athlete" in done.err


def test_a_page_says_of_which_event_it_is(tmp_path: Path) -> None:
    event = session(tmp_path, DATES[0], 4)
    title = f"Quayside Saturday: faults, {DATES[0]}"
    for more in ((), ("--by", "athlete,fault")):
        page = run("faults", event, *more, "--format", "html").out
        assert f"<title>{title}</title>" in page
        assert f"<h1><bdi>{title}</bdi></h1>" in page
        text = run("faults", event, *more, "--format", "markdown").out
        assert text.startswith(f"# {title}\n")
        assert "DEPTH" in page


def test_a_page_of_a_log_alone_names_the_event_and_no_path(tmp_path: Path) -> None:
    log = session(tmp_path, DATES[0], 3) / "log"
    page = run("faults", log, "--format", "html").out
    assert f"<title>Quayside Saturday: faults, {DATES[0]}" in page
    assert str(tmp_path) not in page


def test_history_is_refused_where_this_event_alone_is_counted(tmp_path: Path) -> None:
    event = session(tmp_path, DATES[0], 4)
    done = run("faults", event, "--by", "athlete", "--history", tmp_path)
    assert (done.code, done.out) == (2, "")
    assert "--by counts this event alone; judgekit season FOLDER --by" in done.err


def test_one_workout_or_division_can_be_asked_for(tmp_path: Path) -> None:
    event = session(tmp_path, DATES[-1], 4)
    women = data(event, "--division", "women")
    men = data(event, "--division", "men")
    assert [one["total"] for one in (women, men)] == [
        {"attempts": 44, "no_reps": 4, "rate": 0.0909, "low": 0.0359, "high": 0.2116},
        {"attempts": 0, "no_reps": 0, "rate": None, "low": None, "high": None},
    ]
    refused = run("faults", event, "--workout", "towpath")
    assert refused.code == 2
    assert "there is quayside" in refused.err


def test_what_changed_since_last_time_and_what_comes_again(tmp_path: Path) -> None:
    *past, event = (
        session(tmp_path, date, many)
        for date, many in zip(DATES, (20, 20, 30, 3), strict=True)
    )
    found = data(event)
    (since,) = found["since"]
    assert (since["before"], since["then"]["no_reps"], since["now"]["no_reps"]) == (
        "2027-05-01",
        30,
        3,
    )
    assert since["says"] == "fewer"
    (again,) = found["recurring"]
    assert (again["seen"], again["sessions"]) == (4, 4)
    text = run("faults", event).out
    assert text.index("Comes again") < text.index("Faults") < text.index("Since last")
    # A copy of an event's folder counts once.
    shutil.copytree(past[-1], tmp_path / "copy")
    assert data(event)["since"] == found["since"]
    # Days after the event's own are no past.
    assert data(past[0])["since"] == []
    # Elsewhere nothing lies beside it, unless that folder is named.
    alone = tmp_path / "alone" / "event"
    shutil.copytree(event, alone)
    assert data(alone)["since"] == []
    assert data(alone, "--history", str(tmp_path))["since"] == found["since"]


def test_of_copies_of_a_lane_the_one_that_tells_most_counts() -> None:
    key = LaneKey("Quayside", "1", 1, DATES[0])
    whole, part = (_Told(many, LaneSum(date=DATES[0], sums=())) for many in (9, 5))
    for order in ((whole, part), (part, whole)):
        told: dict[LaneKey, _Told] = {}
        for one in order:
            _keep(told, key, one)
        assert told == {key: whole}


def test_a_broken_folder_of_the_past_is_named_and_left_out(tmp_path: Path) -> None:
    event = session(tmp_path, DATES[-1], 4)
    broken = session(tmp_path, DATES[0], 4)
    (broken / "event.toml").write_text("name = ", encoding="utf-8")
    done = run("faults", event, "--format", "json")
    assert done.code == 1
    assert "is left out" in done.err
    assert json.loads(done.out)["since"] == []


def test_a_kept_plan_is_held_against_the_next_session(tmp_path: Path) -> None:
    before = session(tmp_path, DATES[2], 30)
    done = run("drills", before, "--keep")
    assert done.code == 0, done.err
    assert "Skill block" in done.out or "SKILL BLOCK" in done.out
    kept = (before / "out" / "drills.toml").read_text(encoding="utf-8")
    assert "Ines" not in kept
    assert "27" not in kept.replace("2027", "")
    again = run("drills", before, "--keep")
    assert again.code == 2
    assert "--force writes over it" in again.err
    assert run("drills", before, "--keep", "--force").code == 0
    later = session(tmp_path, DATES[3], 3)
    found = data(later, command="drills")
    planned = found["before"]
    assert isinstance(planned, dict)
    assert planned["date"] == DATES[2]
    assert [one["verdict"] for one in planned["drills"]] == ["fewer"]
    page = run("drills", later).out
    assert "DID IT MOVE?" in page
    assert "now 3 of 43, then 30 of 70" in page
    # Wherever it is told whether it changed, the verdict is the same.
    (change,) = data(later)["since"]
    assert change["says"] == "fewer"
    assert "planned to be drilled is compared by itself" in run("faults", later).out
    told = run("report", later).out
    assert f"drilled after {DATES[2]}: fewer: Front squat: DEPTH\n" in told
    assert "more or less frequent" not in told


def test_a_broken_plan_is_named_and_nothing_is_made_of_it(tmp_path: Path) -> None:
    before = session(tmp_path, DATES[2], 30)
    run("drills", before, "--keep")
    path = before / "out" / "drills.toml"
    text = path.read_text(encoding="utf-8").replace("no-reps = 30", "no-reps = 99")
    path.write_text(text, encoding="utf-8")
    done = run("drills", session(tmp_path, DATES[3], 3), "--format", "json")
    assert done.code == 1
    assert f"{DATES[2]}/out/drills.toml" in done.err
    assert "no-reps are more than attempts" in done.err
    assert json.loads(done.out)["before"] is None


def test_without_faults_there_is_nothing_to_plan_or_keep(tmp_path: Path) -> None:
    event = session(tmp_path, DATES[-1], 0)
    done = run("drills", event, "--keep")
    assert (done.code, "Nothing to plan for" in done.out) == (0, True)
    assert "There is nothing to keep." in done.err
    assert not (event / "out").exists()


@pytest.mark.parametrize("format_", ["table", "markdown", "html", "json"])
def test_drills_print_in_every_format(tmp_path: Path, format_: str) -> None:
    done = run("drills", session(tmp_path, DATES[-1], 9), "--format", format_)
    assert done.code == 0
    assert "DEPTH" in done.out
    assert not any(word in done.out for word in ("nan", "None", "inf "))
