"""The second half of a set against the first: by hand, and where the truth is known."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import SetKey
from judgekit.core.press import WriteNoReps
from judgekit.review.attempts import AttemptRow, LaneRows, lane_rows
from judgekit.review.faults import rate
from judgekit.review.halves import Halves, halves_of
from judgekit.review.placed import placed
from tests.review.made_rows import facts, simulated, squats
from tests.support import Played, simple, window

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from judgekit.review.attempts import LaneFacts


def halves(lanes: Iterable[LaneRows]) -> Halves:
    return halves_of(placed(lanes))


def lane(bib: str, target: int, *presses: tuple[int, int, bool]) -> LaneRows:
    """Presses at one set of that target: the rep, how many at once, whether good."""
    of: LaneFacts = replace(facts(bib), plan=simple(target, bib=bib))
    one = squats()
    return LaneRows(
        facts=of,
        attempts=tuple(
            AttemptRow(of, one, "judged", 1000 * at, rep, at, good, n, (), bib)
            for at, (rep, n, good) in enumerate(presses, 1)
        ),
    )


def a_class(missed: Callable[[int], float], many: int = 16) -> Halves:
    """Athletes with three sets of 15, whose truth is known."""
    drawn = random.Random(3)  # noqa: S311 - the same athletes every time
    return halves(simulated(facts(str(n)), drawn, missed) for n in range(many))


@pytest.mark.parametrize(
    ("target", "first", "second"), [(4, 2, 2), (5, 3, 2), (2, 1, 1)]
)
def test_a_middle_rep_is_of_the_first_half(
    target: int, first: int, second: int
) -> None:
    each = halves([lane("1", target, *((n, 1, True) for n in range(1, target + 1)))])
    assert (each.first, each.second) == (rate(0, first), rate(0, second))
    at_once = halves([lane("1", target, (target, target, True))])
    assert (at_once.first, at_once.second) == (each.first, each.second)


def test_a_no_rep_is_of_the_half_of_the_rep_that_was_tried() -> None:
    presses = ((2, 2, True), (3, 1, False), (3, 1, True), (4, 1, False), (4, 1, True))
    found = halves([lane("1", 4, *presses)])
    assert (found.first, found.second) == (rate(0, 2), rate(2, 4))


def test_athletes_are_held_against_themselves() -> None:
    """Twice as likely for both, though one misses four times as often."""
    often = [(n, 1, n % 5 > 0) for n in range(1, 51)]
    often += [(n, 1, n % 5 > 1) for n in range(51, 101)]
    rarely = [(n, 1, n % 20 > 0) for n in range(1, 41)]
    rarely += [(n, 1, n % 20 > 1) for n in range(41, 81)]
    found = halves([lane("1", 100, *often), lane("2", 80, *rarely)])
    assert found.times is not None
    assert found.times.times == pytest.approx(2.0)
    assert found.times.low < 2 < found.times.high
    # The odds are more than the rates: 10 of 50 to 20 of 50 are 2.67 times.
    assert found.odds is not None
    assert found.odds.times > found.times.times
    assert found.athletes == 2


def test_a_set_without_a_half_is_left_out() -> None:
    assert halves([lane("1", 1, (1, 1, True))]).first == rate(0, 0)
    played = Played(window()).go()
    played.press(5, WriteNoReps(set=SetKey(1, 1, 1), n=2, fault="depth"))
    assert not halves([lane_rows(played.lane)]).first.attempts
    paper = Played(simple(9)).go()
    paper.press(461, PaperTime())
    assert not halves([lane_rows(paper.lane)]).first.attempts


def test_it_is_clear_where_it_is_so_and_not_where_it_is_not() -> None:
    late = a_class(lambda rep: 0.03 if rep < 9 else 0.12)
    assert late.is_clear
    assert late.times is not None
    assert late.times.low < 4 < late.times.high
    assert not late.is_few
    assert not a_class(lambda _: 0.07).is_clear
    assert a_class(lambda _: 0.07, 4).is_few
    never = a_class(lambda _: 0.0)
    assert (never.times, never.odds, never.p) == (None, None, 1.0)
    assert (never.is_few, never.is_clear) == (True, False)
