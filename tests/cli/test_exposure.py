"""`judgekit exposure` on an event with others beside it, and the choice after it."""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path

import pytest

from tests.cli.running import run, tally
from tests.small_event import EVENT, PEOPLE, TALLY, WORKOUT, write_event
from tests.store.making import tamper

IDS = """\
bib,name,division,id,private
27,Ines Varga,women,ines,a sore wrist
007,Zoé Marr,women,,
31,Bo Lindt,men,bo,
"""


def make(
    folder: Path, day: str, *, zone: str = "Europe/Berlin", people: str = IDS
) -> Path:
    """The small event on another day; forty toes-to-bar are planned today."""
    event = write_event(folder)
    text = EVENT.replace("2027-05-08", day).replace("Europe/Berlin", zone)
    (event / "event.toml").write_text(text, encoding="utf-8")
    (event / "people.csv").write_text(people, encoding="utf-8")
    return event


def judge(event: Path, text: str = TALLY, heat: str = "1", lane: str = "1") -> None:
    path = tally(event.parent, text, f"{event.name}-{heat}-{lane}.tally")
    done = run("transcribe", event, path, "--heat", heat, "--lane", lane)
    assert done.code == 0, done.err


@pytest.fixture
def today(tmp_path: Path) -> Path:
    """Forty toes-to-bar are planned; before: 7, 28 and 57 days ago, four each."""
    event = make(tmp_path / "today", "2027-05-08")
    (event / "workouts" / "quayside.toml").write_text(
        WORKOUT.replace("reps = 2\n", "reps = 20\n"), encoding="utf-8"
    )
    swapped = IDS.replace("27,Ines", "x,Ines").replace("31,Bo", "27,Bo")
    swapped = swapped.replace("x,Ines", "31,Ines")
    judge(make(tmp_path / "a-week-ago", "2027-05-01"))
    judge(
        make(tmp_path / "four-weeks-ago", "2027-04-10", people=swapped),
        heat="2",
    )
    judge(make(tmp_path / "long-ago", "2027-03-12"))
    return event


def rows(event: Path, *options: str | Path) -> dict[tuple[str, str], dict[str, str]]:
    done = run("exposure", event, *options, "--format", "csv")
    assert (done.code, done.err) == (0, "")
    return {
        (row["bib"], row["card"]): row for row in csv.DictReader(io.StringIO(done.out))
    }


def sessions(row: dict[str, str]) -> tuple[str, ...]:
    return tuple(row[f"sessions_{days}"] for days in (7, 28, 56))


def test_people_are_joined_by_id_whatever_their_bibs_were(today: Path) -> None:
    found = rows(today)
    assert sorted(found) == sorted(
        (bib, card)
        for bib in ("27", "007", "31")
        for card in ("front-squat", "toes-to-bar")
    )
    ines = found["27", "toes-to-bar"]
    assert sessions(ines) == ("1", "2", "2")
    assert (ines["planned"], ines["most_28"], ines["total_28"]) == ("40", "4", "8")
    assert (ines["attempts_28"], ines["no_reps_28"]) == ("8", "0")
    assert ines["advice"] == (
        "little exposure: planned 40, most in one session 4 (28 days)"
    )
    squats = found["27", "front-squat"]
    assert (squats["attempts_7"], squats["no_reps_7"], squats["rate_7"]) == (
        *("6", "1"),
        "0.1667",
    )
    assert squats["advice"] == ""
    assert found["31", "toes-to-bar"]["advice"] == (
        "no exposure: planned 40, none in 56 days"
    )
    assert found["007", "toes-to-bar"]["advice"] == (
        "no exposure known without an id: planned 40"
    )


def test_days_are_those_of_each_event_s_own_zone(tmp_path: Path) -> None:
    """Seven calendar days by the date on both walls, more than that by the clock."""
    event = make(tmp_path / "today", "2027-05-08", zone="Pacific/Honolulu")
    judge(make(tmp_path / "west", "2027-05-01", zone="Pacific/Auckland"))
    assert sessions(rows(event)["27", "toes-to-bar"]) == ("1", "1", "1")


def test_a_copy_of_an_event_s_folder_counts_nothing_twice(
    today: Path, tmp_path: Path
) -> None:
    before = rows(today)
    shutil.copytree(tmp_path / "a-week-ago", tmp_path / "a-week-ago-copy")
    shutil.copytree(today, tmp_path / "today-copy")
    assert rows(today) == before


def test_of_a_damaged_folder_and_its_copy_the_whole_one_counts(
    today: Path, tmp_path: Path
) -> None:
    before = rows(today)
    week = tmp_path / "a-week-ago"
    for copy in ("a", "z"):
        shutil.copytree(week, tmp_path / copy)
        (book,) = (tmp_path / copy / "log").glob("*.sqlite")
        tamper(book, "UPDATE entry SET data = x'00' WHERE number = 9")
    done = run("exposure", today, "--format", "csv")
    assert done.code == 1
    assert [line.split(":")[0] for line in done.err.splitlines()] == [
        str(tmp_path / "a"),
        str(tmp_path / "z"),
    ]
    assert list(csv.DictReader(io.StringIO(done.out))) == list(before.values())


