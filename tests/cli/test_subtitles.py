"""`judgekit subtitles` as a user runs it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import webvtt

from tests.cli.running import judged_event, run, tally
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path

LANE = ("--heat", "1", "--lane", "1")


def starts(text: str) -> list[str]:
    return [line.partition(" --> ")[0] for line in text.splitlines() if " --> " in line]


def test_a_lane_as_webvtt_and_as_srt(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    done = run("subtitles", event, *LANE)
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("WEBVTT\n\n1\n00:00:00.000 --> 00:00:02.000\nGO\n")
    assert "NO REP depth" in done.out
    srt = tmp_path / "lane.srt"
    assert run("subtitles", event, *LANE, "--format", "srt", "--out", srt).code == 0
    assert len(webvtt.from_srt(str(srt))) == len(starts(done.out)) == 10


@pytest.mark.parametrize(
    ("offset", "first", "second"),
    [
        ("0:12.5", "00:00:12.500", "00:00:15.500"),
        ("1.25 s", "00:00:01.250", "00:00:04.250"),
        ("-0:05", "00:00:01.000", "00:00:03.000"),
    ],
)
def test_the_offset_says_where_the_clock_begins(
    tmp_path: Path, offset: str, first: str, second: str
) -> None:
    event = judged_event(tmp_path)
    done = run("subtitles", event, *LANE, "--offset", offset)
    assert starts(done.out)[:2] == [first, second]


def test_what_cannot_be_is_said(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    for asked, says in (
        (("--heat", "9", "--lane", "1"), 'there is no heat "9"; there is 1, 2'),
        (("--heat", "1", "--lane", "9"), "heat 1 has no lane 9; it has 1, 2"),
        ((*LANE, "--offset", "soon"), '"soon" is not a time such as "4:30"'),
    ):
        done = run("subtitles", event, *asked)
        assert (done.code, done.out) == (2, "")
        assert says in done.err


def test_nothing_called_is_an_empty_file_and_said(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    done = run("subtitles", event, "--heat", "1", "--lane", "2")
    assert (done.code, done.out) == (0, "WEBVTT\n")
    assert done.err == "Nothing was called in that lane within the video.\n"


def test_a_ruling_on_the_start_moves_every_call(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    before = starts(run("subtitles", event, *LANE).out)
    ruling = tally(tmp_path, "1:30.0 rule start +0:02.0 video\n", "ruling.tally")
    assert run("transcribe", event, ruling, *LANE).code == 0
    after = starts(run("subtitles", event, *LANE).out)
    assert (before[1], after[1]) == ("00:00:03.000", "00:00:01.000")


def test_a_lane_from_paper_has_no_calls_and_says_so(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, "round 1: all\nround 2: 1\nshallow 2\n")
    assert run("transcribe", event, path, *LANE).code == 0
    done = run("subtitles", event, *LANE)
    assert (done.code, done.out) == (2, "")
    assert "heat 1, lane 1 has no calls for a video: it was kept on paper" in done.err
