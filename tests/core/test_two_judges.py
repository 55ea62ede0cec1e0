"""One work that two judges count: rulings move the score, whichever count it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Accept, NoRep, Rep, Rule, Time
from judgekit.core.plan import PlanTeam, SetKey
from judgekit.core.press import Act, RuleAt, WriteSet
from judgekit.core.ruling import Close, RepsInSet, StartBy, StatusIs
from judgekit.core.twojudges import (
    ALONE,
    DIFFER,
    differ_words,
    lower_of,
    score_of_both,
    second_lane,
    shown_of_each,
)
from tests.support import Played, simple, window

if TYPE_CHECKING:
    from judgekit.core.score import Score

SET = SetKey(1, 1, 1)


def judge(book: str, *reps: str) -> Played:
    """A judge's log: + a good rep, - a no-rep, every three seconds from 2 s on."""
    played = Played(window(team=PlanTeam(judges=2)), book=book).go()
    for number, sign in enumerate(reps):
        act = Rep() if sign == "+" else NoRep(faults=("depth",))
        played.press(2 + 3 * number, act)
    played.press(300, Time())
    return played


@pytest.mark.parametrize(
    ("first", "second", "ruling", "counts"),
    [
        # 4 and 3: one more by ruling is 4, one less is 2.
        ("++++", "+++-", Rule(effect=RepsInSet(set=SET, by=1), why="video"), 4),
        ("++++", "+++-", Rule(effect=RepsInSet(set=SET, by=-1), why="video"), 2),
        # The first judge's no-rep counts after all, whatever the second one saw.
        ("++-+", "++-+", RuleAt(restore=True, at=8000, why="video"), 4),
        ("++-+", "++++", RuleAt(restore=True, at=8000, why="video"), 4),
        # A rep that does not count after all: the second one had none of it, or had.
        ("++++", "+++-", RuleAt(restore=False, at=11_000, why="video"), 3),
        ("++++", "++++", RuleAt(restore=False, at=11_000, why="video"), 3),
    ],
)
def test_a_ruling_moves_the_score_of_both(
    first: str, second: str, ruling: Act, counts: int
) -> None:
    one, two = judge("b", *first), judge("s", *second)
    one.press(400, ruling)
    assert one.refusals == []
    other = second_lane(one.lane, two.entries)
    assert score_of_both(one.lane, other).reps == counts


@pytest.mark.parametrize(("by", "shown"), [(5000, "0:07"), (-5000, "0:17")])
def test_a_moved_start_moves_the_time_of_both(by: int, shown: str) -> None:
    plan = simple(2, team=PlanTeam(judges=2))
    one, two = Played(plan).go(), Played(plan, book="s").go()
    one.each(Rep(), 8, 11)
    two.each(Rep(), 8, 12)
    one.press(60, Rule(effect=StartBy(by_ms=by), why="video"))
    assert score_of_both(one.lane, second_lane(one.lane, two.entries)).shown == shown


def test_alone_one_judge_leaves_the_score_open() -> None:
    one, two = judge("b", "+"), judge("s", "+")
    assert ALONE in score_of_both(one.lane, None).provisional
    assert ALONE not in score_of_both(one.lane, two.lane).provisional


# --- one judge saw all work done, the other one not ----------------------------------


def at_odds(cap_ms: int = 60_000, *, through: bool = True) -> tuple[Played, Played]:
    """Two reps at 0:08 and 0:11; the second judge counted one of them."""
    plan = simple(2, team=PlanTeam(judges=2), cap_ms=cap_ms)
    one, two = Played(plan).go(), Played(plan, book="s").go()
    one.each(Rep(), 8, 11)
    two.press(8, Rep())
    if through:
        two.press(60, Time())
    assert one.refusals + two.refusals == []
    return one, two


def of_both(one: Played, two: Played) -> Score:
    return score_of_both(one.lane, second_lane(one.lane, two.entries))


def test_work_that_one_judge_saw_done_is_short_once_both_are_through() -> None:
    one, two = at_odds()
    found = of_both(one, two)
    assert (found.status, found.detail) == ("capped", "1 of 2, 1 short")
    assert found.rank_key is not None
    assert f"{DIFFER} (part A, round 1, front squat: 2 and 1)" in found.provisional


def test_while_the_second_judge_counts_on_it_goes_on() -> None:
    one, two = at_odds(through=False)
    found = of_both(one, two)
    assert (found.status, found.rank_key) == ("in progress", None)
    assert not [why for why in found.provisional if why.startswith(DIFFER)]


def test_without_a_cap_it_is_not_finished() -> None:
    assert of_both(*at_odds(cap_ms=0)).status == "did not finish"


def test_it_is_the_same_where_the_second_judge_saw_it_done() -> None:
    two, one = at_odds()
    found = score_of_both(one.lane, two.lane)
    assert (found.status, found.detail) == ("capped", "1 of 2, 1 short")
    assert f"{DIFFER} (part A, round 1, front squat: 1 and 2)" in found.provisional


def test_a_ruling_of_the_rep_gives_the_time_at_which_it_was_seen_done() -> None:
    one, two = at_odds()
    one.put(Rule(effect=RepsInSet(set=SET, by=1), why="video"), 90_000)
    found = of_both(one, two)
    assert (found.status, found.shown) == ("finished", "0:11")
    assert not [why for why in found.provisional if why.startswith(DIFFER)]
    second = second_lane(one.lane, two.entries)
    assert shown_of_each(one.lane, second) == ("0:11", "0:11")
    assert differ_words(one.lane, second) == ""


@pytest.mark.parametrize(
    ("effect", "status"),
    [(Close(), "capped"), (StatusIs(status="did not finish"), "did not finish")],
)
def test_to_close_the_card_or_rule_a_status_settles_it(
    effect: Close | StatusIs, status: str
) -> None:
    one, two = at_odds()
    one.press(90, Rule(effect=effect, why="seen"))
    found = of_both(one, two)
    assert (found.status, found.shown) == (status, "1 of 2")
    assert not [why for why in found.provisional if why.startswith(DIFFER)]


def test_a_closed_card_is_over_though_the_second_judge_never_ended() -> None:
    one, two = at_odds(through=False)
    one.press(90, Rule(effect=Close(), why="the laptop died"))
    found = of_both(one, two)
    assert (found.status, found.shown, found.may_change) == ("capped", "1 of 2", False)


def test_what_the_first_judge_has_signed_waits_for_the_second_one() -> None:
    one, two = at_odds(through=False)
    one.each(Accept(who="athlete", signed=True), 12)
    one.each(Accept(who="judge", signed=True), 12)
    assert one.lane.closed
    assert of_both(one, two).status == "in progress"
    two.press(13, Rep())
    assert of_both(one, two).shown == "0:13"


def test_where_reps_are_the_score_the_lower_count_needs_no_ruling() -> None:
    one, two = judge("b", *"++++"), judge("s", *"+++-")
    found = of_both(one, two)
    assert found.reps == 3
    assert not [why for why in found.provisional if why.startswith(DIFFER)]


def test_a_set_without_a_time_of_one_judge_has_the_other_one_s() -> None:
    plan = simple(2, team=PlanTeam(judges=2), cap_ms=60_000)
    one, two = Played(plan).go(), Played(plan, book="s").go()
    one.each(Rep(), 8, 11)
    two.press(0, WriteSet(set=SET, n=2))
    (done,) = lower_of(one.lane, two.lane).work.sets
    assert (done.good, done.done_ms) == (2, 11_000)
