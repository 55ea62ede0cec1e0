"""`judgekit results`: by name, all decided first, and marked as reported."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

from click.testing import CliRunner

from judgekit.cli.main import cli
from judgekit.core.entry import NoRep, Rep
from judgekit.files.folder import load_event
from tests.cli.running import judged_event, run, tally
from tests.desk.test_results import held
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path

NAMES = [f"{n},{name},women" for n, name in enumerate(("Ana Ruiz", "Ana Berg"), 1)]
HEAT = ("--heat", "1")


def event_of(tmp_path: Path) -> Path:
    """Two of the name Ana, Zoé Marr and Bo Lindt in one heat."""
    event = write_event(tmp_path / "event")
    people = ["bib,name,division", *NAMES, "007,Zoé Marr,women", "31,Bo Lindt,men"]
    (event / "people.csv").write_text("\n".join(people) + "\n", encoding="utf-8")
    rows = [
        f"1,10:00,quayside,{lane},{bib},kb"
        for lane, bib in enumerate(("1", "2", "007", "31"), 1)
    ]
    heats = "\n".join(["heat,start,workout,lane,bib,judge", *rows])
    (event / "heats.csv").write_text(heats + "\n", encoding="utf-8")
    return event


def standings(event: Path) -> dict[str, dict[str, str]]:
    rows = csv.DictReader(io.StringIO(run("standings", event, "--format", "csv").out))
    return {row["bib"]: row for row in rows}


def test_results_by_name_bib_and_part_of_a_name_are_in_the_standings(
    tmp_path: Path,
) -> None:
    event = event_of(tmp_path)
    lines = ("Ana Ruiz 7:41", "Berg 8:02.6", "007 8 reps", "# a remark", "bo l: 5:10")
    done = run("results", event, *HEAT, *lines)
    assert (done.code, done.out) == (0, "")
    assert done.err.splitlines() == [
        "heat 1, lane 1, 1 Ana Ruiz: 7:41",
        "heat 1, lane 2, 2 Ana Berg: 8:02",
        "heat 1, lane 3, 007 Zoé Marr: 8 of 9, 1 short",
        "heat 1, lane 4, 31 Bo Lindt: 5:10",
    ]
    found = standings(event)
    assert {bib: (row["rank"], row["score"]) for bib, row in found.items()} == {
        "1": ("1", "7:41"),
        "2": ("2", "8:02"),
        "007": ("3", "8 of 9"),
        "31": ("1", "5:10"),
    }
    assert {(row["watched"], row["status"]) for row in found.values()} == {
        ("reported", "finished, reported, provisional until 10:30"),
        ("reported", "capped, reported, provisional until 10:30"),
    }
    assert run("log", "verify", event).code == 0


def test_a_name_is_found_without_its_accents_if_it_is_the_only_one(
    tmp_path: Path,
) -> None:
    event = event_of(tmp_path)
    people = (event / "people.csv").read_text("utf-8").replace("Ana Berg", "Zoë Berg")
    (event / "people.csv").write_text(people, encoding="utf-8")
    done = run("results", event, *HEAT, "zoe marr 7:41", "ZOË BERG 8:02")
    assert done.err.splitlines() == [
        "heat 1, lane 3, 007 Zoé Marr: 7:41",
        "heat 1, lane 2, 2 Zoë Berg: 8:02",
    ]
    both = run("results", event, *HEAT, "Zoe 7:00")
    assert '"Zoe" may be 2 Zoë Berg, 007 Zoé Marr' in both.err


def test_a_whole_name_as_it_is_written_is_meant_before_one_like_it(
    tmp_path: Path,
) -> None:
    event = event_of(tmp_path)
    people = (event / "people.csv").read_text("utf-8").replace("Ana Berg", "Zoe Marr")
    (event / "people.csv").write_text(people, encoding="utf-8")
    done = run("results", event, *HEAT, "Zoe Marr 7:41", "Zoé Marr 8:00")
    assert done.err.splitlines() == [
        "heat 1, lane 2, 2 Zoe Marr: 7:41",
        "heat 1, lane 3, 007 Zoé Marr: 8:00",
    ]
    none = run("results", event, *HEAT, "Zoë Marr 7:41")
    assert '"Zoë Marr" may be 2 Zoe Marr, 007 Zoé Marr' in none.err


def test_every_bad_line_is_named_and_nothing_is_written(tmp_path: Path) -> None:
    event = event_of(tmp_path)
    lines = ("Ana 7:41", "Cy 7:41", "Bo", "31 11:00", "Zoé 8", "Marr 7:00", "1 80 kg")
    done = run("results", event, *HEAT, *lines)
    assert done.code == 2
    forms = "7:41, 5+8, 132 reps, 54 calories, 4 rounds or 80 kg"
    everybody = "1 Ana Ruiz, 2 Ana Berg, 007 Zoé Marr, 31 Bo Lindt"
    many = "write the bib or more of the name"
    assert done.err.splitlines() == [
        f'line:1: "Ana 7:41": "Ana" may be 1 Ana Ruiz, 2 Ana Berg; {many}',
        f'line:2: "Cy 7:41": nobody in this heat is "Cy"; there is {everybody}',
        f'line:3: "Bo": there is no result; write a name and then {forms}',
        'line:4: "31 11:00": The cap is 10:00: say how many reps were done by then.',
        f'line:5: "Zoé 8": "8" is no result such as {forms}',
        'line:6: "Marr 7:00": 007 Zoé Marr stands in line 5 already',
        'line:7: "1 80 kg": This workout is scored in time: write 7:41.',
    ]
    assert not (event / "log").exists()


def test_lines_come_from_stdin_too(tmp_path: Path) -> None:
    event = event_of(tmp_path)
    args = ["results", str(event), *HEAT]
    done = CliRunner().invoke(
        cli, args, input="# class of eight\n\nBo 5:10\nMarr 6:00\n"
    )
    assert (done.exit_code, done.stdout) == (0, "")
    assert set(standings(event)) == {"1", "2", "007", "31"}
    assert standings(event)["31"]["score"] == "5:10"
    bad = CliRunner().invoke(cli, args, input="\nBo 5:10\n")
    assert bad.stderr.startswith('stdin:2: "Bo 5:10": this lane has its result already')
    nobody = CliRunner().invoke(cli, args, input="\n")
    assert (nobody.exit_code, "at least one result" in nobody.stderr) == (2, True)


def test_a_substitute_stands_with_the_score(tmp_path: Path) -> None:
    event = event_of(tmp_path)
    done = run("results", event, *HEAT, "Bo 5:10 with hanging knee raise")
    assert done.err == ("heat 1, lane 4, 31 Bo Lindt: 5:10 with hanging knee raise\n")
    assert standings(event)["31"]["scaled"] == "with hanging knee raise"
    bad = run("results", event, *HEAT, "Zoé 5:10 with rope climb")
    assert bad.err.startswith(
        'line:1: "Zoé 5:10 with rope climb": "rope climb" is none of the substitutes '
        "here; they are "
    )


def test_another_result_needs_a_reason_and_the_first_stays_in_the_log(
    tmp_path: Path,
) -> None:
    event = event_of(tmp_path)
    assert run("results", event, *HEAT, "Bo 5:10 with hanging knee raise").code == 0
    refused = run("results", event, *HEAT, "Bo 5:20")
    assert refused.code == 2
    assert refused.err == (
        'line:1: "Bo 5:20": this lane has its result already; --again REASON writes it '
        "once more\n"
    )
    again = run("results", event, *HEAT, "Bo 5:20", "--again", "misheard")
    assert again.err == "heat 1, lane 4, 31 Bo Lindt: 5:20 with hanging knee raise\n"
    assert standings(event)["31"]["score"] == "5:20"
    log = run("log", "show", event, "--format", "csv").out
    kinds = [row["kind"] for row in csv.DictReader(io.StringIO(log))]
    assert (kinds.count("result"), kinds.count("take-back")) == (2, 1)
    assert run("log", "verify", event).code == 0


def test_what_was_judged_counts_until_a_ruling_says_otherwise(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    assert run("results", event, *HEAT, "27 0:30").code == 2
    assert run("results", event, *HEAT, "27 0:30", "--again", "she says so").code == 0
    # The one from a tally was no live one: like any later tally this one counts.
    assert standings(event)["27"]["score"] == "0:30"
    card = run("scorecard", event, *HEAT, "--lane", "1").out
    assert "run 2 of 2: she says so; as reported" in card


def test_beside_a_lane_judged_live_it_is_said_what_counts(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    held(load_event(event), [Rep(), Rep(), NoRep(faults=("shallow",))])
    refused = run("results", event, *HEAT, "Ines 7:41")
    assert refused.code == 2
    assert refused.err == (
        'line:1: "Ines 7:41": 27 Ines Varga was judged until 0:08; --again REASON '
        "writes this beside it, to count only by a ruling\n"
    )
    done = run("results", event, *HEAT, "Ines 7:41", "Zoé 8:00", "--again", "left")
    assert done.code == 0
    assert done.err == (
        "heat 1, lane 1, 27 Ines Varga: judged until 0:08, not to the end: 2 of 9, 7 "
        "short. That counts. 7:41 stands beside it as run 2, and counts only by a "
        "ruling.\n"
        "heat 1, lane 2, 007 Zoé Marr: 8:00\n"
        'A ruling makes it count in lane 1: "0:00 rule run 2 WHY" as a tally\'s line, '
        "with judgekit transcribe --heat 1 --lane 1; or r, then run, in judgekit "
        "head.\n"
    )
    assert standings(event)["27"]["score"] == "2 of 9"
    # And so it is.
    path = tally(tmp_path, "0:00 rule run 2 the judge had left")
    where = (*HEAT, "--lane", "1")
    assert run("transcribe", event, path, *where).code == 0
    assert standings(event)["27"]["score"] == "7:41"


def test_each_result_beside_a_judged_one_names_its_own_run(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    held(load_event(event), [Rep()], lanes=(1, 2))
    assert run("results", event, *HEAT, "Ines 7:41", "--again", "left").code == 0
    done = run("results", event, *HEAT, "Ines 7:45", "Zoé 8:00", "--again", "left")
    assert done.code == 0
    for lane, number in ((1, 3), (2, 2)):
        words = f'count in lane {lane}: "0:00 rule run {number} WHY"'
        assert words in done.err
        assert f"--lane {lane};" in done.err


def test_by_an_accent_alone_nobody_is_meant(tmp_path: Path) -> None:
    event = event_of(tmp_path)
    rows = (event / "heats.csv").read_text(encoding="utf-8").splitlines()
    (event / "heats.csv").write_text("\n".join(rows[:2]) + "\n", encoding="utf-8")
    done = run("results", event, *HEAT, "\N{ACUTE ACCENT} 7:41")
    assert done.code == 2
    assert "nobody in this heat is" in done.err


def test_reported_results_are_in_no_rate(tmp_path: Path) -> None:
    event = event_of(tmp_path)
    assert run("results", event, *HEAT, "Bo 5:10").code == 0
    data = json.loads(run("faults", event, "--format", "json").out)
    bo = [lane for lane in data["lanes"] if lane["bib"] == "31"]
    assert [(lane["watched"], lane["rate"]) for lane in bo] == [("reported", None)]
    assert (data["total"]["attempts"], data["sampled"]["attempts"]) == (0, 0)


def test_a_heat_or_an_absent_athlete_is_refused(tmp_path: Path) -> None:
    event = event_of(tmp_path)
    done = run("results", event, "--heat", "9", "Bo 5:10")
    assert done.code == 2
    assert 'there is no heat "9"; there is 1' in done.err
