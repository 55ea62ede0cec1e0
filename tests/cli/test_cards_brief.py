"""cards --against and --event, and brief: the standard in force, and what is said."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from tests.cli.running import run
from tests.small_event import write_event


def test_a_card_says_what_changed_since_another_revision(tmp_path: Path) -> None:
    standards = Path(__file__).resolve().parents[2] / "standards"
    text = (standards / "air-squat.toml").read_text(encoding="utf-8")
    old = text.replace('call = "STAND"', 'call = "TALL"').replace(
        "revision = 2", "revision = 1"
    )
    file = tmp_path / "air-squat.toml"
    file.write_text(old, encoding="utf-8")

    done = run(
        "cards", "--against", str(tmp_path / "air-squat.toml"), "--format", "csv"
    )

    assert done.code == 0
    assert done.out.splitlines() == [
        "what,before,now",
        '"fault not-tall, call",TALL,STAND',
    ]
    other = run("cards", "thruster", "--against", file)
    assert "Thruster: from revision 1 to 2" in other.out


def test_a_card_in_force_says_where_each_difference_comes_from(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    with (event / "event.toml").open("a", encoding="utf-8") as file:
        file.write('"wall-ball-shot.line" = "above"\n')
    text = run("cards", "wall-ball-shot", "--event", event).out

    assert "Different here" in text
    assert f"{event}/event.toml:" in text


def test_brief_prints_the_briefing_of_every_workout_that_has_a_heat(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    table = run("brief", event)
    assert (table.code, table.err) == (0, "")
    data = json.loads(run("brief", event, "--format", "json").out)
    names = [brief["workout"] for brief in data["briefings"]]
    assert data["format"] == 1
    assert all(name in table.out for name in names)
    spoken = run("brief", event, "--speak")
    assert "0:00  The workout" in spoken.out
    assert run("brief", event, "--format", "html").out.startswith("<!DOCTYPE html>")
    assert run("brief", event, "--format", "markdown").out.startswith("# ")
    wrong = run("brief", event, "--workout", "nothing")
    assert wrong.code == 2
    assert 'there is no workout "nothing"' in wrong.err


def test_who_is_absent_today_is_not_briefed(tmp_path: Path) -> None:
    event = tmp_path / "event"
    shutil.copytree(Path(__file__).resolve().parents[2] / "demo", event)
    tally = tmp_path / "absent.tally"
    tally.write_text("0:00.0  absent\n", encoding="utf-8")
    assert "019  Amira Solbakk" in run("brief", event).out

    done = run("transcribe", event, "--heat", "1", "--lane", "3", tally)

    assert done.code == 0
    assert "019  Amira Solbakk" not in run("brief", event).out


def test_one_heat_is_briefed_alone_with_a_list_to_tick(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    with (event / "event.toml").open("a", encoding="utf-8") as file:
        file.write('\n[shared]\n"pull-up bar" = 2\n')
    text = run("brief", event, "--heat", "1").out
    assert text.startswith("Quayside\nheat 1, Quayside Saturday")
    assert "Men" not in text
    ticks = [line.split() for line in text.splitlines()]
    assert ["barbell", "20", "kg", "2", "2"] in ticks
    assert ["pull-up", "bar", "–", "2", "1"] in ticks  # noqa: RUF001
    wrong = run("brief", event, "--heat", "9")
    assert wrong.code == 2
    assert 'there is no heat "9"; there is 1, 2' in wrong.err


def test_without_a_terminal_there_is_no_screen_and_never_a_file(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    alone = run("brief", event, "--screen")
    assert alone.code == 2
    assert "judgekit draws its screens on a terminal" in alone.out
    out = tmp_path / "brief.txt"
    both = run("brief", event, "--screen", "--out", out)
    assert both.code == 2
    assert "--screen prints nothing" in both.err
    assert not out.exists()
