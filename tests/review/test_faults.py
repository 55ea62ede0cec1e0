from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import Cue, GoOn, NoRep, Reading, Rep, Stop, Time
from judgekit.core.lane import fold
from judgekit.core.plan import Member, PlanPart, PlanTeam
from judgekit.core.press import (
    Act,
    Called,
    CountAgain,
    EndLook,
    ReportSet,
    RuleAt,
    TakeBackOne,
)
from judgekit.core.score import score
from judgekit.core.tryentry import Works
from judgekit.core.watchentry import Look, Result
from judgekit.review.faults import (
    FaultRate,
    Faults,
    LaneRate,
    MovementRate,
    Rate,
    fault_rates,
    rate,
)
from judgekit.review.intervals import wilson
from judgekit.review.judged import watched_of
from tests.support import Played, card, fault, for_time, movement, simple, window

if TYPE_CHECKING:
    from judgekit.core.state import Lane

NOBODY = Rate(attempts=0, no_reps=0, rate=None, low=None, high=None)


def squats(bib: str, reps: int, *faults: tuple[str, ...], lane: int = 1) -> Lane:
    """A lane of front squats: so many good ones, then no-reps for these reasons."""
    played = Played(simple(60, bib=bib, lane=lane)).go()
    if reps:
        played.press(100, Rep(n=reps))
    for second, reasons in enumerate(faults, 1):
        played.put(NoRep(faults=reasons), 100_000 + 5000 * second)
    return played.lane


def only(found: Faults) -> FaultRate:
    (row,) = found.faults
    return row


def test_a_fault_s_rate_is_its_no_reps_out_of_all_attempts_of_its_movement() -> None:
    found = fault_rates([squats("1", 7, ("depth",)), squats("2", 2, lane=2)])
    low, high = wilson(1, 10) or (0.0, 0.0)
    assert found == Faults(
        faults=(
            FaultRate(
                card="front-squat",
                movement="Front squat",
                fault="depth",
                call="DEPTH",
                rate=Rate(attempts=10, no_reps=1, rate=0.1, low=low, high=high),
                good=9,
                athletes=1,
                of_athletes=2,
            ),
        ),
        movements=(
            MovementRate(
                card="front-squat",
                movement="Front squat",
                rate=rate(1, 10),
                athletes=1,
                of_athletes=2,
                cues=(),
            ),
        ),
        lanes=(
            LaneRate(heat="3", lane=1, bib="1", rate=rate(1, 8)),
            LaneRate(heat="3", lane=2, bib="2", rate=rate(0, 2)),
        ),
        total=rate(1, 10),
        sampled=NOBODY,
    )


def test_no_attempt_has_no_rate_and_no_miss_has_a_rate_of_nought() -> None:
    """C21: nothing tried and nothing missed do not look the same."""
    found = fault_rates(
        [
            squats("1", 0, lane=1),
            squats("2", 50, lane=2),
            squats("3", 2, ("depth",), lane=3),
        ]
    )
    assert [lane.rate.rate for lane in found.lanes] == [None, 0.0, 1 / 3]
    assert found.lanes[0].rate == NOBODY
    assert found.total == rate(1, 53)


def test_a_lane_without_a_single_press_has_no_faults_and_totals_of_nought() -> None:
    found = fault_rates([Played(simple()).lane])
    assert (found.faults, found.total) == ((), NOBODY)
    assert [m.rate for m in found.movements] == [NOBODY]


def test_nothing_at_all_is_no_fault() -> None:
    nothing = Faults(faults=(), movements=(), lanes=(), total=NOBODY, sampled=NOBODY)
    assert fault_rates([]) == nothing


def test_a_no_rep_without_a_reason_is_a_row_of_its_own() -> None:
    found = fault_rates([squats("1", 8, (), ("depth",))])
    assert [(f.fault, f.rate.no_reps) for f in found.faults] == [("", 1), ("depth", 1)]


def test_a_no_rep_with_two_reasons_counts_under_each_and_once_in_the_total() -> None:
    found = fault_rates([squats("1", 9, ("depth", "lock"))])
    assert [(f.fault, f.rate.no_reps) for f in found.faults] == [
        ("depth", 1),
        ("lock", 1),
    ]
    assert found.total == rate(1, 10)


def test_a_reason_counts_as_logged_though_the_card_has_it_no_more() -> None:
    """C32: a renamed reason is neither lost nor moved to the one with its old key."""
    old = squats("1", 6, ("depth",), ("depth",), ("depth",), ("depth",))
    renamed = replace(
        card("front-squat"),
        revision=2,
        faults=(fault("squat_depth", "q"), fault("grip", "d")),
    )
    new = Played(simple(60, heat="1", cards=(renamed,))).go()
    new.press(50, Rep(n=10))
    found = fault_rates([old, new.lane])
    assert (only(found).fault, only(found).call) == ("depth", "")
    assert only(found).rate == rate(4, 20)
    assert found.total.no_reps == 4
    assert only(fault_rates([old])).call == "DEPTH"


