"""What each no-rep took: a range, and why it is one."""

from __future__ import annotations

from dataclasses import replace
from itertools import accumulate

import pytest

from judgekit.core.entry import NoRep, Rep
from judgekit.core.press import EndLook, ReportSet
from judgekit.core.watchentry import Look
from judgekit.review.attempts import lane_rows
from judgekit.review.lost import Lost, Span, added, by_attempt, losses
from judgekit.review.pieces import lane_pieces
from tests.building import plan_of, rounds
from tests.review.simulated import Manner, simulated, workout
from tests.support import Played, movement, simple

MISS = NoRep(faults=("depth",))


def lost_in(played: Played) -> tuple[Lost, ...]:
    rows = lane_rows(played.lane)
    return losses(lane_pieces(played.lane, rows=rows), rows)


def spans(*gaps: float, misses: tuple[int, ...]) -> list[Span | None]:
    played = Played(simple(40)).go()
    for number, at in enumerate(accumulate(gaps), 1):
        played.press(at, MISS if number in misses else Rep())
    return [lost.ms for lost in lost_in(played)]


def test_no_reps_at_one_moment_each_have_what_they_took() -> None:
    played = Played(simple(40)).go()
    for at in (4, 6, 8):
        played.press(at, Rep())
    played.press(11, MISS)
    played.press(11, MISS)
    played.press(13, Rep())
    rows = lane_rows(played.lane)
    lost = losses(lane_pieces(played.lane, rows=rows), rows)
    first, second = (one.ms for one in lost)
    assert first != second
    assert by_attempt(lost, rows) == (None, None, None, first, second, None)


def test_a_no_rep_costs_its_try_and_the_delay_of_the_next() -> None:
    """A rep takes 2 s. The try took 1.8 s, the next one 2.7 s: 0.7 s of it delay."""
    found = spans(4, 2, 2, 2, 1.8, 2.7, 2, 2, 2, misses=(5,))
    assert found == [Span(low=1800, middle=2500, high=2700)]


def test_a_pause_after_a_no_rep_may_have_come_of_it() -> None:
    """10 s until the next rep are 8 more than usual: half of them, or all."""
    found = spans(4, 2, 2, 2, 2, 10, 2, 2, 2, misses=(5,))
    assert found == [Span(low=2000, middle=6000, high=10_000)]


def test_a_pause_before_a_no_rep_came_of_something_else() -> None:
    found = spans(4, 2, 2, 2, 10, 2, 2, 2, 2, misses=(5,))
    assert found == [Span(low=2000, middle=2000, high=2000)]


def test_without_a_try_after_it_a_no_rep_took_its_own() -> None:
    found = spans(4, 2, 2, 2, 2, 2.4, misses=(6,))
    assert found == [Span(low=2000, middle=2400, high=2400)]


def test_the_first_try_of_a_set_is_taken_to_be_as_usual() -> None:
    found = spans(9, 2.5, 2, 2, 2, 2, 2, misses=(1,))
    assert found == [Span(low=2000, middle=2500, high=2500)]


def test_of_who_slows_down_the_high_end_has_what_the_try_more_tired() -> None:
    gaps = [2.0] * 8 + [2.5] * 8 + [3.0] * 8
    (steady,) = spans(4, *[2.0] * 24, misses=(3,))
    (soon,) = spans(4, *gaps, misses=(3,))
    (late,) = spans(4, *gaps, misses=(23,))
    assert steady is not None
    assert soon is not None
    assert late is not None
    assert steady.high == steady.middle
    # The earlier it comes, the more comes after it to be slower.
    assert soon.high - soon.middle > 5 * (late.high - late.middle) > 0


def test_what_was_not_timed_has_no_time() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(5, Look())
    played.press(8, MISS)
    played.press(20, EndLook(seen=6))
    played.press(30, ReportSet(n=20))
    (lost,) = lost_in(played)
    assert (lost.faults, lost.ms) == (("depth",), None)


def test_a_no_rep_on_a_monitor_has_no_time() -> None:
    played = Played(plan_of(rounds(1, movement("row", 20, unit="calories")))).go()
    played.press(20, MISS)
    (lost,) = lost_in(played)
    assert lost.ms is None


def test_estimates_add_up_end_by_end() -> None:
    one, two = Span(low=1, middle=2, high=4), Span(low=10, middle=20, high=40)
    assert added([one, two]) == Span(low=11, middle=22, high=44)
    assert added([]) == Span()


@pytest.mark.parametrize(
    ("manner", "least"),
    [
        (Manner(missed=0.04), 21),
        (Manner(missed=0.04, uneven=0.18), 21),
        (Manner(missed=0.06, drift=0.8), 21),
        (Manner(missed=0.04, upset=0.6), 21),
    ],
    ids=("usual", "uneven", "slowing", "upset"),
)
def test_the_true_loss_lies_within_the_range(manner: Manner, least: int) -> None:
    """Of 24 simulated heats, always the same ones; the bench has 200 of each."""
    inside = 0
    for seed in range(24):
        lane, truth = simulated(workout(), manner, seed)
        rows = lane_rows(lane)
        found = losses(lane_pieces(lane, rows=rows), rows)
        span = added(lost.ms for lost in found if lost.ms is not None)
        inside += span.low <= truth.done_ms - truth.clean_ms <= span.high
        assert len(found) == truth.no_reps
    assert inside >= least
