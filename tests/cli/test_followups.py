"""`judgekit followups`: who is due, from when, and until somebody spoke with them."""

from __future__ import annotations

import csv
import io
import shutil
from typing import TYPE_CHECKING

from judgekit.reports.followups import followup_table, followup_text
from tests.cli.running import run, tally
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from tests.cli.running import Ran

STOPPED = """\
0:00.0  go
0:03.0  rep
0:06.0  stop knee hurts
0:20.0  go-on by Kim Brandt
10:00.0 time
"""
ERROR = """\
0:00.0  go
0:03.0  rep
0:06.0  stop
0:08.0  go-on mistake
10:00.0 time
"""


def transcribed(folder: Path, text: str) -> Path:
    event = write_event(folder)
    path = tally(folder, text)
    done = run("transcribe", event, path, "--heat", "1", "--lane", "1")
    assert (done.code, done.out) == (0, ""), done.err
    return event


def rows(event: Path, today: str) -> list[tuple[str, ...]]:
    shown = run("followups", event, "--today", today, "--format", "csv")
    assert shown.code == 0, shown.err
    found = csv.DictReader(io.StringIO(shown.out))
    return [(r["when"], r["due"], r["bib"], r["lane"], r["why"]) for r in found]


def of_stops(event: Path, today: str) -> list[str]:
    return [row[0] for row in rows(event, today) if row[4].startswith("stopped")]


def test_a_stop_is_due_the_day_after_for_two_weeks(tmp_path: Path) -> None:
    event = transcribed(tmp_path / "event", STOPPED)
    why = "stopped at front squat on 2027-05-08: knee hurts"
    assert ("today", "2027-05-09", "27", "1", why) in rows(event, "2027-05-09")
    assert of_stops(event, "2027-05-07") == []
    assert of_stops(event, "2027-05-08") == ["tomorrow"]
    assert of_stops(event, "2027-05-12") == ["3 days late"]
    assert of_stops(event, "2027-05-23") == ["14 days late"]
    assert of_stops(event, "2027-05-24") == []


