"""`judgekit season` as a user runs it, and what it keeps of each event."""

from __future__ import annotations

import csv
import io
import json
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import judged_event, run, tally
from tests.desk.test_beside import event_of_two
from tests.small_event import EVENT, TALLY
from tests.store.making import tamper

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.cli.running import Ran

FORMATS = Path(__file__).parent.parent / "formats"
LANE = ("--heat", "1", "--lane", "1")
OTHER = ("--heat", "1", "--lane", "2")
WORSE = TALLY.replace("no-rep shallow\n", "no-rep shallow\n0:08.5  no-rep shallow\n")
IDS = """\
bib,name,division,reach,id
27,Ines Varga,women,2.10 m,ines
007,Zoé Marr,women,2.05 m,
31,Bo Lindt,men,2.30 m,
"""


def rows(done: Ran) -> list[dict[str, str]]:
    assert done.code == 0, done.err
    return list(csv.DictReader(io.StringIO(done.out, newline=""), strict=True))


def season(folder: Path, *more: str | Path) -> list[dict[str, str]]:
    return rows(run("season", folder, "--format", "csv", *more))


@pytest.fixture
def year(tmp_path: Path) -> Path:
    """A folder with one event that has one lane judged."""
    folder = tmp_path / "year"
    judged_event(folder)
    return folder


def another(year: Path, day: str, text: str = TALLY) -> Path:
    """The same event on another day, judged anew."""
    event = year / f"on-{day}"
    shutil.copytree(year / "event", event, ignore=shutil.ignore_patterns("log", "out"))
    written = (event / "event.toml").read_text(encoding="utf-8")
    (event / "event.toml").write_text(written.replace("2027-05-08", day), "utf-8")
    path = tally(year.parent, text, f"{day}.tally")
    assert run("transcribe", event, path, *LANE).code == 0
    return event


def parquet(event: Path, day: str = "2027-05-08") -> Path:
    return event / "out" / "season" / f"date={day}" / "attempts.parquet"


def test_a_season_of_one_event_says_what_its_fault_table_says(year: Path) -> None:
    same = ("watched", "attempts", "no_reps", "rate", "low", "high", "athletes")
    table = rows(run("faults", year / "event", "--format", "csv"))
    found = season(year)
    assert [[row[key] for key in ("movement", "fault", *same)] for row in found] == [
        [row[key] for key in ("movement", "fault", *same)] for row in table
    ]
    assert len(found) == 1


def test_attempts_are_kept_by_day_and_read_again(year: Path) -> None:
    first = season(year)
    file = parquet(year / "event")
    before = file.stat().st_mtime_ns
    assert season(year) == first
    assert file.stat().st_mtime_ns == before


def test_what_is_kept_follows_a_ruling_and_more_of_the_log(year: Path) -> None:
    before = season(year)
    assert before[0]["no_reps"] == "1"
    ruling = tally(year.parent, "1:30.0 rule restore 0:08.0 video\n", "ruling.tally")
    assert run("transcribe", year / "event", ruling, *LANE).code == 0
    assert season(year) == []
    text = TALLY.replace("no-rep shallow", "no-rep shallow\n0:08.5  no-rep")
    path = tally(year.parent, text, "two.tally")
    assert run("transcribe", year / "event", path, *OTHER).code == 0
    assert [row["fault"] for row in season(year)] == ["no reason given", "shallow"]


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: data[:-9],
        lambda data: data[:99] + bytes([data[99] ^ 1]) + data[100:],
        lambda _: b"",
        lambda _: b"not ours",
    ],
)
def test_a_damaged_or_foreign_file_is_never_believed(
    year: Path, damage: Callable[[bytes], bytes]
) -> None:
    first = season(year)
    for file in (parquet(year / "event"), year / "event" / "out/season/made.json"):
        whole = file.read_bytes()
        file.write_bytes(damage(whole))
        assert season(year) == first
        assert file.read_bytes() == whole


def test_another_events_file_is_never_believed(year: Path) -> None:
    other = another(year, "2027-05-09", WORSE)
    first = season(year)
    mine, theirs = parquet(year / "event"), parquet(other, "2027-05-09")
    whole = mine.read_bytes()
    mine.write_bytes(theirs.read_bytes())
    assert season(year) == first
    assert mine.read_bytes() == whole
    made = year / "event" / "out" / "season" / "made.json"
    made.write_bytes((other / "out" / "season" / "made.json").read_bytes())
    assert season(year) == first