def test_whoever_is_absent_today_has_nothing_planned(today: Path) -> None:
    judge(today, "0:00  absent\n")
    assert {bib for bib, _ in rows(today)} == {"007", "31"}


def test_of_another_folder_s_events_those_of_the_last_56_days_are_read(
    today: Path, tmp_path: Path
) -> None:
    done = run("exposure", today, "--format", "json")
    data = json.loads(done.out)
    assert (data["events"], data["of_events"]) == (2, 3)
    old = tmp_path / "old"
    old.mkdir()
    shutil.move(tmp_path / "a-week-ago", old / "a-week-ago")
    found = rows(today, "--history", old)
    assert sessions(found["27", "toes-to-bar"]) == ("1", "1", "1")


def test_a_day_before_at_the_same_event_is_past_too(tmp_path: Path) -> None:
    event = make(tmp_path / "today", "2027-05-08")
    (event / "heats.csv").write_text(
        "heat,start,workout,lane,bib,judge,date\n"
        "1,10:00,quayside,1,27,kb,2027-05-07\n"
        "2,10:00,quayside,1,007,kb,2027-05-07\n"
        "3,10:00,quayside,1,27,kb,2027-05-08\n"
        "4,10:00,quayside,1,007,kb,2027-05-08\n",
        encoding="utf-8",
    )
    judge(event)
    judge(event, heat="2")
    found = rows(event, "--heat", "3")
    assert list(found) == [("27", "front-squat"), ("27", "toes-to-bar")]
    assert found["27", "toes-to-bar"]["date"] == "2027-05-08"
    assert sessions(found["27", "toes-to-bar"]) == ("1", "1", "1")
    # Within one event the bib is enough.
    assert sessions(rows(event, "--heat", "4")["007", "toes-to-bar"]) == (
        *("1", "1", "1"),
    )


@pytest.mark.parametrize("format_", ["table", "json", "markdown", "html"])
def test_a_briefing_tells_the_coach_of_stops_and_no_paper(
    today: Path, tmp_path: Path, format_: str
) -> None:
    week = make(tmp_path / "this-week", "2027-05-03")
    judge(week, "0:00  go\n0:03  rep\n0:05  stop dizzy\n")
    told = run("brief", today, "--format", format_)
    assert told.code == 0
    assert told.err == (
        "For the coach, not for the wall: 27 Ines Varga: stopped 5 days ago "
        "(2027-05-03), Front squat: dizzy\n"
    )
    for kept in ("dizzy", "stopped 5", "2027-05-03", "a sore wrist"):
        assert kept not in told.out
    # Nobody of the other heat was stopped, nor of the one before last.
    assert run("brief", today, "--heat", "2").err == ""
    assert "dizzy" in run("brief", today, "--heat", "1", "--speak").err


def test_a_stop_is_told_for_those_who_go_today(today: Path, tmp_path: Path) -> None:
    week = make(tmp_path / "five-days-ago", "2027-05-03")
    judge(week, "0:00  go\n0:03  rep\n0:05  stop dizzy\n")
    done = run("exposure", today)
    assert "27 Ines Varga: stopped 5 days ago (2027-05-03), Front squat: dizzy" in (
        done.out
    )
    assert "stopped" not in run("exposure", today, "--heat", "2").out
    (stop,) = json.loads(run("exposure", today, "--format", "json").out)["stops"]
    assert (stop["bib"], stop["sign"]) == ("27", "dizzy")


def test_what_cannot_be_read_is_named_and_the_rest_is_told(
    today: Path, tmp_path: Path
) -> None:
    (tmp_path / "long-ago" / "people.csv").write_text("bib\n1\n", encoding="utf-8")
    (book,) = (tmp_path / "a-week-ago" / "log").glob("*.sqlite")
    tamper(book, "UPDATE entry SET data = x'00' WHERE number = 9")
    people = tmp_path / "four-weeks-ago" / "people.csv"
    text = people.read_text(encoding="utf-8").replace("31,Ines", "99,Ines")
    people.write_text(text, encoding="utf-8")

    done = run("exposure", today, "--format", "csv")

    assert done.code == 1
    said = done.err.replace(f"{tmp_path}/", "").splitlines()
    assert [line.split(":")[0] for line in said] == [
        "a-week-ago",
        "four-weeks-ago",
        "long-ago is left out",
    ]
    assert "entry 9" in said[0]
    assert said[1] == (
        'four-weeks-ago: heat 2, lane 1 is left out: people.csv has no bib "31"'
    )
    found = {
        (row["bib"], row["card"]): row for row in csv.DictReader(io.StringIO(done.out))
    }
    # Entries up to the eighth stand: three squats, a no-rep, two toes-to-bar.
    assert found["27", "toes-to-bar"]["total_56"] == "2"