def test_of_one_day_they_stand_by_name_and_an_accent_moves_nobody(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    people = event / "people.csv"
    text = people.read_text("utf-8").replace("Ines Varga", "Eva Varga")
    people.write_text(text.replace("Zoé", "Émile"), encoding="utf-8")
    path = tally(event, STOPPED)
    for lane in ("1", "2"):
        done = run("transcribe", event, path, "--heat", "1", "--lane", lane)
        assert done.code == 0, done.err
    assert [row[2] for row in rows(event, "2027-05-09")] == ["007", "27"]
    told = run("followups", event, "--today", "2027-05-11").out
    assert "Not looked at for volume: Émile Marr, Eva Varga; without an id" in told


def test_a_stop_by_mistake_is_nobodys(tmp_path: Path) -> None:
    event = transcribed(tmp_path / "event", ERROR)
    assert of_stops(event, "2027-05-09") == []


def test_an_unused_volume_with_a_caution_is_due_on_day_three(tmp_path: Path) -> None:
    event = transcribed(tmp_path / "event", TALLY)
    assert rows(event, "2027-05-11") == []
    told = run("followups", event, "--today", "2027-05-11").out
    assert "Not looked at for volume: Ines Varga; without an id" in told
    people = event / "people.csv"
    text = people.read_text(encoding="utf-8")
    text = text.replace("division,reach", "division,id").replace("2.10 m", "ines")
    people.write_text(text, encoding="utf-8")
    assert rows(event, "2027-05-11") == [
        (
            "today",
            "2027-05-11",
            "27",
            "1",
            "2027-05-08: toes-to-bar, no exposure: planned 4, none in 56 days",
        )
    ]


def test_what_was_spoken_about_is_listed_no_more(tmp_path: Path) -> None:
    event = transcribed(tmp_path / "event", STOPPED)

    def noted(bib: str) -> Ran:
        return run("followups", event, "--done", bib, "--says", "fine", *today)

    today = ("--today", "2027-05-09")
    assert noted("31").code == 2
    done = noted("27")
    assert (done.code, done.err) == (0, "heat 1, lane 1, bib 27: noted\n")
    assert of_stops(event, "2027-05-09") == []
    assert run("log", "verify", event).code == 0
    card = run("scorecard", event, "--heat", "1", "--lane", "1").out
    assert "fine" not in card
    assert "amended" not in card
    assert "followed-up" in run("log", "show", event, "--heat", "1").out


def test_a_day_that_is_none_cannot_be_used(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    done = run("followups", event, "--today", "soon")
    assert (done.code, "is no day" in done.err) == (2, True)


def test_events_beside_it_are_read_too(tmp_path: Path) -> None:
    transcribed(tmp_path / "before", STOPPED)
    event = write_event(tmp_path / "later")
    found = [row for row in rows(event, "2027-05-09") if row[4].startswith("stopped")]
    assert [row[2] for row in found] == ["27"]


def test_a_copied_folder_tells_nothing_new(tmp_path: Path) -> None:
    event = transcribed(tmp_path / "event", STOPPED)
    shutil.copytree(event, tmp_path / "copy")
    assert of_stops(event, "2027-05-09") == ["today"]


def test_members_of_a_team_are_each_spoken_with(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    (event / "people.csv").write_text(
        "bib,name,division,team,id\n27,Ines Varga,women,Heron,ines\n"
        "28,Lu Sand,women,Heron,lu\n",
        encoding="utf-8",
    )
    (event / "heats.csv").write_text(
        "heat,start,workout,lane,bib,judge\n1,10:00,quayside,1,Heron,kb\n",
        encoding="utf-8",
    )
    workout = event / "workouts" / "quayside.toml"
    text = workout.read_text(encoding="utf-8")
    team = '[team]\nsize = 2\nhow = "shared"\n'
    workout.write_text(f"{text}\n{team}", encoding="utf-8")
    path = tally(tmp_path, TALLY)
    run("transcribe", event, path, "--heat", "1", "--lane", "1")
    assert [row[2] for row in rows(event, "2027-05-11")] == ["27", "28"]
    run("followups", event, "--done", "27", "--today", "2027-05-11")
    assert [row[2] for row in rows(event, "2027-05-11")] == ["28"]


def test_a_lane_that_is_no_more_in_the_list_is_named(tmp_path: Path) -> None:
    event = transcribed(tmp_path / "event", STOPPED)
    heats = event / "heats.csv"
    text = heats.read_text(encoding="utf-8").replace("quayside,1,27", "quayside,4,27")
    heats.write_text(text, encoding="utf-8")
    done = run("followups", event, "--today", "2027-05-09", "--done", "27")
    assert (done.code, "has no lane 1" in done.err) == (2, True)


def test_a_stop_among_reported_sets_is_at_the_set_under_way(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    text = (event / "event.toml").read_text(encoding="utf-8")
    text = f'{text}watching = "reported"\n'
    (event / "event.toml").write_text(text, encoding="utf-8")
    told = "0:00.0 go\n0:20.0 set-reported\n0:30.0 stop pale\n10:00.0 time\n"
    path = tally(tmp_path, told)
    done = run("transcribe", event, path, "--heat", "1", "--lane", "1")
    assert done.code == 0, done.err
    found = [row[4] for row in rows(event, "2027-05-09")]
    assert "stopped at toes-to-bar on 2027-05-08: pale" in found


def test_no_reason_is_cut_in_a_narrow_terminal(tmp_path: Path) -> None:
    event = transcribed(tmp_path / "event", STOPPED)
    table = followup_table("Quayside", (), ("Ana",), 739015)
    head = "Quayside: to be spoken with, 2024-05-09\n\nNobody.\n"
    assert followup_text(table, 60).startswith(head)
    shown = run("followups", event, "--today", "2027-05-09").out
    assert (
        "today         27 Ines Varga, Quayside Saturday, heat 1, lane 1\n"
        "              stopped at front squat on 2027-05-08: knee hurts\n"
    ) in shown
