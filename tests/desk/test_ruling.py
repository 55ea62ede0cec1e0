"""Rulings after the heat: in a book apart, and in the score at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.disputing import unruled
from judgekit.core.errors import BookError, InputError
from judgekit.core.score import Score, score
from judgekit.desk.opening import Wish, open_desk
from judgekit.desk.ruling import is_official, rule_on
from judgekit.desk.transcribing import transcribe
from judgekit.files import tally
from judgekit.files.folder import EventFolder, load_event
from judgekit.store.folder import read_all
from judgekit.store.reading import read_lanes
from tests.desk.fakes import FakeClock
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

LATER = FakeClock(wall_now=1_809_770_000_000)


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return load_event(write_event(tmp_path / "event"))


def judge(folder: EventFolder, text: str = TALLY) -> None:
    row = folder.lanes("1")[0]
    transcribe(folder, row, tally.parse(text, "t"), text.encode(), shown="t")


def rule(folder: EventFolder, text: str) -> None:
    row = folder.lanes("1")[0]
    LATER.pass_(1000)
    parsed = tally.parse(text, "ruling.tally")
    assert is_official(parsed)
    rule_on(folder, row, parsed, shown="ruling.tally", clock=LATER)


def result(folder: EventFolder) -> Score:
    [lane] = read_lanes(folder.log, "1").lanes
    return score(lane.lane)


def test_a_ruling_amends_a_signed_score_and_keeps_the_old_one(
    folder: EventFolder,
) -> None:
    judge(folder)
    assert result(folder).shown == "0:33"
    rule(folder, "0:00 rule time +0:30 left the lane\n")
    amended = result(folder)
    assert (amended.shown, amended.amended) == ("1:03", True)
    assert amended.before is not None
    assert amended.before.shown == "0:33"


def test_reopened_with_a_reason_one_rep_more_counts_and_it_says_amended(
    folder: EventFolder,
) -> None:
    short = TALLY.replace("0:33.5  rep\n", "0:34.0  time\n")
    judge(folder, short)
    assert (result(folder).status, result(folder).reps) == ("did not finish", 8)
    rule(
        folder,
        "0:00 rule reopen a rep was not counted\n"
        "0:00 rule reps 1.2.2 +1 seen on video\n"
        "0:00 rule close done\n",
    )
    amended = result(folder)
    assert (amended.reps, amended.amended) == (9, True)
    assert amended.before is not None
    assert amended.before.reps == 8


def test_a_ruling_ends_the_dispute_that_it_names_and_leaves_the_other(
    folder: EventFolder,
) -> None:
    judge(folder, TALLY.split("0:36")[0])
    rule(folder, "0:00 dispute the count\n0:00 dispute-time -0:02 clock late\n")
    rule(folder, "0:00 rule stands answers 2 the clock was right\n")
    (lane,) = read_lanes(folder.log, "1").lanes
    assert [d.body.about for d in unruled(lane.lane)] == ["the count"]  # type: ignore[union-attr]
    with pytest.raises(InputError, match=r"ruling.tally:1: This lane has no dispute 9"):
        rule(folder, "0:00 rule stands answers 9 w\n")
    rule(folder, "0:00 rule reps 1.2.2 -1 answers 1 seen on video\n")
    (lane,) = read_lanes(folder.log, "1").lanes
    assert unruled(lane.lane) == ()


def test_a_ruling_comes_after_the_heat_whatever_the_clock_says(
    folder: EventFolder,
) -> None:
    judge(folder)
    row = folder.lanes("1")[0]
    words = tally.parse("0:00 rule time +0:30 left the lane\n", "t")
    rule_on(folder, row, words, shown="t", clock=FakeClock(wall_now=1000))
    amended = result(folder)
    assert (amended.shown, amended.amended) == ("1:03", True)


def test_a_lane_beside_it_that_never_started_is_in_no_ruling_s_way(
    folder: EventFolder,
) -> None:
    judge(folder)
    desk, _ = open_desk(folder, Wish(heat="1", lanes=(2,)), FakeClock())
    desk.close("nobody came")
    rule(folder, "0:00 rule time +0:30 left the lane\n")
    lanes = read_lanes(
        folder.log, "1", rows=folder.lanes("1"), resolve=folder.plan_of
    ).lanes
    assert next(score(lane.lane).shown for lane in lanes) == "1:03"


def test_an_attempt_is_named_by_its_time(folder: EventFolder) -> None:
    judge(folder)
    rule(folder, "0:00 rule void 0:06.0 high squat on video\n")
    assert result(folder).reps == 8
    rule(folder, "0:00 rule restore 0:06.0 another camera\n")
    assert result(folder).reps == 9


def test_every_line_that_cannot_stand_is_told_and_nothing_is_written(
    folder: EventFolder,
) -> None:
    judge(folder)
    many = len(read_all(folder.log))
    with pytest.raises(InputError) as wrong:
        rule(
            folder,
            "0:00 rule void 0:07.5 nothing there\n0:00 rule time +0:10 late\n"
            "0:00 rule reps 3.1.1 +1 no such part\n",
        )
    assert [p.line for p in wrong.value.problems] == [1, 3]
    assert len(read_all(folder.log)) == many


def test_a_lane_that_was_not_judged_has_nothing_to_rule_on(
    folder: EventFolder,
) -> None:
    with pytest.raises(BookError, match="not judged yet"):
        rule(folder, "0:00 rule time +0:30 left the lane\n")
