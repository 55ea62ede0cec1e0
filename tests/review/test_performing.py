from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.bodies import card_body
from judgekit.core.entry import GoOn, NoRep, Rep, Stop
from judgekit.review.performing import (
    GAP_MS,
    UNEVEN,
    WAIT_MS,
    WORD_MS,
    repertoire,
    script,
)
from tests.rehearsing import CARDS, athlete, called, rehearsal, right
from tests.support import Played

if TYPE_CHECKING:
    from judgekit.review.performing import Performed

SHOWN = ("wall-ball-shot", "air-squat", "burpee")
BY_REP = [id_ for id_ in CARDS if "reps" in CARDS[id_].counts]


@given(seed=st.integers(0, 2**32), percent=st.integers(20, 100))
def test_the_same_seed_shows_the_same_reps(seed: int, percent: int) -> None:
    found = rehearsal(*SHOWN)

    def shown() -> tuple[Performed, ...]:
        return script(found.plan, athlete(found, seed=seed, percent=percent))

    assert shown() == shown()


def test_another_seed_shows_others() -> None:
    found = rehearsal(*SHOWN)
    one, other = (script(found.plan, athlete(found, seed=seed)) for seed in (1, 2))
    assert [p.says for p in one] != [p.says for p in other]


@given(seed=st.integers(0, 2**32), percent=st.sampled_from([25, 50, 100]))
def test_reps_come_one_after_the_other_and_never_quicker_than_they_can_be_read(
    seed: int, percent: int
) -> None:
    found = rehearsal(*SHOWN)
    performed = script(found.plan, athlete(found, seed=seed, percent=percent))
    assert len(performed) == 20
    for one, following in pairwise(performed):
        assert following.at_ms >= one.until_ms + GAP_MS
    for one in performed:
        took = (one.until_ms - one.at_ms) * percent // 100
        ordinary = found.plan.card(one.card).ordinary_ms
        reading = WORD_MS * len(one.says.split())
        slowest = round(ordinary * (1 + UNEVEN))
        assert reading - 1 <= took <= max(reading, slowest)


@pytest.mark.parametrize("card", BY_REP)
def test_every_described_rep_of_a_card_comes_up_as_often_as_its_like(card: str) -> None:
    found = rehearsal(card, reps=200)
    performed = script(found.plan, athlete(found, reps=200))
    words = Counter(p.says for p in performed)
    assert {e.says for e in CARDS[card].examples if words[e.says] > 9} == {*words}
    good = Counter(p.says for p in performed if not p.fault)
    bad = Counter(p.fault for p in performed if p.fault)
    assert [max(ways.values()) - min(ways.values()) <= 2 for ways in (good, bad)] == [
        True,
        True,
    ]
    assert bad.total() >= 60


@given(seed=st.integers(0, 2**32))
def test_the_same_bad_way_never_comes_twice_running(seed: int) -> None:
    found = rehearsal("wall-ball-shot", reps=60)
    performed = script(found.plan, athlete(found, seed=seed, reps=60))
    bad = [p.fault for p in performed if p.fault]
    assert all(one != other for one, other in pairwise(bad))


def test_the_athlete_does_what_the_count_leaves_to_be_done() -> None:
    # Whatever is called, the next rep is of the movement that the Floor shows.
    found = rehearsal(*SHOWN)
    performer = athlete(found)
    played = called(found, performer, lambda _: [(800, Rep())])
    wanted = [found.plan.card_of(a.set).id for a in played.lane.work.attempts]
    assert [p.card for p in performer.performed] == wanted
    assert len(set(wanted)) == 3


def test_the_athlete_looks_up_for_the_count_where_a_set_may_be_full() -> None:
    found = rehearsal("air-squat")
    performer = athlete(found)
    played = Played(found.plan).go()
    for _ in range(2):
        performer.look(performer.due_ms, played.lane)
        played.press(performer.due_ms / 1000 - 1, Rep())
    performer.look(performer.due_ms, played.lane)
    due = performer.due_ms
    performer.look(due, played.lane)
    assert (len(performer.performed), performer.due_ms) == (3, due + WAIT_MS)
    performer.look(performer.due_ms, played.lane)
    assert [p.at_ms for p in performer.performed[3:]] == [due + WAIT_MS]


def test_the_way_to_another_movement_takes_as_long_as_its_card_says() -> None:
    found = rehearsal(*SHOWN)
    performed = script(found.plan, athlete(found, percent=50))
    ways = 0
    for one, following in pairwise(performed):
        moved = one.card != following.card
        ways += moved
        way = 2 * found.plan.card(following.card).changeover_ms if moved else 0
        assert following.at_ms == one.until_ms + GAP_MS + way
    assert ways >= 3


def test_an_athlete_who_was_stopped_stands_still_until_let_go_on() -> None:
    found = rehearsal("air-squat")
    performer = athlete(found)
    played = Played(found.plan).go()
    played.press(1, Stop())
    for at in range(1000, 9000, 250):
        performer.look(at, played.lane)
    assert performer.performed == []
    played.press(9, GoOn(by_mistake=True))
    performer.look(9250, played.lane)
    assert [p.at_ms for p in performer.performed] == [9250]


def test_nothing_is_said_between_two_reps() -> None:
    found = rehearsal("air-squat")
    performer = athlete(found)
    assert performer.says(0) == ""
    performer.look(0, Played(found.plan).go().lane)
    (shown,) = performer.performed
    says = [performer.says(at) for at in (0, shown.until_ms - 1, shown.until_ms)]
    assert says == [shown.says, shown.says, ""]


def test_reps_go_by_the_settings_in_force() -> None:
    card = CARDS["wall-ball-shot"]
    shows = {
        value: repertoire(card, card_body(card, {"wall-ball-shot.line": value}))
        for value in ("counts", "above")
    }
    at_the_line = {
        value: [
            (one.fault, one.says)
            for one in (*found.good, *found.bad)
            if "hits the line" in one.says
        ]
        for value, found in shows.items()
        if found is not None
    }
    assert [fault for fault, _ in at_the_line["counts"]] == [""]
    assert [fault for fault, _ in at_the_line["above"]] == ["low-ball"]


def test_a_rep_is_only_shown_bad_for_a_fault_that_is_in_force() -> None:
    card = CARDS["pull-up"]
    body = card_body(card, {"pull-up.style": "any"})
    shows = repertoire(card, body)
    assert shows is not None
    assert {one.fault for one in shows.bad} <= {f.id for f in body.faults}


def test_a_card_without_described_reps_cannot_be_shown() -> None:
    from dataclasses import replace

    card = CARDS["air-squat"]
    body = card_body(card, {})
    good = tuple(e for e in card.examples if not e.fault)
    assert repertoire(replace(card, examples=()), body) is None
    assert repertoire(replace(card, examples=good), body) is None


def test_the_script_is_what_a_judge_without_fault_would_see() -> None:
    found = rehearsal(*SHOWN)
    performer = athlete(found, seed=5)
    played = called(found, performer, lambda s: [(s.until_ms - s.at_ms, right(s))])
    assert tuple(performer.performed) == script(found.plan, athlete(found, seed=5))
    attempts = played.lane.work.attempts
    assert [a.faults for a in attempts] == [
        (p.fault,) if p.fault else () for p in performer.performed
    ]
    assert all(isinstance(e.body, Rep | NoRep) for e in played.entries[2:])