def test_presses_after_the_horn_or_let_go_are_no_attempts() -> None:
    late = Played(window(bib="1")).go()
    late.press(10, Rep())
    late.press(310, Time())
    late.put(NoRep(faults=("depth",)), 320_000)
    assert fault_rates([late.lane]).total == rate(0, 1)
    stopped = Played(simple(bib="2")).go()
    stopped.press(10, Rep())
    stopped.press(20, Stop())
    stopped.press(25, Called(fault="depth"))
    stopped.press(30, GoOn(by_mistake=False, by="head judge"))
    assert fault_rates([stopped.lane]).total == rate(0, 1)


def test_a_no_rep_restored_by_a_ruling_is_an_attempt_without_a_fault() -> None:
    played = Played(simple()).go()
    played.press(5, Called(fault="depth"))
    played.press(60, RuleAt(restore=True, at=5000, why="good on video"))
    found = fault_rates([played.lane])
    assert (found.faults, found.total) == ((), rate(0, 1))


def test_a_voided_attempt_is_none_until_a_ruling_restores_it() -> None:
    played = Played(simple()).go()
    played.press(5, Rep())
    played.press(8, Called(fault="depth"))
    played.press(60, RuleAt(restore=False, at=5000, why="short on video"))
    assert fault_rates([played.lane]).total == rate(1, 1)
    played.press(61, RuleAt(restore=False, at=8000, why="not seen"))
    assert fault_rates([played.lane]).total == NOBODY
    played.press(62, RuleAt(restore=True, at=8000, why="good on video"))
    assert fault_rates([played.lane]).total == rate(0, 1)


def test_a_no_rep_restored_into_a_full_set_is_none_any_more() -> None:
    played = Played(simple(1)).go()
    played.press(5, Called(fault="depth"))
    played.press(8, Rep())
    played.press(60, RuleAt(restore=True, at=5000, why="good on video"))
    assert fault_rates([played.lane]).total == rate(0, 2)


def test_where_a_monitor_counts_no_reps_are_told_without_a_rate() -> None:
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=1,
        movements=(movement("row", 9, unit="calories"),),
    )
    played = Played(for_time(parts=(part,))).go()
    played.press(20, Called(fault="lock"))
    played.press(60, Reading(shows=9))
    found = fault_rates([played.lane])
    assert only(found).rate == Rate(
        attempts=None, no_reps=1, rate=None, low=None, high=None
    )
    assert found.total == NOBODY


def test_cues_are_counted_beside_the_rates() -> None:
    played = Played(simple()).go()
    played.press(5, Rep())
    played.press(6, Cue(fault="heels"))
    (squat,) = fault_rates([played.lane]).movements
    assert (squat.cues, squat.rate) == ((("heels", "HEELS", 1),), rate(0, 1))


def test_one_athlete_in_two_heats_is_one_athlete() -> None:
    found = fault_rates(
        [squats("1", 5, ("depth",)), squats("1", 5, ("depth",), lane=2)]
    )
    assert (only(found).athletes, only(found).of_athletes) == (1, 1)


def test_athletes_of_a_team_are_whoever_worked() -> None:
    """A lane of two who take turns is two athletes, of whom one was missed."""
    ada, bo = Member(bib="T1a", name="Ada"), Member(bib="T1b", name="Bo")
    team = PlanTeam(members=(ada, bo), how="shared")
    played = Played(simple(60, bib="T1", team=team)).go()
    played.press(2, Works(bib="T1a"))
    played.press(5, Rep())
    played.press(9, Works(bib="T1b"))
    played.press(12, Called(fault="depth"))
    found = fault_rates([played.lane])
    assert (only(found).athletes, only(found).of_athletes) == (1, 2)
    assert (found.movements[0].athletes, found.movements[0].of_athletes) == (1, 2)


def test_what_is_surely_frequent_and_shared_by_many_comes_first() -> None:
    """One of one may be chance; one in four by three athletes is the class."""
    chance = Played(for_time(bib="9")).go()
    chance.each(Rep(), 2, 5, 8)
    chance.press(11, Called(fault="lock"))
    many = [squats(str(n), 6, ("depth",), ("depth",), lane=n) for n in (1, 2, 3)]
    found = fault_rates([chance.lane, *many])
    assert [(f.movement, f.fault) for f in found.faults] == [
        ("Front squat", "depth"),
        ("Toes to bar", "lock"),
    ]


LANES = st.lists(
    st.builds(
        squats,
        bib=st.sampled_from(["1", "2", "007"]),
        reps=st.integers(0, 5),
        lane=st.integers(1, 4),
    ),
    max_size=4,
    unique_by=lambda lane: lane.plan.lane,
)


@given(LANES)
def test_the_order_of_lanes_never_matters(lanes: list[Lane]) -> None:
    shuffled = lanes[::-1]
    assert fault_rates(shuffled) == fault_rates(lanes)


@given(st.lists(st.sampled_from([(), ("depth",), ("lock",), ("odd",)]), max_size=9))
def test_no_no_rep_is_lost(reasons: list[tuple[str, ...]]) -> None:
    found = fault_rates([squats("1", 3, *reasons)])
    assert found.total == rate(len(reasons), 3 + len(reasons))
    assert sum(f.rate.no_reps for f in found.faults) == len(reasons)


