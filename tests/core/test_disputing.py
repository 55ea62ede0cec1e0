"""Disputes: what may be questioned, until when, with which claim."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core import disputing
from judgekit.core.entry import Dispute, NoRep, Rep, Rule, Time
from judgekit.core.plan import SetKey
from judgekit.core.press import DisputeAt
from judgekit.core.ruling import Reopen, RepsInSet, RestoreAttempt, TimeBy
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


def test_the_time_to_question_runs_from_the_last_judgement() -> None:
    one = played(dispute_ms=15 * MINUTE)
    assert disputing.until_wall(one.lane) == ZERO_WALL + 8000 + 15 * MINUTE
    one.press(60, Time())
    end = ZERO_WALL + 60_000 + 15 * MINUTE
    assert disputing.until_wall(one.lane) == end
    assert disputing.is_open(one.lane, end)
    assert not disputing.is_open(one.lane, end + 1)


def test_without_a_time_limit_a_score_can_be_questioned_until_it_is_accepted() -> None:
    one = played(dispute_ms=0)
    assert disputing.until_wall(one.lane) is None
    assert disputing.is_open(one.lane, ZERO_WALL + 10**9)


def test_a_late_dispute_is_kept_and_known_to_be_late() -> None:
    one = played(dispute_ms=15 * MINUTE)
    one.press(20, ONE_MORE)
    one.press(8 + 15 * 60 + 1, FASTER)
    late = [disputing.is_late(one.lane, entry) for entry in one.lane.disputes]
    assert late == [False, True]


def test_a_dispute_is_open_until_a_ruling_follows_it() -> None:
    one = played()
    one.press(15, Time())
    one.press(20, ONE_MORE)
    assert disputing.unruled(one.lane) == one.lane.disputes
    # A card is opened again to hear it: that answers nothing.
    one.press(30, Rule(effect=Reopen(), why="to hear it"))
    assert disputing.unruled(one.lane) == one.lane.disputes
    assert "disputed" in score(one.lane).provisional
    one.press(40, Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=1), why="seen"))
    assert disputing.unruled(one.lane) == ()