def test_what_is_kept_follows_who_is_who(year: Path) -> None:
    by = ("--by", "athlete")
    assert [row["athlete"] for row in season(year, *by)] == ["Ines Varga"]
    (year / "event" / "people.csv").write_text(IDS, encoding="utf-8")
    another(year, "2027-06-05")
    (row,) = season(year, *by)
    assert (row["athlete"], row["attempts"]) == ("Ines Varga", "20")


def test_people_without_an_id_are_others_in_each_event(year: Path) -> None:
    another(year, "2027-06-05")
    assert [row["attempts"] for row in season(year, "--by", "athlete")] == ["10", "10"]


@pytest.mark.parametrize("what", ["faults", "drills", "cost", "pieces"])
def test_without_ids_it_is_said_once_what_to_do(year: Path, what: str) -> None:
    other = another(year, "2027-06-05", WORSE)
    told = run("season", year, what).out
    assert " ".join(told.split()).count("(2 here). Give each an id there") == 1
    for event in (year / "event", other):
        (event / "people.csv").write_text(IDS, encoding="utf-8")
    assert "people.csv" not in run("season", year, what).out


def test_drills_call_a_name_once_and_data_tells_who_is_meant(year: Path) -> None:
    another(year, "2027-06-05", WORSE)
    assert run("season", year, "drills").out.count("Ines Varga") == 1
    done = run("season", year, "drills", "--format", "json")
    (drill,) = json.loads(done.out)["drills"]
    event = "bib:27 Quayside Saturday"
    assert drill["who"] == [f"{event} 2027-06-05", f"{event} 2027-05-08"]
    assert drill["names"] == ["Ines Varga", "Ines Varga"]


@pytest.mark.parametrize("what", ["pieces", "cost"])
def test_by_athlete_data_tells_who_is_meant(year: Path, what: str) -> None:
    another(year, "2027-06-05")
    by = ("--by", "athlete,movement")
    event = "bib:27 Quayside Saturday"
    told = {(row["athlete"], row["athlete_id"]) for row in season(year, what, *by)}
    assert told == {
        ("Ines Varga", f"{event} {day}") for day in ("2027-05-08", "2027-06-05")
    }
    done = run("season", year, what, *by, "--format", "json")
    (first, *_) = json.loads(done.out)["rows"]
    assert first["athlete_id"].startswith(event)
    shown = run("season", year, what, *by).out
    assert "bib:" not in shown
    for day in ("2027-05-08", "2027-06-05"):
        assert f"Ines Varga (27 Quayside Saturday {day})" in shown


def test_judges_are_told_by_name_and_by_both_where_events_differ(year: Path) -> None:
    other = another(year, "2027-06-05")
    by = ("season", year, "--by", "judge")
    assert "Kim Brandt" in run(*by).out
    file = other / "event.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("Kim Brandt", "Kira Boll"), encoding="utf-8")
    assert "Kim Brandt or Kira Boll" in run(*by).out
    file.write_text("no", encoding="utf-8")
    told = run(*by).out
    assert "Kim Brandt" in told
    assert "Kira" not in told
    assert [row["judge"] for row in season(year, *by[2:])] == ["kb"]


def test_one_event_without_ids_says_the_same_of_each_member_of_a_team(
    tmp_path: Path,
) -> None:
    event = tmp_path / "year" / "event"
    shutil.copytree(FORMATS, event)
    # A relay, a team whose judge did not say who worked, and a lane of somebody's own.
    for heat, workout in (("22", "baton"), ("24", "in-step"), ("11", "ferry")):
        path = event / "tallies" / f"{workout}.tally"
        done = run("transcribe", event, path, "--heat", heat, "--lane", "1")
        assert done.code == 0, done.err
    counts = ("watched", "attempts", "no_reps", "rate", "of_athletes")
    bibs = {"Runa Halvard": "11", "Tilde Akers": "12"}
    by_bib = rows(run("faults", event, "--by", "athlete", "--format", "csv"))
    by_id = season(tmp_path / "year", "--by", "athlete")
    told = {(row["athlete"], *(row[key] for key in counts)) for row in by_bib}
    assert told == {
        (bibs.get(row["athlete"], row["athlete"]), *(row[key] for key in counts))
        for row in by_id
    }
    assert {who for who, *_ in told} == {"11", "12", "Heron"}


