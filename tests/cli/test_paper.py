"""`judgekit paper`, and a lane from the pencil to the standings."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

import polars as pl
import pytest
from pypdf import PdfReader

from tests.cli.running import judged_event, run, tally
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path

PAPER = """\
# heat 1, lane 1
round 1: all
round 2: 2, 1
depth 2
signed athlete, judge
"""
LANE = ("--heat", "1", "--lane", "1")


def text_of(path: Path) -> list[str]:
    pages = PdfReader(io.BytesIO(path.read_bytes())).pages
    return [" ".join(page.extract_text().split()) for page in pages]


def test_a_heat_has_a_sheet_for_each_lane(tmp_path: Path) -> None:
    event, out = write_event(tmp_path / "event"), tmp_path / "heat-1.pdf"
    done = run("paper", event, "--heat", "1", "--out", out)
    assert (done.code, done.out, done.err) == (0, "", f"written to {out}\n")
    one, two = text_of(out)
    assert ("Ines Varga" in one, "judge Kim Brandt" in one) == (True, True)
    assert ("Zoé Marr" in two, "judge Mo Oduya" in two) == (True, True)
    assert "heat 1, 10:00" in one


def test_one_lane_alone_and_never_over_another_file(tmp_path: Path) -> None:
    event, out = write_event(tmp_path / "event"), tmp_path / "lane.pdf"
    options = ("paper", event, "--heat", "1", "--lane", "2", "--out", out)
    assert run(*options).code == 0
    (page,) = text_of(out)
    assert "Zoé Marr" in page
    before = out.read_bytes()
    refused = run(*options)
    assert (refused.code, "--force" in refused.err) == (2, True)
    assert run(*options, "--force").code == 0
    assert out.read_bytes() == before


def test_what_is_not_there_is_refused_in_words(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    assert "there is no heat" in run("paper", event, "--heat", "9").err
    wrong = run("paper", event, "--heat", "1", "--lane", "7", "--out", tmp_path / "x")
    assert (wrong.code, "heat 1 has no lane 7" in wrong.err) == (2, True)


def test_what_somebody_does_instead_today_stands_on_the_sheet(tmp_path: Path) -> None:
    event, out = write_event(tmp_path / "event"), tmp_path / "lane.pdf"
    assert run("scale", event, "front-squat", *LANE, "--load", "30 kg").code == 0
    assert run("paper", event, *LANE, "--out", out).code == 0
    assert "30 kg" in text_of(out)[0]


def test_calls_are_those_of_what_somebody_does_instead_today(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    scaled = run("scale", event, "toes-to-bar", *LANE, "--as", "knees-to-elbows")
    assert scaled.code == 0, scaled.err
    path = tally(tmp_path, f"{PAPER}knees-to-elbows no-rep 1\n")
    done = run("transcribe", event, path, *LANE)
    assert done.code == 0, done.err
    assert "three no-reps" in run("scorecard", event, *LANE).out


def test_paper_becomes_a_score_that_says_where_it_is_from(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, PAPER)
    done = run("transcribe", event, path, *LANE)
    assert (done.code, done.out) == (0, "")
    card = run("scorecard", event, *LANE).out
    assert "status    capped" in card
    assert "8 of 9, 1 short" in card
    assert "two no-reps: depth 2, from paper" in card
    standings = run("standings", event).out
    assert "from paper" in standings
    faults = run("faults", event).out
    assert "2 no-reps in 10 attempts" in faults
    assert "From paper, so without times: heat 1 lane 1." in faults
    assert run("log", "verify", event).code == 0


def test_a_log_from_paper_is_exported_and_comes_back_the_same(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    assert run("transcribe", event, tally(tmp_path, PAPER), *LANE).code == 0
    out = tmp_path / "log.jsonl"
    assert run("log", "export", event, "--out", out).code == 0
    other = write_event(tmp_path / "other")
    assert run("log", "import", out, other / "log").code == 0
    first = run("scorecard", event, *LANE, "--format", "json").out
    assert run("scorecard", other, *LANE, "--format", "json").out == first
    shown = run("log", "show", event, "--format", "csv").out
    assert {
        line.split(",")[4] for line in shown.splitlines() if "paper-set" in line
    } == {""}


def from_paper(folder: Path) -> Path:
    """An event in which one lane was kept on paper, depth missed in some round."""
    event = write_event(folder / "event")
    assert run("transcribe", event, tally(folder, PAPER), *LANE).code == 0
    return event


def table(event: Path, what: str, kind: str) -> list[dict[str, str]]:
    """Rows with the texts of a CSV, whichever the format."""
    text = run("export", event, what, "--format", kind).out
    if kind == "csv":
        return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))
    rows = json.loads(text)["rows"]
    return [{k: "" if v is None else str(v) for k, v in row.items()} for row in rows]


@pytest.mark.parametrize("kind", ["csv", "json"])
def test_an_export_leaves_empty_what_nobody_wrote(tmp_path: Path, kind: str) -> None:
    event = from_paper(tmp_path)
    unknown = ("at_ms", "at", "rep", "attempt")
    tried, missed = table(event, "attempts", kind), table(event, "faults", kind)
    for row in (*tried, *missed):
        assert row["timed"] == "no"
        assert {row[key] for key in unknown} == {""}
    told = [(r["round"], r["movement"], r["result"], r["n"]) for r in tried]
    assert told == [
        ("", "Front squat", "good", "5"),
        ("1", "Toes-to-bar", "good", "2"),
        ("2", "Toes-to-bar", "good", "1"),
        ("", "Front squat", "no-rep", "1"),
        ("", "Front squat", "no-rep", "1"),
    ]
    assert [(row["round"], row["call"]) for row in missed] == [("", "DEPTH")] * 2
    for row in table(event, "sets", kind):
        assert row["timed"] == "no"
        assert not any(row[key] for key in row if key.endswith("_ms"))
        assert row["round"]


def test_a_season_counts_paper_and_gives_it_no_times(tmp_path: Path) -> None:
    event = from_paper(tmp_path)
    done = run("season", tmp_path, "--by", "round,fault", "--format", "csv")
    assert done.code == 0
    (row,) = csv.DictReader(io.StringIO(done.out, newline=""), strict=True)
    assert (row["round"], row["no_reps"], row["attempts"]) == ("quayside A", "2", "7")
    (path,) = event.glob("out/season/*/attempts.parquet")
    kept = pl.read_parquet(path)
    assert not kept["timed"].any()
    assert kept["at_ms"].null_count() == kept.height
    assert kept["round"].to_list() == [None, 1, 2, None, None]


def test_subtitles_of_paper_are_refused_as_its_calls_have_no_times(
    tmp_path: Path,
) -> None:
    done = run("subtitles", from_paper(tmp_path), *LANE)
    assert (done.code, done.out) == (2, "")
    assert "it was kept on paper, without the times of its calls" in done.err


def test_paper_beside_a_lane_that_was_judged_needs_a_reason(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    refused = run("transcribe", event, tally(tmp_path, PAPER, "p.tally"), *LANE)
    assert (refused.code, "--again" in refused.err) == (2, True)


def test_every_bad_line_of_paper_is_named_and_nothing_is_written(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, "round 1: 4\nround 3: 1\ndepht 2\n")
    done = run("transcribe", event, path, *LANE)
    lines = [line.split(": ")[0] for line in done.err.splitlines()]
    # The first can be read, but the set has 3.
    assert (done.code, lines) == (2, [f"{path}:{n}" for n in (1, 2, 3)])
    assert not (event / "log").exists()
