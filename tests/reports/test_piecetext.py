from __future__ import annotations

from dataclasses import replace
from itertools import accumulate
from typing import get_args

from judgekit.core.entry import NoRep, Rep
from judgekit.reports.piecetext import (
    UNTOLD_WORDS,
    MovementLine,
    movement_lines,
    pace_words,
    piece_words,
    rhythm,
    slowing_words,
)
from judgekit.review.lanepaces import lane_paces
from judgekit.review.pieces import LanePieces, Untold, lane_pieces
from judgekit.review.slowing import Slowing
from tests.building import plan_of, rounds
from tests.support import Played, movement, simple


def found(*gaps: float, misses: tuple[int, ...] = ()) -> LanePieces:
    played = Played(simple(len(gaps) - len(misses))).go()
    for number, at in enumerate(accumulate(gaps), 1):
        missed = number in misses
        played.press(at, NoRep(faults=("depth",)) if missed else Rep())
    return lane_pieces(played.lane)


def test_a_set_is_drawn_with_a_sign_a_rep() -> None:
    """Gaps of 2 s are usual, 2.5 s higher, 9 s a break; the fourth is a no-rep."""
    (one,) = found(4, 2, 2, 2, 2.5, 2, 9, 2, 2, 2, misses=(4,)).sets
    assert rhythm(one) == "·▃▃x▅▃|·▃▃▃"
    assert rhythm(one, plain=True) == ".33x53|.333"


def test_a_set_without_times_is_not_drawn() -> None:
    played = Played(plan_of(rounds(1, movement("row", 9, unit="calories")))).go()
    played.press(30, Rep(n=9))
    (one,) = lane_pieces(played.lane).sets
    assert rhythm(one) == ""
    assert movement_lines(lane_pieces(played.lane)) == ()


def test_sets_of_a_movement_stand_side_by_side() -> None:
    squats = replace(movement("front-squat", 5, 4), pieces=((3, 2), (4,)))
    played = Played(plan_of(rounds(2, squats))).go()
    played.each(Rep(), *accumulate((4, 2, 2, 9, 2, 5, 2, 2, 2)))
    assert movement_lines(lane_pieces(played.lane), plain=True) == (
        MovementLine(
            movement="Front squat",
            pieces="3 + 2 | 4",
            planned="3 + 2 | 4",
            rhythm=".33|.3  .333",
        ),
    )


def test_a_set_that_tells_no_pieces_is_its_count_in_brackets() -> None:
    played = Played(simple(5)).go()
    played.press(20, Rep(n=5))
    (line,) = movement_lines(lane_pieces(played.lane))
    assert (line.pieces, line.planned) == ("(5)", "")


def test_a_pace_is_told_in_a_sentence() -> None:
    (few,) = lane_paces(found(4, 2, 2))
    assert pace_words(few) == "too few to tell a pace (2 gaps)"
    (short,) = lane_paces(found(4, *[2] * 6))
    assert pace_words(short) == (
        "2.0 s a rep; too few reps to say whether the pace was kept"
    )
    (slow,) = lane_paces(found(*[10] * 8))
    assert "slow enough to be a rep at a time" in pace_words(slow)


def test_a_change_is_never_told_without_how_sure_it_is() -> None:
    def words(ratio: float, low: float, high: float) -> str:
        return slowing_words(
            Slowing(early_ms=1, late_ms=1, ratio=ratio, low=low, high=high, each=5)
        )

    assert words(1.2, 1.1, 1.34) == (
        "20 % slower in the last third than in the first "
        "(likely between 10 % slower and 34 % slower)"
    )
    assert words(0.8, 0.7, 0.9).startswith("20 % quicker")
    assert words(1.04, 0.97, 1.2) == (
        "no clear change from the first third to the last "
        "(likely between 3 % quicker and 20 % slower)"
    )
    assert "as quick and 20 % slower" in words(1.1, 1.001, 1.2)
    assert words(1.07, 1.07, 1.07).endswith("(likely 7 % slower)")


def test_pieces_are_said_as_coaches_say_them() -> None:
    assert (piece_words((7, 5)), piece_words((8,)), piece_words(())) == (
        "7 + 5",
        "8",
        "",
    )


def test_whatever_tells_no_pieces_has_its_words() -> None:
    assert set(UNTOLD_WORDS) == set(get_args(Untold))