def test_a_team_is_asked_for_no_id(tmp_path: Path) -> None:
    year = tmp_path / "year"
    for name in ("may", "june"):
        event = event_of_two(year / name).folder
        people = (
            "bib,name,division,team,id\n"
            "27,Ines Varga,women,Heron,ines\n007,Zoé Marr,women,Heron,zoe\n"
        )
        (event / "people.csv").write_text(people, encoding="utf-8")
        if name == "june":
            text = EVENT.replace("2027-05-08", "2027-06-05")
            (event / "event.toml").write_text(text, encoding="utf-8")
        path = tally(tmp_path, TALLY)
        assert run("transcribe", event, path, *LANE).code == 0
    done = run("season", year, "--by", "athlete")
    assert done.code == 0
    assert "people.csv" not in done.out
    whose = {row["athlete_id"] for row in season(year, "--by", "athlete")}
    assert whose == {
        f"team:Heron Quayside Saturday {day}" for day in ("2027-05-08", "2027-06-05")
    }


def test_a_copied_event_counts_once_and_the_copy_that_tells_most(year: Path) -> None:
    first = season(year)
    copy = year / "copy"
    shutil.copytree(year / "event", copy)
    assert season(year) == first
    done = run("season", year)
    said = "1 lane is a copy of another event's, and counted there"
    assert (done.code, done.err) == (0, f'"event", 2027-05-08: {said}\n')
    path = tally(year.parent, WORSE, "two.tally")
    assert run("transcribe", copy, path, *OTHER).code == 0
    (row,) = season(year)
    assert (row["no_reps"], row["athletes"]) == ("3", "2")
    ruling = tally(year.parent, "1:30.0 rule restore 0:08.0 video\n", "ruling.tally")
    assert run("transcribe", year / "event", ruling, *LANE).code == 0
    (row,) = season(year)
    assert (row["no_reps"], row["athletes"]) == ("2", "1")


def test_a_copy_with_another_run_of_a_lane_counts_once(year: Path) -> None:
    copy = year / "copy"
    shutil.copytree(year / "event", copy)
    path = tally(year.parent, WORSE, "two.tally")
    assert run("transcribe", copy, path, *LANE, "--again", "no bar").code == 0
    ruling = tally(year.parent, "0:00 rule run 2 no bar\n", "ruling.tally")
    assert run("transcribe", copy, ruling, *LANE).code == 0
    (row,) = season(year)
    assert (row["no_reps"], row["athletes"]) == ("2", "1")


def test_days_from_and_to(year: Path) -> None:
    another(year, "2027-06-05")
    by = ("--by", "date")
    days = ["2027-05-08", "2027-06-05"]
    assert sorted(row["date"] for row in season(year, *by)) == days
    for option, day in zip(("--to", "--from"), days, strict=True):
        assert [row["date"] for row in season(year, *by, option, day)] == [day]
    nothing = run("season", year, "--from", "2028-01-01")
    assert nothing.code == 0
    assert "No event has a log in that time." in nothing.out


def test_what_comes_again_stands_on_top_month_by_month(year: Path) -> None:
    for day in ("2027-06-05", "2027-06-12"):
        another(year, day)
    text = run("season", year).out
    assert text.startswith("Faults that come again\n")
    whole = json.loads(run("season", year, "--format", "json").out)
    (again,) = whole["recurring"]
    assert (again["days_seen"], again["of_days"]) == (3, 3)
    assert [(m["month"], m["attempts"], m["no_reps"]) for m in whole["months"]] == [
        ("2027-05", 6, 1),
        ("2027-06", 12, 2),
    ]
    assert (whole["total"]["attempts"], whole["total"]["no_reps"]) == (30, 3)
    assert {row["note"] for row in whole["rows"]} == {"few attempts"}


@pytest.mark.parametrize("in_the_middle", [True, False])
def test_a_damaged_log_is_said_each_time_and_what_stands_counts(
    year: Path, *, in_the_middle: bool
) -> None:
    event = another(year, "2027-06-05")
    [book] = (event / "log").glob("*.sqlite")
    if in_the_middle:
        tamper(book, "UPDATE entry SET data = x'00' WHERE number = 9")
    else:
        book.write_bytes(book.read_bytes()[:4096])
    for _ in range(2):
        done = run("season", year, "--format", "csv")
        assert done.code == 1
        assert book.name in done.err
        assert "shallow" in done.out


