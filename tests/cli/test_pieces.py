"""`judgekit pieces` and `judgekit cost` as a coach runs them."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import judged_event, run, tally
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path


CSV = ("--format", "csv")


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def all_judged(tmp_path: Path) -> Path:
    """Both lanes of heat 1 judged and accepted, and nobody else in the division."""
    event = judged_event(tmp_path)
    path = tally(tmp_path, TALLY.replace("0:08.0  no-rep shallow\n", ""), "two.tally")
    done = run("transcribe", event, path, "--heat", "1", "--lane", "2")
    assert (done.code, done.out) == (0, "")
    return event


def test_pieces_of_a_transcribed_lane(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    done = run("pieces", event, "--heat", "1", "--lane", "1", "--format", "csv")
    assert [
        (r["round"], r["movement"], r["good"], r["no_reps"], r["pieces"], r["untold"])
        for r in rows(done.out)
    ] == [
        ("1", "Front squat", "3", "1", "3", ""),
        ("1", "Toes-to-bar", "2", "0", "", "several at once"),
        ("2", "Front squat", "2", "0", "2", ""),
        ("2", "Toes-to-bar", "2", "0", "2", ""),
    ]
    assert (done.code, done.err) == (0, "")


def test_pieces_ask_for_what_is_there(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    assert run("pieces", event, "--lane", "1").code == 2
    assert run("pieces", event, "--heat", "9").code == 2
    assert run("pieces", event, "--heat", "1", "--lane", "7").code == 2


def test_before_anything_was_done_there_are_no_pieces(tmp_path: Path) -> None:
    done = run("pieces", write_event(tmp_path / "event"))
    assert (done.code, done.out) == (0, "")
    assert done.err == "No set was done yet.\n"


def test_a_cost_waits_for_all_results_of_its_division(tmp_path: Path) -> None:
    """Bib 007 has still to start."""
    done = run("cost", judged_event(tmp_path), "--division", "women")
    assert "still open: 007 (waiting)." in done.out
    assert "0:33" not in done.out
    bare = run("cost", judged_event(tmp_path / "b"), "--division", "women", *CSV)
    assert (bare.out.count("\n"), "still open: 007 (waiting)." in bare.err) == (1, True)


def test_all_places_without_a_fault_by_its_id_or_its_call(tmp_path: Path) -> None:
    event = all_judged(tmp_path)
    asked = ("cost", event, "--format", "csv", "--without")
    done = run(*asked, "shallow")
    assert [(r["bib"], r["fault"], r["score_without"]) for r in rows(done.out)] == [
        ("27", "shallow", "0:32"),
        ("007", "shallow", "0:33"),
    ]
    assert run(*asked, "DEPTH").out == done.out
    assert "had not been there" in run("cost", event, "--without", "depth").out
    every = json.loads(run("cost", event, "--without", "depth", "--format", "json").out)
    assert [f["fault"] for one in every["costs"] for f in one["faults"]] == ["shallow"]
    refused = run(*asked, "nothing")
    assert (refused.code, refused.out) == (2, "")
    assert 'there is no fault "nothing"; there is shallow' in refused.err


@pytest.mark.parametrize("format_", ["table", "csv"])
def test_no_fault_is_refused_before_it_is_known_which_there_are(
    tmp_path: Path, format_: str
) -> None:
    asked = ("--without", "depth", "--format", format_)
    waiting = run("cost", judged_event(tmp_path), "--division", "women", *asked)
    assert waiting.code == 0
    said = waiting.err if format_ == "csv" else waiting.out
    assert "before all results are official; still open: 007 (waiting)." in said


def test_without_a_fault_there_is_nothing_to_rank_where_nobody_is(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    (event / "heats.csv").write_text(
        "heat,start,workout,lane,bib,judge\n", encoding="utf-8"
    )
    done = run("cost", event, "--without", "depth")
    assert (done.code, done.out) == (0, "")
    assert done.err == "There is nothing to rank yet.\n"


def test_beside_what_is_official_it_is_said_what_is_open(tmp_path: Path) -> None:
    """Both women are official; bib 31, of the men, has still to start."""
    event = all_judged(tmp_path)
    told = run("cost", event, "--without", "depth")
    assert (told.code, "still open: 31 (waiting)." in told.out) == (0, True)
    refused = run("cost", event, "--without", "toes-short")
    assert (refused.code, refused.out) == (2, "")
    assert "Quayside, Men: Nothing is said" in refused.err
    assert 'there is no fault "toes-short"; there is shallow' in refused.err


def test_no_reps_without_a_reason_can_be_asked_for_and_are_named(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, TALLY.replace("no-rep shallow", "no-rep"))
    for lane in ("1", "2"):
        run("transcribe", event, path, "--heat", "1", "--lane", lane)
    told = run("cost", event, "--without", "no reason given")
    assert "If Front squat no reason given had not been there" in told.out
    refused = run("cost", event, "--without", "depth")
    assert 'there is no fault "depth"; there is no reason given' in refused.err


def test_the_cost_of_official_results(tmp_path: Path) -> None:
    event = all_judged(tmp_path)
    done = run("cost", event, "--division", "women", "--format", "csv")
    assert [
        (r["bib"], r["no_reps"], r["timed"], r["score"], r["score_middle"])
        for r in rows(done.out)
    ] == [("007", "0", "0", "0:33", "0:33"), ("27", "1", "1", "0:33", "0:32")]
    data = json.loads(run("cost", event, "--format", "json").out)
    men, women = sorted(data["costs"], key=lambda one: str(one["division"]))
    assert (men["open"], women["open"]) == (["31"], [])
    (fault,) = women["faults"]
    assert (fault["fault"], fault["no_reps"], fault["athletes"]) == ("shallow", 1, 1)


@pytest.mark.parametrize("option", ["--workout", "--division"])
def test_cost_asks_for_what_is_there(tmp_path: Path, option: str) -> None:
    wrong = run("cost", judged_event(tmp_path), option, "nothing")
    assert (wrong.code, wrong.out) == (2, "")
