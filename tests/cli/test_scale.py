"""`judgekit scale`: the choice is in the log, and stays with the score."""

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

KNEES = ("toes-to-bar", "--as", "hanging-knee-raise")
LANE = ("--heat", "1", "--lane", "1")


def test_the_choice_stays_with_the_score_for_ever(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    done = run("scale", event, *LANE, *KNEES, "--why", "first\nweek")
    assert done == (
        0,
        "",
        "heat 1, lane 1, bib 27: 2, 2 hanging knee raise, instead of toes-to-bar\n",
    )
    run("transcribe", event, tally(tmp_path, TALLY), *LANE)

    shown = run("scorecard", event, *LANE, "--format", "json").out
    (card,) = json.loads(shown)["scorecards"]
    assert (card["score"], card["scaled"], card["aloud"]) == (
        "0:33",
        "with hanging knee raise",
        "0:33 with hanging knee raise, one no-rep: depth 1",
    )
    assert [s["note"] for s in card["splits"]] == [
        "",
        "instead of Toes-to-bar",
    ] * 2
    text = run("standings", event, "--format", "csv").out
    row = next(r for r in csv.DictReader(io.StringIO(text)) if r["bib"] == "27")
    assert (row["score"], row["scaled"]) == ("0:33", "with hanging knee raise")
    assert "0:33 with hanging knee raise" in run("standings", event).out
    log = run("log", "show", event).out
    assert "substitute hanging-knee-raise, why first week" in log
    assert run("log", "verify", event).code == 0


def test_the_briefing_has_the_load_that_was_said_today(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    assert "30 kg" not in run("brief", event).out
    run("scale", event, "--heat", "1", "--lane", "2", "front-squat", "--load", "30 kg")
    shown = run("brief", event, "--format", "json").out
    (brief,) = json.loads(shown)["briefings"]
    assert [(bar["who"], bar["load"]) for bar in brief["bars"]][-1] == (
        "007 Zoé Marr",
        "30 kg ≈ 66 lb",
    )


def test_a_load_that_no_discs_make_is_written_and_the_nearest_are_said(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    done = run("scale", event, *LANE, "front-squat", "--load", "30.4 kg")
    assert done.code == 0
    assert done.err == (
        "heat 1, lane 1, bib 27: 3, 2 front squat, 30.4 kg ≈ 67 lb\n"
        "mind: Front squat 30.4 kg, bar 20 kg: cannot be made with these discs; "
        "nearest 30 kg (each side 5 kg) or 30.5 kg (each side 2.5 + 1.5 + 1.25 kg)\n"
    )
    assert "30.4 kg" in run("log", "show", event).out
    made = run("scale", event, *LANE, "front-squat", "--load", "31 kg")
    assert "mind" not in made.err


def test_the_briefing_says_who_does_what_instead(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    assert "INSTEAD TODAY" not in run("brief", event).out
    run("scale", event, *LANE, *KNEES)
    shown = run("brief", event, "--format", "json").out
    (brief,) = json.loads(shown)["briefings"]
    assert [says for _who, says in brief["instead"]] == [
        "hanging knee raise for toes-to-bar"
    ]
    assert "hanging knee raise for toes-to-bar" in run("brief", event).out


def test_the_briefing_says_who_does_another_number(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    run("scale", event, *LANE, "toes-to-bar", "--as", "sit-up", "--reps", "5")
    run("scale", event, *LANE, "front-squat", "--reps", "2")
    run("scale", event, "--heat", "1", "--lane", "2", "front-squat", "--load", "30 kg")
    shown = run("brief", event, "--format", "json").out
    (brief,) = json.loads(shown)["briefings"]
    assert brief["instead"] == [
        ["27 Ines Varga", "2 front squat; 5 sit-up for toes-to-bar"]
    ]


def test_what_to_mind_about_a_substitute_is_told(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    (event / "cards").mkdir()
    (event / "cards" / "toes-to-bar.toml").write_text(
        '[[substitute]]\ncard = "sit-up"\nwhy = "no hanging"\n'
        'caution = "at most 20 in a first session"\n',
        encoding="utf-8",
    )
    done = run("scale", event, *LANE, "toes-to-bar", "--as", "sit-up", "--reps", "10")
    assert done.err.splitlines() == [
        "heat 1, lane 1, bib 27: 10, 10 sit-up, instead of toes-to-bar",
        "mind: at most 20 in a first session",
    ]


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("toes-to-bar",), "say what changes: --as, --reps, --load or --height"),
        (("toes-to-bar", "--as", "row"), '"row" is no substitute on the card'),
        (("row", "--as", "bike"), 'Quayside has no "row" for bib 27; it has front-'),
        (KNEES, "heat 1, lane 1 has started: what is done there was fixed at the"),
    ],
)
def test_what_cannot_stand_is_said_with_exit_code_2(
    tmp_path: Path, asked: tuple[str, ...], says: str
) -> None:
    event = judged_event(tmp_path)
    if asked != KNEES:
        event = write_event(tmp_path / "other")
    done = run("scale", event, *LANE, *asked)
    assert (done.code, done.out) == (2, "")
    assert says in done.err
