"""`judgekit athlete` on a small event: one sheet, all of them, and what was before."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING, cast

import pytest
from pypdf import PdfReader

from judgekit.cli.sheets import file_names
from tests.cli.running import judged_event, run, tally
from tests.small_event import EVENT, HEATS, TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

IDS = """\
bib,name,division,id,private
27,Ines Varga,women,ines,a sore wrist
007,Zoé Marr,women,,
31,Bo Lindt,men,bo,
"""
FORMATS = ("table", "html", "markdown", "json")


def sheet(event: Path, bib: str, *options: str | Path) -> dict[str, object]:
    done = run("athlete", event, bib, "--format", "json", *options)
    assert done.code == 0, done.err
    (one,) = json.loads(done.out)["sheets"]
    assert isinstance(one, dict)
    return one


def judged(folder: Path, day: str, text: str = TALLY, people: str = IDS) -> Path:
    """The small event on a day, lane 1 of heat 1 done."""
    event = write_event(folder)
    (event / "event.toml").write_text(EVENT.replace("2027-05-08", day), "utf-8")
    (event / "people.csv").write_text(people, "utf-8")
    path = tally(folder.parent, text, f"{folder.name}.tally")
    assert run("transcribe", event, path, "--heat", "1", "--lane", "1").code == 0
    return event


def test_the_sheet_in_the_terminal_begins_with_score_and_place(tmp_path: Path) -> None:
    done = run("athlete", judged_event(tmp_path), "27")
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines()[:6] == [
        "27  Ines Varga",
        "Quayside Saturday, 2027-05-08, Women",
        "",
        "QUAYSIDE, HEAT 1, LANE 1",
        "score   0:33",
        "place   1 of 2 so far",
    ]
    assert "Front squat: DEPTH  1 no-rep in 6 tries\n" in done.out
    assert done.out.count("42.5 kg") == 1
    assert "first-rep" not in done.out
    assert "0:08.0  A 1  Front squat: DEPTH  " in done.out


@pytest.mark.parametrize("format_", FORMATS)
def test_nothing_private_and_no_judge_is_in_any_format(
    tmp_path: Path, format_: str
) -> None:
    event = judged(tmp_path / "event", "2027-05-08")
    done = run("athlete", event, "27", "--format", format_)
    assert "Ines Varga" in done.out
    for word in ("wrist", "Kim Brandt", "Zo", "Lindt"):
        assert word not in done.out


def test_who_has_no_lane_and_what_makes_no_sense_is_refused(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    for options, says in (
        (("99",), "nobody with bib 99 has a lane here"),
        ((), "name one bib, or give --all"),
        (("27", "--all"), "name one bib, or give --all"),
        (("--all", "--out", "x.html"), "leave out --out"),
    ):
        done = run("athlete", event, *options)
        assert (done.code, done.out) == (2, "")
        assert says in done.err


def test_a_pdf_is_written_whole_and_never_over_another(tmp_path: Path) -> None:
    event, out = judged_event(tmp_path), tmp_path / "ines.pdf"
    options = ("athlete", event, "27", "--format", "pdf", "--out", out)
    assert run(*options).code == 0
    (page,) = PdfReader(io.BytesIO(out.read_bytes())).pages
    assert "27 Ines Varga" in page.extract_text()
    again = run(*options)
    assert again.code == 2
    assert "--force writes over it" in again.err


@pytest.mark.parametrize(
    ("format_", "end"), [("table", "html"), ("pdf", "pdf"), ("markdown", "md")]
)
def test_all_have_a_file_named_by_their_bib(
    tmp_path: Path, format_: str, end: str
) -> None:
    event = judged_event(tmp_path)
    for _ in range(2):
        done = run("athlete", event, "--all", "--format", format_)
        assert (done.code, done.out) == (0, "")
        assert "3 sheets written to" in done.err
    folder = event / "out" / "athletes"
    assert sorted(path.name for path in folder.iterdir()) == [
        f"007.{end}",
        f"27.{end}",
        f"31.{end}",
    ]
    if end == "html":
        for path, name, others in (
            ("27.html", "Ines Varga", ("Zoé Marr", "Bo Lindt")),
            ("31.html", "Bo Lindt", ("Zoé Marr", "Ines Varga")),
        ):
            page = (folder / path).read_text("utf-8")
            assert name in page
            assert not any(other in page for other in others)


def test_a_hostile_bib_never_leads_out_of_the_folder(tmp_path: Path) -> None:
    bibs = ("../../up", "/etc/x", "con", "A1", "é", "é2", "-", "7.html", "x" * 20)
    event = write_event(tmp_path / "event")
    rows = [["bib", "name", "division"], *([bib, bib, "women"] for bib in bibs)]
    heats = [f"1,10:00,quayside,{lane},{bib},kb" for lane, bib in enumerate(bibs, 1)]
    with (event / "people.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    head = HEATS.splitlines()[0]
    (event / "heats.csv").write_text("\n".join([head, *heats]) + "\n", "utf-8")
    done = run("athlete", event, "--all")
    assert done.code == 0, done.err
    folder = event / "out" / "athletes"
    found = sorted(path.name for path in folder.iterdir())
    assert len({name.casefold() for name in found}) == len(bibs)
    assert all(name.replace("-", "").removesuffix(".html").isalnum() for name in found)
    assert all(name.isascii() for name in found)
    assert sorted(tmp_path.iterdir()) == [event]


def test_a_bib_that_any_system_takes_is_the_name_itself() -> None:
    assert file_names(["007", "A12"]) == {"007": "007", "A12": "A12"}
    twins = file_names(["a1", "A1"])
    assert twins["a1"].casefold() != twins["A1"].casefold()
    assert file_names(["a1"]) == {"a1": "a1"}


def test_the_newest_event_before_is_the_last_time(tmp_path: Path) -> None:
    events = tmp_path / "events"
    events.mkdir()
    worse = TALLY.replace("0:09.0  rep\n", "0:08.5  no-rep shallow\n0:09.0  rep\n")
    judged(events / "march", "2027-03-06")
    judged(events / "april", "2027-04-03", worse)
    judged(events / "later", "2027-06-05")
    event = judged(events / "today", "2027-05-08")
    since = sheet(event, "27")["since"]
    assert isinstance(since, dict)
    assert since["date"] == "2027-04-03"
    assert since["scores"] == ["Quayside: 0:33, last time 0:33"]
    assert [(one["now"], one["then"]) for one in since["faults"]] == [
        ("1 of 6 tries", "2 of 7 tries")
    ]
    empty = tmp_path / "empty"
    empty.mkdir()
    alone = sheet(event, "27", "--history", empty)
    assert alone["since"] is None


def test_without_an_id_nobody_was_there_before(tmp_path: Path) -> None:
    events = tmp_path / "events"
    events.mkdir()
    people = IDS.replace(",ines,", ",,")
    judged(events / "april", "2027-04-03", people=people)
    event = judged(events / "today", "2027-05-08", people=people)
    done = run("athlete", event, "27")
    assert done.code == 0
    assert "people.csv has no id" in done.err
    assert "no id" not in done.out
    assert "since last time" not in done.out.lower()
    # Nothing is missed where there was nothing before, or where somebody has an id.
    assert run("athlete", events / "april", "27").err == ""
    (event / "people.csv").write_text(IDS, "utf-8")
    assert run("athlete", event, "27").err == ""


def test_a_folder_that_cannot_be_read_is_named_and_the_sheet_is_made(
    tmp_path: Path,
) -> None:
    events = tmp_path / "events"
    events.mkdir()
    (judged(events / "april", "2027-04-03") / "event.toml").write_text("no = toml")
    event = judged(events / "today", "2027-05-08")
    done = run("athlete", event, "27")
    assert done.code == 0
    assert "april is left out" in done.err


def test_the_place_in_the_whole_event_stands_below_those_of_its_workouts(
    tmp_path: Path,
) -> None:
    event = judged(tmp_path / "event", "2027-05-08")
    workout = (event / "workouts" / "quayside.toml").read_text("utf-8")
    again = workout.replace('"quayside"', '"mole"').replace('"Quayside"', '"Mole"')
    (event / "workouts" / "mole.toml").write_text(again, "utf-8")
    heats = HEATS + "3,11:00,mole,1,27,kb\n3,11:00,mole,2,007,mo\n"
    (event / "heats.csv").write_text(heats, "utf-8")
    for heat, lane, at in ((1, 2, "0:35"), (3, 1, "0:36"), (3, 2, "0:34")):
        text = TALLY.replace("0:33.5", at)
        path = tally(tmp_path, text, f"{heat}-{lane}.tally")
        done = run("transcribe", event, path, "--heat", str(heat), "--lane", str(lane))
        assert done.code == 0, done.err
    (mine,) = cast("list[dict[str, object]]", sheet(event, "27")["overall"])
    assert mine["place"] == "2 of 2"
    assert mine["steps"] == [["Quayside", "1"], ["Mole", "2"], ["total", "3"]]
    shown = run("athlete", event, "27").out
    assert "OVERALL, WOMEN\nplace     2 of 2\nQuayside  1\n" in shown
    assert "Zoé" not in shown
