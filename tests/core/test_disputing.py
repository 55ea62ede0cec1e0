"""Disputes: what may be questioned, until when, with which claim."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core import disputing
from judgekit.core.entry import Accept, Dispute, NoRep, Rep, Rule, Time
from judgekit.core.plan import SetKey
from judgekit.core.press import Answering, DisputeAt, RuleAt
from judgekit.core.ruling import (
    Close,
    Reopen,
    RepsInSet,
    RestoreAttempt,
    RunCounts,
    Stands,
    TimeBy,
)
from judgekit.core.score import score
from tests.support import ZERO_WALL, Played, simple

if TYPE_CHECKING:
    from judgekit.core.people import Disputes

ONE_MORE = Dispute(
    about="one was not counted", claims=RepsInSet(set=SetKey(1, 1, 1), by=1)
)
FASTER = Dispute(about="the clock was late", claims=TimeBy(by_ms=-3000))
MINUTE = 60_000


def played(**changes: object) -> Played:
    one = Played(simple(3, **changes)).go()
    one.each(Rep(), 2, 5)
    one.press(8, NoRep(faults=("depth",)))
    return one


@pytest.mark.parametrize(
    ("rule", "count", "time"),
    [
        ("count-and-time", [], []),
        ("count", [], ["Only the count can be questioned at this event."]),
        ("time", ["Only the time can be questioned at this event."], []),
        (
            "none",
            ["Scores cannot be questioned at this event."],
            ["Scores cannot be questioned at this event."],
        ),
    ],
)
def test_the_event_says_what_may_be_questioned(
    rule: Disputes, count: list[str], time: list[str]
) -> None:
    for dispute, refused in ((ONE_MORE, count), (FASTER, time)):
        one = played(disputes=rule)
        one.press(20, dispute)
        assert one.refusals == refused
        assert len(one.lane.disputes) == (0 if refused else 1)


def test_a_no_rep_is_questioned_by_its_time() -> None:
    one = played()
    at = DisputeAt(at=8000, counts=True, about="deep enough", by="27", evidence="0:08")
    one.press(30, at)
    no_rep = one.entries[-2].ref
    assert one.entries[-1].body == Dispute(
        about="deep enough",
        by="27",
        claims=RestoreAttempt(target=no_rep),
        target=no_rep,
        evidence="0:08",
    )
    one.press(31, replace(at, at=9000))
    assert one.refusals == ["No attempt is stamped 0:09.000."]


def test_no_more_is_claimed_than_could_be_granted() -> None:
    one = played()
    too_many = RepsInSet(set=SetKey(1, 1, 1), by=9)
    nowhere = RepsInSet(set=SetKey(4, 1, 1), by=1)
    for claim in (too_many, nowhere):
        one.press(20, replace(ONE_MORE, claims=claim))
    assert one.refusals == [
        "That set has 2 good and 1 left: it cannot move +9.",
        "The workout has no such set.",
    ]


def test_the_time_to_question_runs_from_the_last_judgement() -> None:
    one = played(dispute_ms=15 * MINUTE)
    assert disputing.until_wall(one.lane) == ZERO_WALL + 8000 + 15 * MINUTE
    one.press(60, Time())
    end = ZERO_WALL + 60_000 + 15 * MINUTE
    assert disputing.until_wall(one.lane) == end
    assert disputing.open_until(one.lane, end) == end
    assert disputing.open_until(one.lane, end + 1) is None


def test_without_a_time_limit_a_score_can_be_questioned_until_it_is_accepted() -> None:
    one = played(dispute_ms=0)
    assert disputing.until_wall(one.lane) is None
    assert disputing.waits_for_signatures(one.lane)


def test_a_late_dispute_is_kept_and_known_to_be_late() -> None:
    one = played(dispute_ms=15 * MINUTE)
    one.press(20, ONE_MORE)
    one.press(8 + 15 * 60 + 1, FASTER)
    late = [disputing.is_late(one.lane, entry) for entry in one.lane.disputes]
    assert late == [False, True]


def test_a_score_is_provisional_until_the_time_for_questions_is_over() -> None:
    one = played(dispute_ms=15 * MINUTE)
    one.press(15, Time())
    end = ZERO_WALL + 15_000 + 15 * MINUTE
    open_, over = score(one.lane, end), score(one.lane, end + 1)
    assert (open_.until, open_.provisional, open_.may_change) == (end, (), True)
    assert (over.until, over.provisional, over.may_change) == (None, (), False)
    # Without a moment nobody knows that it is over.
    assert score(one.lane).until == end


def test_or_until_everybody_has_accepted() -> None:
    one = played(dispute_ms=15 * MINUTE)
    one.press(15, Time())
    one.press(20, Accept(who="athlete", signed=True))
    assert score(one.lane, ZERO_WALL + 20_000).may_change
    one.press(21, Accept(who="judge", signed=False))
    assert not score(one.lane, ZERO_WALL + 21_000).may_change
    # Opened again it is neither the one nor the other, however late it is.
    one.press(30, Rule(effect=Reopen(), why="to hear it"))
    much_later = score(one.lane, ZERO_WALL + 10**9)
    assert (much_later.provisional, much_later.until) == (("not accepted yet",), None)


def test_without_a_time_only_signatures_end_it() -> None:
    one = played(dispute_ms=0)
    one.press(15, Time())
    assert score(one.lane, ZERO_WALL + 10**9).provisional == ("not accepted yet",)


def test_a_dispute_that_came_too_late_makes_nothing_provisional() -> None:
    one = played(dispute_ms=15 * MINUTE)
    one.press(15, Time())
    one.press(14 * 60, ONE_MORE)
    much_later = ZERO_WALL + 10**9
    assert score(one.lane, much_later).provisional == ("disputed",)
    one = played(dispute_ms=15 * MINUTE)
    one.press(15, Time())
    one.press(16 * 60, ONE_MORE)
    assert not score(one.lane, much_later).may_change
    assert disputing.unruled(one.lane) == one.lane.disputes


def test_on_a_card_opened_again_a_dispute_is_heard() -> None:
    one = played(dispute_ms=0)
    one.press(15, Time())
    one.press(20, Accept(who="athlete", signed=True))
    one.press(21, Accept(who="judge", signed=True))
    one.press(30, ONE_MORE)
    one.press(40, Rule(effect=Reopen(), why="to hear it"))
    one.press(50, FASTER)
    late = [disputing.is_late(one.lane, entry) for entry in one.lane.disputes]
    assert late == [True, False]
    assert "disputed" in score(one.lane).provisional


def questioned() -> Played:
    """Two reps, a no-rep, time called; then two disputes: of the count, of the time."""
    one = played()
    one.press(15, Time())
    one.press(20, ONE_MORE)
    one.press(21, FASTER)
    return one


def open_of(one: Played) -> list[int]:
    return [disputing.number_of(one.lane, e.ref) for e in disputing.unruled(one.lane)]


ONE_REP = Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=1), why="seen")


def test_a_dispute_is_open_until_a_ruling_that_names_it() -> None:
    one = questioned()
    one.press(40, Answering(ruling=ONE_REP, disputes=(1,)))
    assert open_of(one) == [2]
    assert "disputed" in score(one.lane).provisional
    late = Rule(effect=Stands(), why="the clock was right")
    one.press(41, Answering(ruling=late, disputes=(2,)))
    assert open_of(one) == []
    assert "disputed" not in score(one.lane).provisional
    assert [r.rule.why for r in disputing.ended(one.lane).values()] == [
        "seen",
        "the clock was right",
    ]


def test_a_ruling_about_something_else_ends_no_dispute() -> None:
    one = questioned()
    # Not even one that changes the very set which is disputed.
    one.press(40, ONE_REP)
    one.press(41, Rule(effect=TimeBy(by_ms=5000), why="left the lane"))
    assert open_of(one) == [1, 2]
    one.press(42, RuleAt(restore=True, at=8000, why="video"))
    assert open_of(one) == [1, 2]


def test_one_ruling_may_answer_several_disputes_and_the_first_one_ends_each() -> None:
    one = questioned()
    restored = RuleAt(restore=True, at=8000, why="video")
    one.press(40, Answering(ruling=restored, disputes=(1, 2)))
    one.press(41, Answering(ruling=ONE_REP, disputes=(1,)))
    assert open_of(one) == []
    assert {r.rule.why for r in disputing.ended(one.lane).values()} == {"video"}


@pytest.mark.parametrize("effect", [Reopen(), Close(), RunCounts(run=1)])
def test_to_open_or_close_a_card_or_choose_a_try_answers_nothing(
    effect: Reopen | Close | RunCounts,
) -> None:
    one = questioned()
    one.press(40, Rule(effect=effect, why="to hear it"))
    assert open_of(one) == [1, 2]
    named = Answering(ruling=Rule(effect=effect, why="to hear it"), disputes=(1,))
    one.press(41, named)
    assert one.refusals == ["To open, to close or to choose a try answers no dispute."]


def test_a_ruling_from_before_they_named_disputes_ends_those_made_before_it() -> None:
    one = played()
    one.press(15, Time())
    one.press(20, ONE_MORE)
    one.put(replace(ONE_REP, answers=None), 30_000)
    one.press(40, FASTER)
    assert open_of(one) == [2]
    one.put(Rule(effect=Reopen(), why="heard", answers=None), 50_000)
    assert open_of(one) == [2]


def test_a_ruling_names_disputes_that_are_there_and_says_why() -> None:
    one = questioned()
    stands = Rule(effect=Stands(), why="on video")
    one.press(40, Answering(ruling=stands, disputes=(3,)))
    one.press(41, stands)
    one.press(42, Answering(ruling=replace(stands, why=""), disputes=(1,)))
    bare = Played(simple(3)).go()
    bare.press(10, Answering(ruling=stands, disputes=(1,)))
    assert [*one.refusals, *bare.refusals] == [
        "This lane has no dispute 3: it has 2.",
        "Say which dispute is answered, as nothing else is ruled.",
        "A ruling needs its reason.",
        "This lane has no dispute 1: nothing in it is disputed.",
    ]


def test_what_stands_amends_no_card_that_was_signed() -> None:
    one = questioned()
    one.press(30, Accept(who="athlete", signed=True))
    one.press(31, Accept(who="judge", signed=True))
    stands = Rule(effect=Stands(), why="on video")
    one.press(40, Answering(ruling=stands, disputes=(1,)))
    assert not one.lane.amended
