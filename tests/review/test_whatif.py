"""The other answer to every ruling, dispute and press at a horn; who moves with it."""

from __future__ import annotations

from functools import partial

from judgekit.core.entry import Dispute, Horn, NoRep, Rep, Rule, Time
from judgekit.core.plan import SetKey
from judgekit.core.press import Answering, DisputeAt
from judgekit.core.ruling import Reopen, RepsInSet, TimeBy
from judgekit.reports.standings import rank
from judgekit.review.whatif import Move, otherwise
from tests.support import Played, simple, window

SET = SetKey(1, 1, 1)
RANK = partial(rank, substituted="together", beside={})


def timed(bib: str, last: float) -> Played:
    """Two squats for time, the second at `last` seconds."""
    played = Played(simple(2, bib=bib), book=bib).go()
    played.each(Rep(), 2, last)
    return played


def test_a_penalty_not_given_changes_who_is_first() -> None:
    """A: 10 s and 5 s added, 15 s. B: 12 s. Without the ruling A is first."""
    one, two = timed("A", 10), timed("B", 12)
    one.press(20, Rule(effect=TimeBy(by_ms=5000), why="left the lane"))
    (other,) = otherwise([one.lane, two.lane], RANK)
    assert (other.question, other.before.shown, other.after.shown) == (
        "ruling",
        "0:15",
        "0:10",
    )
    assert other.moves == (
        Move(bib="A", before=2, after=1),
        Move(bib="B", before=1, after=2),
    )


def test_a_dispute_is_weighed_as_if_granted_until_it_is_ruled_on() -> None:
    one, two = timed("A", 14), timed("B", 12)
    claim = Dispute(about="clock late", claims=TimeBy(by_ms=-3000))
    one.press(20, claim)
    (other,) = otherwise([one.lane, two.lane], RANK)
    assert (other.question, other.after.shown) == ("dispute", "0:11")
    assert [m.after for m in other.moves] == [1, 2]
    granted = Rule(effect=TimeBy(by_ms=-1000), why="video")
    one.press(30, Answering(ruling=granted, disputes=(1,)))
    (ruled,) = otherwise([one.lane, two.lane], RANK)
    # What was ruled is weighed now: without it the score is 14 s again.
    assert (ruled.question, ruled.before.shown, ruled.after.shown) == (
        "ruling",
        "0:13",
        "0:14",
    )
    assert ruled.moves == ()


def test_a_disputed_no_rep_counts_in_its_set() -> None:
    """Window of 5 minutes: two squats and a no-rep; granted, three."""
    played = Played(window(bib="A"), book="A").go()
    played.each(Rep(), 10, 20)
    played.press(30, NoRep(faults=("depth",)))
    played.press(300, Time())
    played.press(320, DisputeAt(at=30_000, counts=True, about="deep enough"))
    (other,) = otherwise([played.lane], RANK)
    assert (other.before.value, other.after.value) == (2, 3)


def test_a_rep_at_the_horn_is_weighed_until_it_is_answered() -> None:
    played = Played(window(bib="A"), book="A").go()
    played.each(Rep(), 10, 300.4)
    (other,) = otherwise([played.lane], RANK)
    assert (other.question, other.before.value, other.after.value) == ("horn", 1, 2)
    asked = played.lane.horn_asks[0]
    played.press(310, Horn(target=asked, counts=False))
    assert otherwise([played.lane], RANK) == ()


def test_what_changes_no_score_is_no_question() -> None:
    played = timed("A", 10)
    played.press(20, Rule(effect=Reopen(), why="heard"))
    assert otherwise([played.lane], RANK) == ()


def test_reps_ruled_off_come_back_without_the_ruling() -> None:
    played = Played(window(bib="A"), book="A").go()
    played.each(Rep(), 10, 20, 30)
    played.press(300, Time())
    played.press(310, Rule(effect=RepsInSet(set=SET, by=-2), why="video"))
    (other,) = otherwise([played.lane], RANK)
    assert (other.before.value, other.after.value) == (1, 3)
