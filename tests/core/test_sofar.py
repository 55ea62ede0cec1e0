"""The order so far: units done, then who had done them first; finished before all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import Rep, Withdraw
from judgekit.core.sofar import order_so_far
from tests.support import Played, simple, window

if TYPE_CHECKING:
    from judgekit.core.plan import Plan


def lane(plan: Plan, *seconds: float) -> Played:
    played = Played(plan).go()
    played.each(Rep(), *seconds)
    return played


def places(*lanes: Played) -> list[tuple[int | None, bool]]:
    return [(p.rank, p.tied) for p in order_so_far([one.lane for one in lanes])]


def test_more_units_come_first_then_the_earlier_time() -> None:
    found = places(
        lane(simple(3), 5, 10),
        lane(simple(3), 5),
        lane(simple(3), 5, 9),
        lane(simple(3), 5, 10),
    )
    assert found == [(2, True), (4, False), (1, False), (2, True)]


def test_who_has_finished_is_before_who_has_not_and_by_their_times() -> None:
    found = places(lane(simple(2), 5, 12), lane(simple(2), 4), lane(simple(2), 5, 11))
    assert found == [(2, False), (3, False), (1, False)]


def test_who_has_done_nothing_or_has_left_has_no_place() -> None:
    gone = lane(simple(3), 5, 6)
    gone.press(20, Withdraw())
    found = places(lane(simple(3)), gone, lane(simple(3), 9), Played(simple(3)))
    assert found == [(None, False), (None, False), (1, False), (None, False)]


def test_reps_in_a_window_stand_by_their_number_while_it_is_open() -> None:
    found = places(lane(window(), 5, 10, 15), lane(window(), 3, 6), lane(window(), 4))
    assert found == [(1, False), (2, False), (3, False)]


def test_divisions_are_placed_apart() -> None:
    others = simple(3, division="men")
    found = places(lane(simple(3), 5), lane(others, 4), lane(others, 3))
    assert found == [(1, False), (2, False), (1, False)]


def test_once_all_have_a_score_the_order_is_that_of_the_standings() -> None:
    done = lane(simple(2), 5, 12), lane(simple(2), 5, 11)
    assert [p.score.shown for p in order_so_far([d.lane for d in done])] == [
        "0:12",
        "0:11",
    ]
    assert places(*done) == [(2, False), (1, False)]