def test_a_log_that_is_whole_again_is_read_again(year: Path) -> None:
    first = season(year)
    [book] = (year / "event" / "log").glob("*.sqlite")
    whole = book.read_bytes()
    tamper(book, "UPDATE entry SET data = x'00' WHERE number = 9")
    (year / "event" / "out" / "season" / "made.json").unlink()
    assert run("season", year).code == 1
    book.write_bytes(whole)
    assert season(year) == first


def test_an_event_that_cannot_be_read_is_left_out_and_said(year: Path) -> None:
    event = another(year, "2027-06-05")
    (event / "people.csv").write_text("bib\n", encoding="utf-8")
    done = run("season", year, "--by", "date", "--format", "csv")
    assert done.code == 1
    assert f"{event} is left out: {event}/people.csv:1: " in done.err
    assert "2027-06-05" not in done.out


def test_a_day_that_an_event_has_no_more_is_not_kept(year: Path) -> None:
    season(year)
    old = parquet(year / "event", "2020-01-01")
    old.parent.mkdir()
    old.write_bytes(parquet(year / "event").read_bytes())
    (year / "event" / "people.csv").write_text(IDS, encoding="utf-8")
    season(year)
    assert not old.parent.exists()


def test_nothing_private_and_no_other_name_than_shown_is_kept(year: Path) -> None:
    people = IDS.replace(",id\n", ",id,private,show\n").replace(
        "ines\n", "ines,sore knee,initials\n"
    )
    people = people.replace("2.05 m,\n", "2.05 m,,,\n").replace(
        "2.30 m,\n", "2.30 m,,,\n"
    )
    (year / "event" / "people.csv").write_text(people, encoding="utf-8")
    event = another(year, "2027-06-05")
    for format_ in ("table", "json", "csv", "html", "markdown"):
        done = run("season", year, "--by", "athlete", "--format", format_)
        assert done.code == 0
        assert "sore" not in done.out
    assert [row["athlete"] for row in season(year, "--by", "athlete")] == ["I. V."]
    for file in (event / "out").rglob("*.*"):
        assert b"sore" not in file.read_bytes()
        assert b"Varga" not in file.read_bytes()


def test_what_cannot_be_is_said(year: Path) -> None:
    for asked, says in (
        (("--by", "colour"), 'there is no word for --by "colour"; there is movement'),
        (("--from", "May"), '"May" is not a day such as 2027-05-08'),
    ):
        done = run("season", year, *asked)
        assert (done.code, done.out) == (2, "")
        assert says in done.err
    assert run("season", year / "nowhere").code == 2
    done = run("season", year / "event")
    assert (done.code, done.out) == (2, "")
    assert "is an event; give the folder it lies in" in done.err


def test_without_what_counts_over_a_season_it_says_how_to_install_it(
    year: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = ("judgekit.store.season", "judgekit.cli.season")
    for name in [name for name in sys.modules if name.startswith(made)]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "polars", None)
    done = run("season", year)
    assert (done.code, done.out) == (2, "")
    assert "pip install 'judgekit[season]'" in done.err


SWAPPED = """\
0:00.0  go
0:02.0  works 21
0:04.0  rep
0:07.0  no-rep
0:41.0  is Heron
0:42.0  works 12
0:46.0  rep
3:00.0  time
3:20.0  accept athlete
3:21.0  accept judge
"""


@pytest.mark.parametrize(
    ("row", "who", "name"),
    [
        ("21,Jorin Vasker,men,,", "bib:21 Ropewalk Trials 2027-06-12", "Jorin Vasker"),
        ("21,Jorin Vasker,men,jo,number", "id:jo", "21"),
        ("11,Runa Halvard,women,,", "bib:21 Ropewalk Trials 2027-06-12", "21"),
    ],
)
def test_who_worked_before_the_lane_was_another_teams_is_still_themselves(
    tmp_path: Path, row: str, who: str, name: str
) -> None:
    event = tmp_path / "year" / "event"
    shutil.copytree(FORMATS, event)
    path = tally(tmp_path, SWAPPED)
    assert run("transcribe", event, path, "--heat", "23", "--lane", "1").code == 0
    people = f"bib,name,division,id,show\n{row}\n"
    (event / "people.csv").write_text(people, encoding="utf-8")
    found = season(event.parent, "--by", "athlete")
    assert (name, who, "1") in {
        (row["athlete"], row["athlete_id"], row["no_reps"]) for row in found
    }
