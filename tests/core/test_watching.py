"""Sets as reported, looks and whole results: what they count and what never."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import (
    Correct,
    Cue,
    Freeze,
    GoOn,
    NoRep,
    Reading,
    Rep,
    Rule,
    Stop,
    Time,
    Unfreeze,
    Withdraw,
)
from judgekit.core.keyed import keyed
from judgekit.core.lane import fold
from judgekit.core.plan import (
    Member,
    Plan,
    PlanPart,
    PlanTeam,
    PlanTieBreak,
    SetKey,
)
from judgekit.core.press import (
    Act,
    Called,
    CountAgain,
    EndLook,
    Keyed,
    Name,
    ReportSet,
    TakeBackOne,
)
from judgekit.core.reporting import set_before, set_to_report
from judgekit.core.ruling import RepsInSet
from judgekit.core.score import score
from judgekit.core.state import SetSaid
from judgekit.core.tryentry import Bar, HoldOn
from judgekit.core.watchentry import Look, LookEnd, Result, SetReported
from tests.support import SQUAT, TOES, Played, for_time, movement, simple, window

FIRST, SECOND = SetKey(1, 1, 1), SetKey(1, 1, 2)


def class_of(plan: Plan) -> Played:
    return Played(replace(plan, watching="reported")).go()


def same_when_folded(played: Played) -> None:
    assert fold(played.plan, played.entries) == played.lane


# --- sets ----------------------------------------------------------------------------


def test_a_set_as_reported_fills_and_nothing_was_tried() -> None:
    played = class_of(for_time())
    played.press(20, ReportSet())
    assert played.counts() == [(*FIRST, 3, 0)]
    assert played.lane.work.cursor == SECOND
    assert played.lane.work.attempts == ()
    assert [said.n for said in played.lane.work.reported] == [3]
    first = played.lane.work.sets[0]
    assert (first.first_ms, first.last_ms, first.done_ms) == (None, None, 20_000)
    same_when_folded(played)


def test_part_of_a_set_is_told_in_all_and_then_the_whole() -> None:
    played = class_of(simple(10))
    played.press(20, ReportSet(n=4))
    played.press(40, SetReported(n=7))
    assert played.counts() == [(*FIRST, 7, 0)]
    played.press(50, ReportSet())
    assert played.lane.work.done_ms == 50_000
    assert score(played.lane).status == "finished"
    assert score(played.lane).shown == "0:50"
    assert score(played.lane).steps[0].label == "last set reported at"
    same_when_folded(played)


@pytest.mark.parametrize(
    ("n", "says"),
    [
        (0, "Front squat: 4 are reported already; take that back first."),
        (3, "Front squat: 4 are reported already; take that back first."),
        (4, "Front squat: 4 are reported already; take that back first."),
        (11, "Front squat: the set has 10, not 11."),
    ],
)
def test_a_number_that_cannot_be(n: int, says: str) -> None:
    played = class_of(simple(10))
    played.press(20, ReportSet(n=4))
    played.press(30, ReportSet(n=n))
    assert played.refusals == [says]


def test_a_first_number_is_at_least_one() -> None:
    played = class_of(simple(10))
    played.press(20, ReportSet(n=0))
    assert played.refusals == ["Front squat: say how many."]


def test_a_report_taken_back_and_said_again() -> None:
    played = class_of(simple(10))
    played.press(20, ReportSet(n=8))
    played.press(60, TakeBackOne())
    assert played.counts() == []
    assert not played.lane.taken_back[0].late
    played.press(61, ReportSet(n=6))
    assert played.counts() == [(*FIRST, 6, 0)]
    played.press(62, TakeBackOne())
    played.press(63, CountAgain())
    assert played.counts() == [(*FIRST, 6, 0)]
    same_when_folded(played)


def test_the_own_rest_begins_with_the_report_and_keeps_reports_out() -> None:
    played = class_of(for_time())
    for at in (10, 20, 30, 40):
        played.press(at, ReportSet())
    (rest,) = played.lane.work.rests
    assert (rest.from_ms, rest.until_ms) == (40_000, 100_000)
    played.press(60, ReportSet())
    assert played.refusals == ["The rest is on until 1:40: there is no set to report."]
    played.press(120, ReportSet())
    assert played.lane.work.set_done(SetKey(3, 1, 1)) is not None


def test_a_set_without_a_number_needs_one() -> None:
    part = PlanPart(
        id="A", kind="window", length_ms=60_000, movements=(movement("front-squat", 0),)
    )
    played = class_of(simple(parts=(part,), score="reps"))
    played.press(30, ReportSet())
    assert played.refusals == [
        "Front squat: say how many; the set has no number of its own."
    ]
    played.press(90, ReportSet(n=41))
    assert played.lane.work.reported[0].at == 60_000
    assert score(played.lane).value == 41


def _intervals() -> Plan:
    part = PlanPart(
        id="A",
        kind="every",
        rounds=3,
        every_ms=75_000,
        work_ms=45_000,
        movements=(movement("front-squat", 0),),
    )
    return simple(parts=(part,), score="reps")


def test_intervals_are_reported_in_the_rest_that_follows_them() -> None:
    played = class_of(_intervals())
    played.press(50, ReportSet(n=12))
    played.press(130, ReportSet(n=11))
    assert set_to_report(played.lane, 151_000) == SetKey(1, 3, 1)
    played.press(400, ReportSet(n=9))
    assert [(s.key.round, s.good) for s in played.lane.work.sets] == [
        (1, 12),
        (2, 11),
        (3, 9),
    ]
    assert score(played.lane).value == 32
    same_when_folded(played)


def test_an_interval_told_late_is_named() -> None:
    played = class_of(_intervals())
    played.press(80, ReportSet(n=12, set=FIRST))
    played.press(81, ReportSet(n=12, set=SetKey(1, 3, 1)))
    played.press(82, ReportSet(n=12, set=SetKey(9, 1, 1)))
    assert [(s.key.round, s.good) for s in played.lane.work.sets] == [(1, 12)]
    assert played.refusals == [
        "Front squat: that set has not begun.",
        "The workout has no such set.",
    ]


# --- after a horn where other work begins at once -------------------------------------


def _two_windows() -> Plan:
    """A minute of 5 squats over and over, then at once one of 4 toes-to-bar."""
    first, second = (
        PlanPart(id=id_, kind="window", length_ms=60_000, movements=(movement(c, n),))
        for id_, c, n in (("A", "front-squat", 5), ("B", "toes-to-bar", 4))
    )
    return simple(parts=(first, second), cards=(SQUAT, TOES), score="reps")


@pytest.mark.parametrize(
    ("at", "part"),
    [(59, 1), (60, 1), (60.001, 1), (65.399, 1), (65.4, 2), (90, 2)],
)
def test_a_report_right_after_a_horn_is_of_the_work_that_it_ended(
    at: float, part: int
) -> None:
    """A brisk athlete takes 1.35 s for each of the four that have begun since."""
    played = class_of(_two_windows())
    assert set_to_report(played.lane, round(at * 1000)) == SetKey(part, 1, 1)
    played.press(at, ReportSet(n=3))
    assert played.counts() == [(part, 1, 1, 3, 0)]
    assert played.lane.work.reported[0].at == min(round(at * 1000), part * 60_000)
    same_when_folded(played)


def test_of_two_reports_after_a_horn_the_second_is_of_what_began_since() -> None:
    played = class_of(_two_windows())
    played.press(62, ReportSet(n=3))
    played.press(63, ReportSet(n=2))
    assert played.counts() == [(1, 1, 1, 3, 0), (2, 1, 1, 2, 0)]


def test_of_rounds_reported_after_a_horn_the_first_is_of_what_it_ended() -> None:
    played = class_of(_two_windows())
    for at in (61, 63, 64):
        played.press(at, ReportSet())
    assert played.counts() == [(1, 1, 1, 5, 0), (2, 1, 1, 4, 0), (2, 2, 1, 4, 0)]
    same_when_folded(played)


def test_what_was_done_of_a_round_after_one_at_the_horn_is_named() -> None:
    played = class_of(_two_windows())
    played.press(62, ReportSet())
    played.press(63, ReportSet(n=2, set=SetKey(1, 2, 1)))
    assert played.counts() == [(1, 1, 1, 5, 0), (1, 2, 1, 2, 0)]


def test_of_whole_sets_after_a_horn_only_the_first_is_of_the_work_it_ended() -> None:
    played = class_of(_two_windows())
    for at in (61, 63, 64):
        played.press(at, ReportSet())
    assert played.counts() == [(1, 1, 1, 5, 0), (2, 1, 1, 4, 0), (2, 2, 1, 4, 0)]


def test_a_report_is_of_the_new_work_once_something_of_it_was_reported() -> None:
    played = class_of(_two_windows())
    played.press(61, ReportSet(n=2, set=SetKey(2, 1, 1)))
    played.press(62, ReportSet(n=3, set=FIRST))
    assert played.refusals == []
    assert set_to_report(played.lane, 63_000) == SetKey(2, 1, 1)


def test_after_a_horn_a_set_is_named_whatever_else_would_be_meant() -> None:
    played = class_of(_two_windows())
    played.press(90, ReportSet(n=3, set=FIRST))
    played.press(91, ReportSet(n=2))
    assert played.counts() == [(1, 1, 1, 3, 0), (2, 1, 1, 2, 0)]


def test_the_set_before_one_is_that_to_which_the_work_had_come() -> None:
    played = class_of(_two_windows())
    here = SetKey(2, 1, 1)
    assert set_before(played.lane, here) == FIRST
    assert set_before(played.lane, FIRST) is None
    played.press(20, ReportSet())
    assert set_before(played.lane, here) == SetKey(1, 2, 1)
    played.press(40, ReportSet(n=2))
    assert set_before(played.lane, here) == SetKey(1, 2, 1)
    rounds = class_of(for_time()).lane
    back = [SetKey(3, 1, 1)]
    while (before := set_before(rounds, back[-1])) is not None:
        back.append(before)
    assert back[1:] == [SetKey(1, 2, 2), SetKey(1, 2, 1), SECOND, FIRST]


def test_a_set_without_a_number_leaves_fifteen_seconds_for_the_one_before() -> None:
    part = replace(_intervals().parts[0], every_ms=45_000)
    played = class_of(simple(parts=(part,), score="reps"))
    assert set_to_report(played.lane, 59_999) == FIRST
    assert set_to_report(played.lane, 60_000) == SetKey(1, 2, 1)


def test_a_fault_after_the_horn_is_of_what_goes_on() -> None:
    played = class_of(_two_windows())
    played.press(61, Called(fault="lock"))
    assert played.lane.work.noticed[0].set == SetKey(2, 1, 1)


def test_a_failed_attempt_is_none_of_it_and_spent() -> None:
    part = PlanPart(
        id="A", kind="attempts", rounds=2, movements=(movement("front-squat", 1),)
    )
    played = class_of(simple(parts=(part,), score="load"))
    played.press(5, Bar(load="60 kg"))
    played.press(10, ReportSet())
    played.press(15, Bar(load="65 kg"))
    played.press(20, ReportSet(n=0))
    assert score(played.lane).shown == "60 kg"
    assert score(played.lane).status == "finished"


def test_a_hold_is_reported_in_seconds_and_over_when_it_was_let_go() -> None:
    part = PlanPart(
        id="A", kind="hold", rounds=1, movements=(movement("row", 60, unit="seconds"),)
    )
    played = class_of(for_time(parts=(part,), score="reading", cap_ms=0))
    played.press(50, ReportSet(n=45))
    assert score(played.lane).shown == "45"
    assert score(played.lane).status == "finished"
    played.press(51, ReportSet())
    assert played.refusals == ["There is no set to report."]
    same_when_folded(played)


def test_nobody_saw_who_of_a_team_did_too_little() -> None:
    members = (Member(bib="1", name="Ana"), Member(bib="2", name="Bo"))
    team = PlanTeam(members=members, how="shared", least=3)
    judged = Played(simple(4, team=team)).go()
    judged.each(Rep(), 3, 6, 9, 12)
    assert any("at least" in why for why in score(judged.lane).provisional)
    reported = class_of(simple(4, team=team))
    reported.press(12, ReportSet())
    assert score(reported.lane).provisional == ("not accepted yet",)


def test_a_report_while_stopped_is_held() -> None:
    played = class_of(simple(10))
    played.press(5, Stop())
    played.press(10, ReportSet(n=5))
    assert played.lane.work.good == 0
    played.press(12, GoOn(by_mistake=True))
    assert played.lane.work.good == 5
    same_when_folded(played)


# --- at a stop ------------------------------------------------------------------------


def stopped() -> Played:
    """Three of ten reported, stopped at 0:05, and six said to be done at 0:10."""
    played = class_of(simple(10))
    played.press(3, ReportSet(n=3))
    played.press(5, Stop())
    played.press(10, ReportSet(n=6))
    assert played.lane.work.good == 3
    return played


def test_what_was_done_by_the_stop_counts_and_what_came_after_waits() -> None:
    played = stopped()
    played.press(20, ReportSet(n=4, at_stop=True))
    assert (played.lane.work.good, played.lane.held) == (4, 1)
    assert played.lane.work.reported[-1].at == 5000
    assert score(played.lane).shown == "4 of 10"
    same_when_folded(played)
    played.press(22, GoOn(by_mistake=False, by="first aid"))
    assert played.lane.work.good == 4
    same_when_folded(played)


def test_what_was_done_by_a_stop_that_was_a_mistake_is_in_what_came_after() -> None:
    played = stopped()
    played.press(20, ReportSet(n=4, at_stop=True))
    played.press(22, GoOn(by_mistake=True))
    assert played.lane.work.good == 6
    same_when_folded(played)


def test_what_was_done_by_the_stop_may_be_said_once_work_goes_on() -> None:
    played = stopped()
    played.press(22, GoOn(by_mistake=False, by="first aid"))
    played.press(30, ReportSet(n=4, at_stop=True))
    assert played.lane.work.good == 4
    assert played.lane.work.reported[-1].at == 5000
    played.press(40, ReportSet())
    assert score(played.lane).shown == "0:40"
    same_when_folded(played)


@pytest.mark.parametrize("signs", [(), ("Dizzy",)], ids=["no sign", "its sign"])
def test_the_set_of_the_stop_is_meant_though_another_is_on_by_now(
    signs: tuple[str, ...],
) -> None:
    played = class_of(_two_windows())
    played.press(50, Stop())
    for sign in signs:
        played.press(51, Stop(sign=sign))
    played.press(52, GoOn(by_mistake=False, by="first aid"))
    played.press(90, ReportSet(n=2))
    played.press(95, ReportSet(n=3, at_stop=True))
    assert played.counts() == [(1, 1, 1, 3, 0), (2, 1, 1, 2, 0)]
    assert played.lane.work.reported[-1].at == 50_000


def test_who_was_stopped_and_withdrew_keeps_what_was_done_by_then() -> None:
    played = class_of(simple(10))
    played.press(5, Stop())
    played.press(8, Withdraw(why="pain or injury"))
    played.press(20, ReportSet(n=4))
    assert played.refusals == ["The athlete withdrew at 0:08."]
    played.press(21, ReportSet(n=4, at_stop=True))
    assert played.lane.work.good == 4
    assert score(played.lane).shown == "4 of 10"
    same_when_folded(played)


def test_by_a_stop_no_more_is_said_than_can_be() -> None:
    played = stopped()
    for n in (11, 3, 2):
        played.press(20, ReportSet(n=n, at_stop=True))
    played.press(21, ReportSet(n=1, set=SetKey(1, 2, 1), at_stop=True))
    assert played.refusals == [
        "Front squat: the set has 10, not 11.",
        *["Front squat: 3 are reported already; take that back first."] * 2,
        "The workout has no such set.",
    ]
    never = class_of(simple(10))
    never.press(20, ReportSet(n=4, at_stop=True))
    assert never.refusals == ["Nobody was stopped in this lane."]


def test_a_freeze_before_the_stop_is_what_the_score_stands_at() -> None:
    played = class_of(simple(10))
    played.press(4, Freeze())
    played.press(6, Stop())
    played.press(7, Unfreeze(by_mistake=False))
    played.press(20, ReportSet(n=4, at_stop=True))
    assert played.lane.work.good == 4
    assert played.lane.work.reported[-1].at == 4000
    same_when_folded(played)


def test_a_stop_that_came_first_to_the_log_holds_no_report_made_before() -> None:
    played = class_of(simple(10))
    played.press(5, Stop())
    played.press(4.9, ReportSet(n=4))
    assert (played.lane.work.good, played.lane.held) == (4, 0)
    same_when_folded(played)


def test_the_count_can_be_corrected_and_a_set_called_after_time() -> None:
    played = class_of(simple(10))
    played.press(5, ReportSet(n=5))
    played.press(6, Correct(by=-1, said="four"))
    played.press(30, Time())
    played.press(40, ReportSet(n=8))
    assert played.lane.work.good == 8
    assert played.lane.work.reported[-1] == SetSaid(
        ref=played.entries[-1].ref, set=FIRST, at=30_000, n=8
    )


def test_nothing_is_reported_where_every_rep_is_judged() -> None:
    played = Played(for_time()).go()
    acts: list[Act] = [ReportSet(), SetReported(n=2), Look(), EndLook()]
    for at, act in enumerate(acts, 1):
        played.press(at, act)
    told = "Every rep is judged in this lane: {} here."
    assert played.refusals == [
        *[told.format("no set is reported")] * 2,
        *[told.format("no look begins")] * 2,
    ]
    assert played.lane.work == Played(for_time()).go().lane.work


def test_a_log_from_elsewhere_reports_nothing_in_a_judged_lane() -> None:
    played = Played(simple(10)).go()
    played.press(1, Rep())
    before = played.lane.work
    for body in (SetReported(n=9), Look(), LookEnd(seen=3)):
        played.put(body, 5000)
    assert played.lane.work == before


# --- looks ---------------------------------------------------------------------------


def test_a_look_sees_and_counts_nothing() -> None:
    played = class_of(simple(10))
    played.press(5, ReportSet(n=2))
    before = (played.counts(), score(played.lane))
    played.press(6, Look())
    played.press(8, Rep())
    played.press(9, Rep(n=3))
    played.press(10, Called(fault="depth"))
    played.press(10.5, Called(fault="lock"))
    played.press(12, NoRep())
    played.press(13, Name(fault="lock"))
    played.press(14, EndLook(seen=9))
    assert (played.counts(), score(played.lane)) == before
    assert played.lane.work.attempts == ()
    (look,) = played.lane.work.looks
    assert (look.set, look.from_ms, look.until_ms, look.seen) == (
        FIRST,
        6000,
        14_000,
        9,
    )
    assert [(a.good, a.n, a.faults, a.counts) for a in look.presses] == [
        (True, 1, (), False),
        (True, 3, (), False),
        (False, 1, ("depth", "lock"), False),
        (False, 1, ("lock",), False),
    ]
    same_when_folded(played)


def test_as_many_were_seen_as_were_pressed_if_nobody_says() -> None:
    played = class_of(simple(10))
    played.press(1, Look())
    played.each(Rep(), 2, 3)
    played.press(4, NoRep(faults=("depth",)))
    played.press(5, EndLook(seen=2))
    assert played.refusals == ["3 were pressed in this look, so not 2 seen."]
    played.press(6, EndLook(seen=1000))
    assert played.refusals[1:] == ["1000 seen is too many; at most 999."]
    played.press(7, EndLook())
    assert played.lane.work.looks[0].seen == 3


def test_what_was_seen_is_taken_back_like_a_judgement() -> None:
    played = class_of(simple(10))
    played.press(1, Look())
    played.each(Rep(), 2, 3)
    played.press(4, TakeBackOne())
    played.press(5, EndLook())
    assert played.lane.work.looks[0].seen == 1
    played.press(6, TakeBackOne())
    assert played.lane.work.looks[0].seen is None
    played.press(7, Rep())
    assert len(played.lane.work.looks[0].presses) == 2
    for at in (8, 9, 10):
        played.press(at, TakeBackOne())
    assert played.lane.work.looks == ()
    same_when_folded(played)


def test_a_rep_seen_is_seen_again_though_its_set_is_full() -> None:
    played = class_of(simple(10))
    played.press(1, Look())
    played.press(2, ReportSet())
    played.press(3, Rep())
    played.press(4, TakeBackOne())
    played.press(5, CountAgain())
    assert played.refusals == []
    assert len(played.lane.work.looks[0].presses) == 1


def test_one_look_at_a_time_and_none_without() -> None:
    played = class_of(simple(10))
    played.press(1, EndLook())
    played.press(2, Rep())
    played.press(3, HoldOn())
    played.press(4, Look())
    played.press(5, Look())
    played.press(6, HoldOn())
    assert played.refusals == [
        "No look is on: * begins one.",
        *["No look is on: * begins one. Enter says that the set is done."] * 2,
        "A look is on since 0:04; * ends it.",
        "A hold is seen like any rep: space is good, a letter is its fault.",
    ]


def test_a_fault_outside_of_a_look_is_noticed_and_counts_nothing() -> None:
    played = class_of(simple(10))
    played.press(3, Called(fault="depth"))
    played.press(3.5, Called(fault="lock"))
    played.press(9, Cue(fault="heels"))
    work = played.lane.work
    assert [(a.good, a.faults) for a in work.noticed] == [(False, ("depth", "lock"))]
    assert [cue.fault for cue in work.cues] == ["heels"]
    assert (work.attempts, work.sets, work.looks) == ((), (), ())
    same_when_folded(played)


def test_a_look_stays_with_the_set_it_began_in() -> None:
    played = class_of(for_time())
    played.press(1, Look())
    played.press(2, ReportSet())
    played.press(3, Keyed(key="d"))
    played.press(4, Rep())
    (look,) = played.lane.work.looks
    assert {a.set for a in look.presses} == {FIRST}
    assert played.lane.work.cursor == SECOND
    assert keyed(played.lane, 5000, "k") == Called(fault="lock")


def test_a_cue_in_a_look_is_about_the_set_that_is_watched() -> None:
    played = class_of(for_time())
    played.press(1, Look())
    played.press(2, ReportSet())
    played.press(3, Cue(fault="heels"))
    assert played.refusals == []
    assert [cue.set for cue in played.lane.work.cues] == [FIRST]
    same_when_folded(played)


def test_a_look_is_left_open_by_whatever_ends_the_work() -> None:
    played = class_of(simple(10))
    played.press(1, Look())
    played.press(2, Rep())
    played.press(3, Time())
    played.press(9, Rep())
    assert played.lane.work.looks[0].seen is None
    assert len(played.lane.work.looks[0].presses) == 1
    played.press(10, EndLook())
    assert played.lane.work.looks[0].seen == 1
    played.press(11, Look())
    assert played.refusals == ["The work is over: there is nothing left to look at."]


def test_a_look_goes_on_from_one_interval_to_the_next() -> None:
    played = class_of(_intervals())
    played.press(30, Look())
    played.each(Rep(), 31, 50, 90)
    played.press(91, Called(fault="depth"))
    played.press(200, Rep())
    (look,) = played.lane.work.looks
    assert [a.at for a in look.presses] == [31_000, 50_000, 90_000, 91_000]
    assert played.entries[-1].body.kind == "ignored"
    played.press(201, EndLook())
    assert played.lane.work.looks[0].seen == 4


# --- monitors and many at once -------------------------------------------------------


def test_a_monitor_goes_down_only_with_a_reason() -> None:
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=1,
        movements=(movement("row", 20, unit="calories"), movement("front-squat", 2)),
    )
    played = Played(for_time(parts=(part,))).go()
    played.press(20, Reading(shows=12))
    played.press(25, Reading(shows=10))
    assert played.refusals == [
        "Row: the monitor showed 12 before. Take that back, or say why it shows less."
    ]
    played.press(26, Reading(shows=10, why="misread"))
    assert played.lane.work.good == 10
    played.press(40, Reading(shows=20))
    assert played.lane.work.cursor == SECOND
    assert played.lane.work.good == 20
    same_when_folded(played)


def test_many_reps_at_one_press_in_a_look_have_an_end() -> None:
    played = class_of(simple(10))
    played.press(1, Look())
    played.press(2, Rep(n=50))
    played.press(3, Rep(n=51))
    assert played.refusals == ["One press is 1 to 50 reps, not 51."]


# --- results -------------------------------------------------------------------------


def given(plan: Plan, result: Result) -> Played:
    played = Played(plan).go()
    played.press(0, result)
    return played


def test_a_time_as_told_is_the_score_and_has_no_times_within() -> None:
    played = given(for_time(), Result(unit="ms", amount=461_000))
    found = score(played.lane)
    assert (found.status, found.shown, found.value) == ("finished", "7:41", 461_000)
    assert [(s.label, s.value) for s in found.steps] == [
        ("reported", "7:41.000"),
        ("score", "7:41"),
    ]
    assert found.provisional == ()
    assert found.reps == found.prescribed
    work = played.lane.work
    assert (work.attempts, work.rests, work.part_ends) == ((), (), ())
    assert {(s.first_ms, s.last_ms, s.done_ms) for s in work.sets} == {
        (None, None, None)
    }
    same_when_folded(played)


def test_rounds_and_reps_are_those_of_the_window() -> None:
    played = given(window(), Result(unit="reps", rounds=5, amount=8))
    found = score(played.lane)
    assert (found.value, found.unit) == (73, "reps")
    assert found.detail == "5 rounds and 5 + 3 (73 reps)"
    assert found.rank_key == (0, -73)


@pytest.mark.parametrize(
    ("result", "detail", "status"),
    [
        (Result(unit="reps", amount=13), "13 of 16, 3 short", "capped"),
        (Result(unit="ms", amount=599_000), "9:59", "finished"),
    ],
)
def test_what_was_done_by_the_cap_is_told_in_reps(
    result: Result, detail: str, status: str
) -> None:
    found = score(given(for_time(), result).lane)
    assert (found.detail, found.status) == (detail, status)
    assert found.rank_key is not None


def test_a_load_and_what_a_monitor_showed() -> None:
    part = PlanPart(
        id="A", kind="attempts", rounds=3, movements=(movement("front-squat", 1),)
    )
    lifted = given(
        simple(parts=(part,), score="load"), Result(unit="load", load="80 kg")
    )
    assert (score(lifted.lane).shown, score(lifted.lane).value) == ("80 kg", 80)
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=60_000,
        movements=(movement("row", 0, unit="calories"),),
    )
    rowed = given(
        for_time(parts=(part,), score="reading", cap_ms=0),
        Result(unit="calories", amount=54),
    )
    assert (score(rowed.lane).shown, score(rowed.lane).unit) == ("54", "calories")


def _kept() -> Plan:
    part = PlanPart(
        id="A",
        kind="every",
        rounds=5,
        every_ms=60_000,
        work_ms=60_000,
        take="kept",
        movements=(movement("front-squat", 9),),
    )
    return simple(parts=(part,), score="reps")


def test_rounds_alone_are_whole_ones_or_intervals_kept() -> None:
    whole = given(window(), Result(unit="rounds", rounds=4))
    assert score(whole.lane).value == 52
    plan = _kept()
    kept = score(given(plan, Result(unit="rounds", rounds=4)).lane)
    assert (kept.value, kept.detail) == (4, "4 intervals")
    assert given(plan, Result(unit="rounds", rounds=6)).refusals == [
        "There are 5 of them, not 6."
    ]


@pytest.mark.parametrize(
    ("plan", "result", "says"),
    [
        (
            for_time(),
            Result(unit="ms", amount=601_000),
            "The cap is 10:00: say how many reps were done by then.",
        ),
        (
            for_time(),
            Result(unit="reps", amount=16),
            "16 reps are the whole workout: say the time.",
        ),
        (for_time(), Result(unit="ms"), "A time is longer than none."),
        (
            for_time(),
            Result(unit="load", load="80 kg"),
            "This workout is scored in time: write 7:41.",
        ),
        (
            simple(),
            Result(unit="reps", amount=4),
            "There is no cap: say the time.",
        ),
        (
            window(),
            Result(unit="ms", amount=60_000),
            "This workout is scored in reps: write 5+8, or 132 reps.",
        ),
        (
            window(),
            Result(unit="reps", rounds=5, amount=13),
            "The next round is 13 reps: 13 is more.",
        ),
        (
            window(),
            Result(unit="calories", amount=13),
            "This workout is scored in reps: write 5+8, or 132 reps.",
        ),
        (
            simple(score="load"),
            Result(unit="load", load="heavy"),
            '"heavy" is no load; write it with its unit, such as 62.5 kg.',
        ),
        (
            for_time(score="placing"),
            Result(unit="reps", amount=5),
            "The parts are placed apart here: one result cannot tell them.",
        ),
        (window(), Result(unit="reps", amount=-1), "A result is not below nothing."),
    ],
)
def test_a_result_that_cannot_be(plan: Plan, result: Result, says: str) -> None:
    played = given(plan, result)
    assert played.refusals == [says]
    # A log from elsewhere may hold it all the same: it is no result.
    played.put(result, 0)
    assert played.lane.work.given is None


def test_a_result_stands_alone() -> None:
    played = Played(window()).go()
    played.press(3, Rep())
    played.press(9, Result(unit="reps", amount=20))
    assert played.refusals == ["This lane was judged already: that is its result."]
    told = given(window(), Result(unit="reps", amount=20))
    told.press(5, Rep())
    told.press(6, TakeBackOne())
    told.press(7, Rep())
    assert told.refusals == [
        "This lane has its result as reported; take it back first."
    ]
    assert told.lane.work.good == 1
    same_when_folded(told)


def test_a_result_tells_what_a_count_moved_before_it_told() -> None:
    played = class_of(window())
    played.press(3, Correct(by=3, said="plus three"))
    ruled = Rule(effect=RepsInSet(set=SECOND, by=2), why="video")
    played.press(4, ruled)
    played.press(9, Result(unit="reps", amount=20))
    assert (played.refusals, score(played.lane).value) == ([], 20)
    # What is ruled once it is told moves it.
    played.press(12, Rule(effect=RepsInSet(set=SetKey(1, 2, 2), by=2), why="video"))
    assert score(played.lane).value == 22
    same_when_folded(played)


def test_rounds_told_leave_no_set_of_a_count_moved_before() -> None:
    told = given(_kept(), Result(unit="rounds", rounds=4)).lane
    moved = Played(_kept()).go()
    moved.press(0, Rule(effect=RepsInSet(set=FIRST, by=2), why="video"))
    moved.press(0, Result(unit="rounds", rounds=4))
    assert moved.lane.work.sets == told.work.sets
    assert score(moved.lane).shown == score(told).shown
    same_when_folded(moved)


def test_a_look_can_be_closed_after_the_result() -> None:
    played = class_of(window())
    played.press(3, Look())
    played.press(4, Rep())
    played.press(9, Result(unit="reps", amount=20))
    played.press(10, EndLook(seen=4))
    assert played.refusals == []
    assert [look.seen for look in played.lane.work.looks] == [4]
    assert score(played.lane).value == 20
    same_when_folded(played)


def test_what_nobody_saw_breaks_no_tie() -> None:
    ties = (
        PlanTieBreak(kind="fewer-no-reps"),
        PlanTieBreak(kind="last-full-round"),
        PlanTieBreak(kind="at-rep", number=3),
        PlanTieBreak(kind="lighter-body"),
    )
    plan = window(tiebreaks=ties, body_grams=61_000)
    told = score(given(plan, Result(unit="reps", rounds=2)).lane)
    assert [tie.value for tie in told.tiebreaks] == [None, None, None, 61_000]
    reported = class_of(plan)
    reported.press(20, ReportSet())
    assert score(reported.lane).tiebreaks[0].value is None


def test_a_result_short_of_a_count_moved_to_the_end_is_no_finish() -> None:
    plan = for_time(parts=for_time().parts[:1])
    moved = class_of(plan)
    for at, by in ((3, 3), (4, 2), (5, 3), (6, 2)):
        moved.press(at, Correct(by=by, said="all of it"))
    assert moved.lane.work.done_ms == 6000
    told = class_of(plan)
    for one in (moved, told):
        one.press(9, Result(unit="reps", amount=2))
    assert score(moved.lane) == score(told.lane)
    assert moved.lane.work == replace(told.lane.work, given=moved.lane.work.given)
    same_when_folded(moved)