def test_a_broken_event_is_no_basis_for_advice(today: Path) -> None:
    (today / "people.csv").write_text(PEOPLE.replace("women", "girls"))
    done = run("exposure", today)
    assert (done.code, done.out) == (2, "")
    assert "people.csv:2" in done.err


@pytest.mark.parametrize("format_", ["table", "csv", "json", "markdown", "html"])
def test_nothing_private_is_in_any_format(today: Path, format_: str) -> None:
    done = run("exposure", today, "--format", format_)
    assert done.code == 0
    assert "little exposure: planned 40, most in one session 4" in done.out.replace(
        "\\", ""
    )
    assert "wrist" not in done.out


def test_a_file_is_written_and_never_over_another(today: Path, tmp_path: Path) -> None:
    out = tmp_path / "exposure.html"
    assert run("exposure", today, "--format", "html", "--out", out).code == 0
    page = out.read_text(encoding="utf-8")
    assert page.startswith("<!DOCTYPE html>")
    again = run("exposure", today, "--format", "html", "--out", out)
    assert again.code == 2
    assert "--force writes over it" in again.err


def test_an_unknown_workout_heat_or_history_is_refused_in_words(
    today: Path, tmp_path: Path
) -> None:
    for options, says in (
        (("--workout", "none"), 'there is no workout "none"; there is quayside'),
        (("--heat", "9"), 'there is no heat "9"; there is 1, 2'),
        (("--history", tmp_path / "none"), "give a folder that holds event folders"),
    ):
        done = run("exposure", today, *options)
        assert (done.code, done.out) == (2, "")
        assert says in done.err


def test_the_choice_is_planned_from_then_on(today: Path) -> None:
    """From the listing, to the choice, to what is planned, to the score."""
    listed = run("exposure", today, "--workout", "quayside", "--heat", "1").out
    assert "or hanging-knee-raise" in listed
    assert f"judgekit scale {today} --heat H --lane L CARD --as OTHER" in listed
    chosen = run(
        *("scale", today, "--heat", "1", "--lane", "1", "toes-to-bar"),
        *("--as", "hanging-knee-raise", "--reps", "5", "--why", "little exposure"),
    )
    assert chosen.code == 0
    found = rows(today)
    assert ("27", "toes-to-bar") not in found
    instead = found["27", "hanging-knee-raise"]
    assert (instead["instead_of"], instead["planned"]) == ("Toes-to-bar", "10")
    # Its own card has no caution, and Bo's choice is still to be made.
    assert instead["advice"] == ""
    assert found["31", "toes-to-bar"]["planned"] == "40"


def test_every_format_has_a_planned_volume(tmp_path: Path) -> None:
    """As many as can be done in a time is what fits at the card's ordinary pace."""
    event = tmp_path / "formats"
    shutil.copytree(Path(__file__).parents[1] / "formats", event)
    shown = json.loads(run("exposure", event, "--format", "json").out)
    rows = shown["rows"]
    assert rows
    assert all(row["planned"] > 0 for row in rows if row["unit"] != "seconds")


TEAM = IDS.replace(",id,private", ",id,team").replace("ines,a sore wrist", "ines,Heron")
TEAM = TEAM.replace("women,,", "women,zoe,Heron").replace("men,bo,", "men,bo,Otter")


def a_team_event(folder: Path, day: str) -> Path:
    """Lane 1 has a team of two, who share twice two toes-to-bar and more."""
    event = make(folder, day, people=TEAM)
    shared = WORKOUT.replace(
        "[[part]]", '[team]\nsize = 2\nhow = "shared"\n\n[[part]]', 1
    )
    (event / "workouts" / "quayside.toml").write_text(shared, encoding="utf-8")
    (event / "heats.csv").write_text(
        "heat,start,workout,lane,bib,judge\n1,10:00,quayside,1,Heron,kb\n",
        encoding="utf-8",
    )
    return event


def test_members_of_a_team_have_rows_of_their_own(tmp_path: Path) -> None:
    judge(a_team_event(tmp_path / "before", "2027-05-01"))
    found = rows(a_team_event(tmp_path / "today", "2027-05-08"))
    # Four toes-to-bar are two for each, today and a week ago.
    assert {key[0] for key in found} == {"27", "007"}
    for bib, name in (("27", "Ines Varga"), ("007", "Zoé Marr")):
        row = found[bib, "toes-to-bar"]
        assert (row["name"], row["planned"], row["total_7"]) == (name, "2", "2")
    done = run("exposure", tmp_path / "today")
    assert "no bib" not in done.err