# --- ways of watching kept apart -----------------------------------------------------


def looked_at(bib: str = "1", lane: int = 1) -> Played:
    """Ten squats reported; a look at twelve attempts, one shallow; one noticed."""
    plan = simple(60, bib=bib, lane=lane, watching="reported")
    played = Played(plan).go()
    played.press(5, Look())
    played.press(6, Rep())
    played.press(7, Called(fault="depth"))
    played.press(20, EndLook(seen=12))
    played.press(25, Called(fault="lock"))
    played.press(30, ReportSet(n=10))
    return played


def test_judged_sampled_and_reported_are_never_added_up() -> None:
    found = fault_rates([squats("2", 7, ("depth",), lane=2), looked_at().lane])
    assert [(f.watched, f.fault, f.rate) for f in found.faults] == [
        ("judged", "depth", rate(1, 8)),
        ("sampled", "depth", rate(1, 12)),
        ("reported", "lock", rate(1, None)),
    ]
    assert [(m.watched, m.rate, m.reported) for m in found.movements] == [
        ("judged", rate(1, 8), 0),
        ("reported", rate(1, None), 10),
        ("sampled", rate(1, 12), 0),
    ]
    assert [(row.bib, row.watched, row.rate) for row in found.lanes] == [
        ("1", "sampled", rate(1, 12)),
        ("1", "reported", rate(1, None)),
        ("2", "judged", rate(1, 8)),
    ]
    assert (found.total, found.sampled, found.noticed) == (rate(1, 8), rate(1, 12), 1)


def test_a_look_never_closed_has_no_rate() -> None:
    played = Played(simple(60, watching="reported")).go()
    played.press(5, Look())
    played.press(6, Rep())
    played.press(7, Called(fault="depth"))
    played.press(60, Time())
    found = fault_rates([played.lane])
    assert (found.sampled, found.noticed) == (NOBODY, 1)
    assert only(found).rate == rate(1, None)
    played.press(61, EndLook(seen=4))
    assert fault_rates([played.lane]).sampled == rate(1, 4)


def test_a_look_without_a_press_is_attempts_without_a_fault() -> None:
    played = Played(simple(60, watching="reported")).go()
    played.press(5, Look())
    played.press(30, EndLook(seen=20))
    found = fault_rates([played.lane])
    sampled = next(m for m in found.movements if m.watched == "sampled")
    assert (found.sampled, sampled.of_athletes) == (rate(0, 20), 1)


def test_a_whole_result_is_reported_and_has_no_rate() -> None:
    played = Played(window(bib="1")).go()
    played.press(0, Result(unit="reps", rounds=2, amount=6))
    found = fault_rates([played.lane])
    assert [(m.movement, m.watched, m.reported) for m in found.movements] == [
        ("Front squat", "reported", 15),
        ("Toes to bar", "reported", 17),
    ]
    assert {m.rate for m in found.movements} == {rate(0, None)}
    assert (found.total, found.sampled) == (NOBODY, NOBODY)
    assert watched_of(played.lane) == "reported"


def test_how_a_lane_was_watched() -> None:
    assert watched_of(squats("1", 3)) == "judged"
    assert watched_of(looked_at().lane) == "sampled"
    assert watched_of(Played(simple(watching="reported")).lane) == "reported"


@given(
    st.lists(
        st.sampled_from(
            [
                ReportSet(n=2),
                ReportSet(),
                Look(),
                EndLook(),
                EndLook(seen=9),
                Rep(),
                Called(fault="depth"),
                Cue(fault="heels"),
                TakeBackOne(),
                CountAgain(),
                Stop(),
                GoOn(by_mistake=True),
                GoOn(by_mistake=False, by="coach"),
                Time(),
            ]
        ),
        max_size=30,
    )
)
def test_a_look_never_moves_a_count_and_a_report_never_a_rate(acts: list[Act]) -> None:
    """Without the looks the count is the same, without the reports the rates are."""
    whole, unseen, unsaid = (
        Played(for_time(watching="reported")).go() for _ in range(3)
    )
    seen = (Look, EndLook, Rep, Called, Cue)
    undoing = any(isinstance(act, TakeBackOne | CountAgain) for act in acts)
    for at, act in enumerate(acts, 1):
        before = whole.lane.work.sets
        whole.press(at, act)
        if isinstance(act, seen):
            assert whole.lane.work.sets == before
        else:
            unseen.press(at, act)
        if not isinstance(act, ReportSet):
            unsaid.press(at, act)
    assert fold(whole.plan, whole.entries) == whole.lane
    assert whole.lane.work.attempts == ()
    if not undoing:
        assert unseen.lane.work.sets == whole.lane.work.sets
        assert score(unseen.lane) == score(whole.lane)
    found = fault_rates([whole.lane])
    assert found.total == NOBODY
    if not undoing and whole.lane.work.done_ms is None:
        looks = [look.seen for look in whole.lane.work.looks]
        assert [look.seen for look in unsaid.lane.work.looks] == looks
        assert fault_rates([unsaid.lane]).sampled == found.sampled
