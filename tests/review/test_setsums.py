"""One rule of how long a rep takes and how much is rested, wherever it is told."""

from __future__ import annotations

import json
from dataclasses import replace

from judgekit.core.entry import Rep
from judgekit.reports.classsets import sets_sections
from judgekit.reports.pieces import Done, as_json, tables
from judgekit.review.attempts import lane_rows
from judgekit.review.pieces import SetPieces, lane_pieces
from judgekit.review.setsums import SetSum, set_sum
from judgekit.ui.views.bars import ASCII
from judgekit.ui.views.reviewpace import pace_lines
from tests.building import plan_of, rounds
from tests.support import Played, movement, simple


def one_set(pace_ms: int | None, *pieces: int, rested_ms: int = 0) -> SetPieces:
    (made,) = lane_pieces(Played(simple(9)).go().each(Rep(), 4, 6, 8)).sets
    return replace(
        made,
        good=sum(pieces),
        pieces=pieces,
        pace_ms=pace_ms,
        rested_ms=rested_ms,
    )


def test_pace_is_the_middle_and_rest_the_mean_of_sets_that_tell_their_pieces() -> None:
    sets = [
        one_set(2000, 5),
        one_set(2200, 5),
        one_set(4000, 3, 2, rested_ms=7000),
        one_set(9000, 1, rested_ms=900),  # a single rep after a no-rep
        replace(one_set(9000, rested_ms=900), untold="count moved", good=5),
    ]
    assert set_sum(sets) == SetSum(3, 2, 2200, 2333)
    assert set_sum([]) == SetSum(0, 0, None, 0)


def test_pieces_report_and_review_tell_the_same_pace() -> None:
    """15, 5 and 4 reps at 2, 2.4 and 3 s: of all gaps together the middle is 2 s."""
    played = Played(plan_of(rounds(3, movement("front-squat", 15, 5, 4)))).go()
    at = 2.0
    for many, gap in ((15, 2.0), (5, 2.4), (4, 3.0)):
        for _ in range(many):
            at += gap
            played.press(at, Rep())
    rows = lane_rows(played.lane)
    lane = lane_pieces(played.lane, rows=rows)
    assert [one.pace_ms for one in lane.sets] == [2000, 2400, 3000]
    _, usual, *_ = sets_sections([lane], {})
    (front_squat,) = usual.tables[0].rows
    assert front_squat[3] == "2.4"
    drawn = list(pace_lines([lane], "", ASCII, 78))
    assert " 2.4 s " in drawn[1].text
    done = Done(pieces=lane)
    assert any("Front squat: 2.4 s a rep;" in n for n in tables([done])[0].notes)
    ((pace,),) = (one["paces"] for one in json.loads(as_json([done]))["lanes"])
    assert (pace["pace_ms"], pace["usual_ms"]) == (2400, 2000)
