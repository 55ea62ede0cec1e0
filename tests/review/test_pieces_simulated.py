"""Breaks found in athletes whose truth is known, and what holds of every set."""

from __future__ import annotations

from dataclasses import replace
from itertools import accumulate
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.entry import NoRep, Rep
from judgekit.review.pieces import lane_pieces
from tests.building import plan_of, rounds
from tests.review.simulated import Manner, breaks_found, simulated, workout
from tests.support import Played, card, movement

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.state import Lane
    from judgekit.review.pieces import LanePieces

ATHLETES = range(12)


@pytest.mark.parametrize(
    ("manner", "precision", "recall"),
    [
        (Manner(uneven=0.05, drift=0, thumb=50), 1.0, 1.0),
        (Manner(), 1.0, 1.0),
        (Manner(drift=0.8), 0.97, 0.97),
        (Manner(missed=0.06), 0.98, 1.0),
        (Manner(doubled=0.02), 1.0, 1.0),
        # Where it fails: what is uneven looks broken, a short pause whole, the burst of
        # a judge who looked away like a pause, and single reps like a slow set.
        (Manner(uneven=0.18), 0.92, 0.95),
        (Manner(pause=(1500, 3000)), 0.97, 0.85),
        (Manner(late=0.02), 0.90, 1.0),
        (Manner(singles=0.2), 1.0, 0.85),
    ],
    ids=(
        *("even", "usual", "slowing", "no-reps", "doubled", "uneven", "short pauses"),
        *("late judge", "singles"),
    ),
)
def test_breaks_are_found_where_they_were(
    manner: Manner, precision: float, recall: float
) -> None:
    """A dozen athletes each, always the same ones."""
    hits = told = true = 0
    for seed in ATHLETES:
        lane, truth = simulated(workout(), manner, seed)
        found = breaks_found(lane_pieces(lane))
        hits += len(found & truth.breaks)
        told += len(found)
        true += len(truth.breaks)
    assert hits / told >= precision
    assert hits / true >= recall


# --- what holds of every set -------------------------------------------------------

FLOOR = 700
_gaps = st.lists(
    st.tuples(st.integers(1800, 2200), st.sampled_from((1, 1, 1, 4)), st.booleans()),
    min_size=6,
    max_size=30,
)


def judged(presses: Sequence[tuple[int, int, bool]], times: int = 1) -> LanePieces:
    """A set of presses: each ms after the one before, times a pause, good or not."""
    squat = replace(card("front-squat", floor=FLOOR * times), brisk_ms=900 * times)
    plan = plan_of(rounds(1, movement("front-squat", 99)), cards=(squat,))
    played = Played(plan).go()
    at = accumulate(gap * pause * times for gap, pause, _ in presses)
    for when, (_, _, good) in zip(at, presses, strict=True):
        played.press(when / 1000, Rep() if good else NoRep(faults=("depth",)))
    return lane_pieces(played.lane)


@given(_gaps)
def test_pieces_add_up_to_the_good_reps(presses: list[tuple[int, int, bool]]) -> None:
    for one in judged(presses).sets:
        assert sum(one.pieces) == one.good


@given(st.integers(300, 20_000), st.integers(2, 40))
def test_an_even_set_is_one_piece(gap: int, reps: int) -> None:
    (one,) = judged([(gap, 1, True)] * reps).sets
    assert one.pieces == (reps,)


@given(_gaps, st.integers(2, 5))
def test_a_slower_clock_leaves_the_pieces_as_they_are(
    presses: list[tuple[int, int, bool]], times: int
) -> None:
    """But for the moment in which one hears of a no-rep, which is the same for all."""
    good = [(gap, pause, True) for gap, pause, _ in presses]
    (once,), (more,) = judged(good).sets, judged(good, times).sets
    assert once.pieces == more.pieces


@given(_gaps)
def test_no_time_is_below_nothing(presses: list[tuple[int, int, bool]]) -> None:
    found = judged(presses)
    for one in found.sets:
        assert one.rested_ms >= 0
        assert one.way_ms is None or one.way_ms >= 0
        assert all(step.gap is None or step.gap >= 0 for step in one.steps)


@settings(max_examples=8)
@given(st.integers(0, 10_000))
def test_any_prefix_of_a_log_has_pieces(seed: int) -> None:
    manner = Manner(missed=0.1, late=0.05, doubled=0.05, singles=0.2)
    lane, _ = simulated(workout(), manner, seed)
    some: Lane = replace(
        lane, work=replace(lane.work, attempts=lane.work.attempts[: seed % 100])
    )
    for one in lane_pieces(some).sets:
        assert one.untold or sum(one.pieces) == one.good
