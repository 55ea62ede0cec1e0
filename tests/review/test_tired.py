"""By how much a try more may have slowed down what came after it."""

from __future__ import annotations

from itertools import accumulate
from math import log

from judgekit.core.entry import NoRep, Rep
from judgekit.core.plan import SetKey
from judgekit.review.pieces import lane_pieces
from judgekit.review.tired import tiring_ms
from tests.support import Played, simple

MISS = NoRep(faults=("depth",))


def tiring(*gaps: float, miss: int) -> int:
    """What the one no-rep, the press of that number, may have cost by tiring."""
    played = Played(simple(40)).go()
    for number, at in enumerate(accumulate(gaps), 1):
        played.press(at, MISS if number == miss else Rep())
    return tiring_ms(lane_pieces(played.lane))[SetKey(1, 1, 1), miss - 1]


def test_it_is_a_share_of_the_time_after_for_each_try_between_early_and_late() -> None:
    """From 2 s to 3 s, eight tries later; 28 s of gaps come after the no-rep."""
    slowing = [4, *[2] * 4, *[2.5] * 4, *[3] * 4]
    assert tiring(*slowing, miss=2) == round(log(1.5) / 8 * 28_000)


def test_whoever_is_quicker_at_the_end_was_not_tired_by_it() -> None:
    assert tiring(4, *[3] * 4, *[2.5] * 4, *[2] * 4, miss=2) == 0


def test_of_few_gaps_nothing_is_told() -> None:
    assert tiring(4, *[2] * 4, *[3] * 4, miss=2) == 0
