"""What entries make of a lane: counts, sets, take-backs, stops, signatures."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce

import pytest

from judgekit.core.entry import (
    Absent,
    Accept,
    Correct,
    Cue,
    Entry,
    Freeze,
    Go,
    GoOn,
    Is,
    MoveOn,
    NoRep,
    PutBack,
    Reading,
    Recall,
    Rep,
    Rule,
    Stop,
    TakeBack,
    Time,
    Unfreeze,
    Withdraw,
)
from judgekit.core.lane import empty, evolve, fold
from judgekit.core.plan import Plan, PlanPart, SetKey
from judgekit.core.press import (
    AnswerHorn,
    Called,
    CountAgain,
    GoBack,
    RuleAt,
    TakeBackOne,
)
from judgekit.core.ruling import Ref, Reopen, RepsInSet, StartBy
from tests.support import Played, for_time, movement, simple, window


def test_a_full_set_moves_to_the_next_and_the_last_one_finishes() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    assert played.counts() == [
        (1, 1, 1, 3, 0),
        (1, 1, 2, 2, 0),
        (1, 2, 1, 3, 0),
        (1, 2, 2, 2, 0),
    ]
    assert played.lane.work.cursor == SetKey(3, 1, 1)
    assert played.lane.work.part_ends == ((1, 23_000),)
    played.press(90, Reading(shows=4))
    played.each(Rep(), 95, 97)
    assert played.lane.work.cursor is None
    assert played.lane.work.done_ms == 97_000


def test_space_on_a_monitor_says_that_the_target_shows() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(92, Rep())
    assert played.entries[-1].body == Reading(shows=4)


def test_a_no_rep_takes_nothing_off_and_adds_nothing() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4)
    played.press(6, Called(fault="depth"))
    assert played.counts() == [(1, 1, 1, 2, 1)]


def test_events_of_one_moment_keep_the_order_of_their_presses() -> None:
    played = Played(simple()).go()
    for act in (Rep(), Called(fault="depth"), TakeBackOne(), Rep()):
        played.press(61.5, act)
    assert played.counts() == [(1, 1, 1, 2, 0)]
    assert fold(played.plan, played.entries) == played.lane


def test_undone_and_counted_again_in_turn_with_the_original_times() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 1, 3, 5)
    played.press(7, Called(fault="depth"))
    before = played.lane.work
    played.press(8, TakeBackOne())
    assert played.counts() == [(1, 1, 1, 3, 0)]
    played.press(8.5, TakeBackOne())
    assert played.counts() == [(1, 1, 1, 2, 0)]
    played.press(9, CountAgain())
    played.press(9.5, CountAgain())
    assert played.lane.work == before
    assert [a.at for a in played.lane.work.attempts] == [1000, 3000, 5000, 7000]


def test_nothing_is_counted_again_once_another_rep_was_judged() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 1, 3)
    played.press(4, TakeBackOne())
    played.press(6, Rep())
    played.press(7, CountAgain())
    assert played.refusals == ["Nothing to count again."]
    assert played.counts() == [(1, 1, 1, 2, 0)]


def test_an_older_rep_taken_back_leaves_its_set_short_until_made_good() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9)
    played.press(10, TakeBackOne(at=4000))
    assert played.counts() == [(1, 1, 1, 2, 0), (1, 1, 2, 1, 0)]
    assert played.lane.work.cursor == SetKey(1, 1, 2)
    assert [t.late for t in played.lane.taken_back] == [True]
    played.each(Rep(), 12, 14, 16, 18, 20, 22)
    # The part is not left while a set in it is short.
    assert played.lane.work.cursor == SetKey(1, 1, 1)
    played.press(25, Rep())
    assert played.lane.work.cursor == SetKey(3, 1, 1)
    assert played.lane.work.part_ends == ((1, 25_000),)


def test_what_was_counted_again_makes_an_earlier_take_back_late() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4)
    first, second = (entry.ref for entry in played.entries[-2:])
    for body in (TakeBack(target=second), TakeBack(target=first)):
        played.put(body, 4500)
    assert [t.late for t in played.lane.taken_back] == [False, False]
    played.put(PutBack(target=first), 4600)
    played.put(PutBack(target=second), 4600)
    played.put(TakeBack(target=first), 4700)
    assert [t.late for t in played.lane.taken_back] == [True]


def test_an_entry_never_changes_its_set() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9)
    sets = {e.ref: e.set for e in played.entries}
    played.press(10, TakeBackOne(at=2000))
    assert {e.ref: e.set for e in played.entries if e.ref in sets} == sets
    attempts = {a.ref: a.set for a in played.lane.work.attempts}
    assert attempts == {r: s for r, s in sets.items() if r in attempts}


def test_a_different_call_at_once_is_a_second_reason_the_same_is_another_no_rep() -> (
    None
):
    played = Played(simple()).go()
    played.press(2, Called(fault="depth"))
    played.press(2.9, Called(fault="lock"))
    played.press(3.5, Called(fault="lock"))
    assert [(a.at, a.faults) for a in played.lane.work.attempts] == [
        (2000, ("depth", "lock")),
        (3500, ("lock",)),
    ]


def test_a_second_reason_needs_no_other_press_between() -> None:
    played = Played(simple()).go()
    played.press(2, Called(fault="depth"))
    played.press(2.2, Cue(fault="heels"))
    played.press(2.4, Called(fault="lock"))
    assert len(played.lane.work.attempts) == 2


def test_an_unnamed_no_rep_takes_its_reason_within_two_seconds() -> None:
    played = Played(simple()).go()
    played.press(2, NoRep())
    played.press(3.9, Called(fault="lock"))
    played.press(6, NoRep())
    played.press(6.2, NoRep())
    played.press(8.3, Called(fault="depth"))
    assert [a.faults for a in played.lane.work.attempts] == [
        ("lock",),
        (),
        (),
        ("depth",),
    ]


def test_take_back_takes_the_reason_first_then_its_no_rep() -> None:
    played = Played(simple()).go()
    played.press(2, Called(fault="depth"))
    played.press(2.5, Called(fault="lock"))
    played.press(3, TakeBackOne())
    assert played.lane.work.attempts[0].faults == ("depth",)
    played.press(3.2, TakeBackOne())
    assert played.lane.work.attempts == ()


def test_a_cue_never_changes_the_count() -> None:
    played = Played(simple()).go()
    played.press(2, Rep())
    played.press(3, Cue(fault="heels"))
    assert played.counts() == [(1, 1, 1, 1, 0)]
    assert [c.fault for c in played.lane.work.cues] == ["heels"]


def test_more_reps_than_are_left_are_refused() -> None:
    played = Played(simple(3)).go()
    played.press(2, Rep(n=2))
    played.press(4, Rep(n=2))
    assert played.refusals == ["Front squat: 1 left in this set, not 2."]
    assert played.counts() == [(1, 1, 1, 2, 0)]


def test_a_monitor_never_goes_down() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(85, Reading(shows=3))
    played.press(86, Reading(shows=2))
    assert len(played.refusals) == 1
    assert played.lane.work.set_done(SetKey(3, 1, 1)).good == 3  # type: ignore[union-attr]


def test_a_correction_never_leaves_zero_to_target() -> None:
    played = Played(simple(3)).go()
    played.press(2, Rep())
    played.press(3, Correct(by=-2, said="zero"))
    played.press(3, Correct(by=3, said="four"))
    assert len(played.refusals) == 2
    played.press(4, Correct(by=1, said="two"))
    assert played.counts() == [(1, 1, 1, 2, 0)]


def test_a_correction_down_opens_the_set_just_left() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6)
    played.press(7, Correct(by=-1, said="two"))
    assert played.lane.work.cursor == SetKey(1, 1, 1)
    assert played.counts() == [(1, 1, 1, 2, 0)]


def test_moved_on_leaves_the_set_short_and_back_opens_it_again() -> None:
    played = Played(for_time()).go()
    played.press(2, Rep())
    played.press(3, MoveOn(why="counted three aloud"))
    assert played.lane.work.cursor == SetKey(1, 1, 2)
    played.press(4, GoBack(why="two to do"))
    assert played.lane.work.cursor == SetKey(1, 1, 1)
    played.each(Rep(), 6, 8)
    assert played.lane.work.cursor == SetKey(1, 1, 2)


def test_stop_freezes_the_score_and_holds_what_follows() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4)
    played.press(5, Stop())
    played.each(Rep(), 6, 8)
    assert played.counts() == [(1, 1, 1, 2, 0)]
    assert (played.lane.stopped, played.lane.held) == (True, 2)
    played.press(9, GoOn(by_mistake=True))
    assert played.counts() == [(1, 1, 1, 4, 0)]
    assert fold(played.plan, played.entries) == played.lane


def test_let_go_on_by_someone_drops_what_was_held() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4)
    played.press(5, Stop())
    played.press(6, Rep())
    played.press(30, GoOn(by_mistake=False, by="head judge"))
    played.press(33, Rep())
    assert played.counts() == [(1, 1, 1, 3, 0)]
    held = played.lane.work.attempts[2]
    assert (held.counts, held.marks) == (False, ("held", "not counted"))


def test_stop_is_never_taken_back() -> None:
    played = Played(simple()).go()
    played.press(2, Rep())
    played.press(5, Stop())
    played.press(6, TakeBackOne())
    assert played.lane.stopped
    assert played.counts() == [(1, 1, 1, 1, 0)]


def test_a_freeze_holds_likewise() -> None:
    played = Played(simple()).go()
    played.press(2, Rep())
    played.press(3, Freeze(why="rope snapped"))
    played.press(4, Rep())
    played.press(5, Unfreeze(by_mistake=False))
    assert played.counts() == [(1, 1, 1, 1, 0)]


def test_up_to_the_horn_counts_and_the_thumbs_lag_is_asked_about() -> None:
    played = Played(window()).go()
    played.each(Rep(), 10, 20, 30, 300.0)
    assert played.counts() == [(1, 1, 1, 4, 0)]
    played.press(300.4, Rep())
    assert played.counts() == [(1, 1, 1, 4, 0)]
    assert len(played.lane.horn_asks) == 1
    played.press(301.2, Rep())
    assert played.entries[-1].body.kind == "ignored"
    played.press(310, AnswerHorn(counts=True))
    assert played.counts() == [(1, 1, 1, 5, 0)]
    assert played.lane.work.attempts[-1].at == 300_000
    assert fold(played.plan, played.entries) == played.lane


def test_a_no_rep_at_the_horn_does_not_count() -> None:
    played = Played(window()).go()
    played.press(299, Rep())
    played.press(300.2, Called(fault="lock"))
    assert played.counts() == [(1, 1, 1, 1, 1)]
    assert played.lane.horn_asks == ()


def test_a_monitor_read_before_the_rest_is_over_follows_the_same_setting() -> None:
    for setting, good in (("no-rep", 0), ("seconds", 3), ("counts", 3)):
        played = Played(for_time(early_start=setting)).go()
        played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
        played.press(80, Reading(shows=3))
        done = played.lane.work.set_done(SetKey(3, 1, 1))
        assert done is not None
        assert done.good == good
        played.press(84, Reading(shows=4))
        done = played.lane.work.set_done(SetKey(3, 1, 1))
        assert done is not None
        assert done.good == 4


def test_a_pressed_rep_before_the_rest_is_over() -> None:
    plan = for_time()
    parts = (plan.parts[0], plan.parts[1], plan.parts[0])
    for setting, good in (("no-rep", 0), ("seconds", 1), ("counts", 1)):
        played = Played(for_time(parts=parts, early_start=setting)).go()
        played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
        played.press(73, Rep())
        done = played.lane.work.set_done(SetKey(3, 1, 1))
        assert done is not None
        assert done.good == good
        early = played.lane.work.early[0]
        assert (early.part, early.due_ms) == (3, 10_000)


def test_a_press_before_zero_is_kept_and_counts_nothing() -> None:
    played = Played(simple()).go()
    played.press(-1.5, Rep())
    assert played.entries[-1].body.kind == "early"
    assert played.counts() == []


def test_nothing_counts_before_go_nor_after_a_withdrawal() -> None:
    played = Played(simple())
    played.press(2, Rep())
    played.go()
    played.press(3, Withdraw(why="shoulder"))
    played.press(4, Rep())
    assert len(played.refusals) == 2
    assert played.counts() == []


def test_a_late_starter_counts_from_the_own_go() -> None:
    played = Played(simple()).go()
    late = Go(boot="boot", boot_ms=0, zero_ms=0, offset_ms=12_000)
    entry = played.entries[-1]
    played._add(_lane_go(entry, late))
    played.press(20, Rep())
    assert played.lane.work.attempts[0].at == 8000


def _lane_go(entry: Entry, go: Go) -> Entry:
    return replace(entry, number=entry.number + 1, lane=4, body=go, at=12_000)


def test_a_moved_start_moves_every_time_of_the_lane() -> None:
    played = Played(simple(2)).go()
    played.each(Rep(), 180, 570)
    played.press(600, Rule(effect=StartBy(by_ms=12_000), why="went 12 s late"))
    assert [a.at for a in played.lane.work.attempts] == [168_000, 558_000]
    assert played.lane.work.done_ms == 558_000


def test_after_both_have_signed_only_a_ruling_changes_the_count() -> None:
    played = Played(simple(3)).go()
    played.each(Rep(), 2, 4, 6)
    played.press(60, Accept(who="athlete", signed=True))
    played.press(61, Accept(who="judge", signed=True))
    assert played.lane.closed
    played.each(Rep(), 70, 72, 74)
    assert len(played.refusals) == 3
    played.press(80, Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=-1), why="video"))
    assert played.counts() == [(1, 1, 1, 2, 0)]
    assert played.lane.amended
    assert played.lane.accepted is not None
    assert played.lane.accepted.work.good == 3


def test_a_reopened_scorecard_can_be_judged_again_and_says_amended() -> None:
    played = Played(simple(3)).go()
    played.each(Rep(), 2, 4, 6)
    played.press(60, Accept(who="athlete", signed=True))
    played.press(61, Accept(who="judge", signed=False))
    played.press(70, Rule(effect=Reopen(), why="one rep too many"))
    assert not played.lane.amended
    played.press(71, TakeBackOne())
    assert played.counts() == [(1, 1, 1, 2, 0)]
    assert played.lane.amended
    assert played.lane.accepted is not None
    assert played.lane.accepted.work.good == 3
    assert fold(played.plan, played.entries) == played.lane


def test_a_ruling_voids_and_restores_single_attempts() -> None:
    played = Played(simple(3)).go()
    played.each(Rep(), 2, 4)
    played.press(6, Called(fault="depth"))
    played.press(20, RuleAt(restore=False, at=4000, why="video"))
    played.press(21, RuleAt(restore=True, at=6000, why="video"))
    assert played.counts() == [(1, 1, 1, 2, 0)]
    assert [a.counts for a in played.lane.work.attempts] == [True, False, True]


def test_a_voided_no_rep_is_no_attempt_any_more() -> None:
    played = Played(simple(3)).go()
    played.press(2, Called(fault="depth"))
    played.press(20, RuleAt(restore=False, at=2000, why="the rope was in the way"))
    assert played.counts() == [(1, 1, 1, 0, 0)]
    assert played.lane.work.attempts[0].marks == ("voided",)
    played.press(21, RuleAt(restore=True, at=2000, why="it was good, on video"))
    assert played.counts() == [(1, 1, 1, 1, 0)]


def test_after_a_recall_nothing_counts_in_this_run() -> None:
    played = Played(simple()).go()
    played.press(1, Rep())
    played.press(2, Recall(why="lane 2 went early"))
    played.press(3, Rep())
    assert played.lane.recalled
    assert played.counts() == [(1, 1, 1, 1, 0)]


def test_time_called_early_is_a_horn() -> None:
    played = Played(for_time()).go()
    played.press(2, Rep())
    played.press(5, Time())
    played.press(7, Rep())
    assert played.counts() == [(1, 1, 1, 1, 0)]


def test_a_rep_sooner_than_the_card_believes_is_marked_and_counts() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4, 4.3)
    assert played.counts() == [(1, 1, 1, 3, 0)]
    assert [a.marks for a in played.lane.work.attempts] == [(), (), ("soon",)]


def test_a_burst_after_a_pause_is_a_judge_catching_up() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 12, 12.3, 12.6)
    assert [a.marks for a in played.lane.work.attempts] == [(), (), (), ()]


def test_the_first_rep_after_a_changeover_may_be_an_extra_of_the_one_before() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 6.8)
    assert played.lane.work.attempts[-1].marks == ("changeover",)
    assert played.lane.work.attempts[-1].set == SetKey(1, 1, 2)


def test_a_monitor_done_sooner_than_anybody_rows_is_asked_about_and_counts() -> None:
    parts = (
        PlanPart(
            id="A",
            kind="rounds",
            rounds=1,
            movements=(
                movement("front-squat", 1),
                movement("row", 10, unit="calories"),
                movement("toes-to-bar", 1),
            ),
        ),
    )
    marks = []
    for seconds in (2.4, 9, 40):
        played = Played(for_time(parts=parts)).go()
        played.press(2, Rep())
        played.press(2 + seconds, Rep())
        assert played.lane.work.good == 11
        marks.append(played.lane.work.attempts[-1].marks)
    # Ten calories take at least 10 x 0.9 s.
    assert marks == [("changeover",), (), ()]


def test_folding_is_the_same_as_going_step_by_step() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9)
    played.press(9.5, Called(fault="depth"))
    played.press(10, TakeBackOne())
    steps = reduce(evolve, played.entries, empty(played.plan))
    assert fold(played.plan, played.entries) == steps == played.lane


def window_then_rounds() -> Plan:
    parts = (
        PlanPart(
            id="A",
            kind="window",
            length_ms=60_000,
            movements=(movement("toes-to-bar", 2),),
        ),
        PlanPart(
            id="B",
            kind="rounds",
            rounds=1,
            movements=(movement("front-squat", 2), movement("toes-to-bar", 2)),
        ),
    )
    return for_time(parts=parts, score="reps", cap_ms=600_000)


def test_a_yes_at_an_earlier_horn_moves_nobody_back() -> None:
    played = Played(window_then_rounds()).go()
    played.each(Rep(), 10, 60.3, 70, 75, 80)
    played.press(82, AnswerHorn(counts=True))
    played.press(85, Rep())
    assert played.refusals == []
    assert played.counts() == [(1, 1, 1, 2, 0), (2, 1, 1, 2, 0), (2, 1, 2, 2, 0)]
    assert played.lane.work.done_ms == 85_000


def test_a_rep_taken_back_in_an_earlier_part_leaves_the_windows_horn() -> None:
    plan = window_then_rounds()
    squats = PlanPart(
        id="S", kind="rounds", rounds=1, movements=(movement("front-squat", 2),)
    )
    rest = PlanPart(id="", kind="rest", length_ms=60_000)
    played = Played(replace(plan, parts=(squats, rest, plan.parts[0]))).go()
    played.each(Rep(), 2, 4, 70, 80, 90)
    played.press(95, TakeBackOne(at=2000))
    played.each(Rep(), 120, 130, 140, 500)
    # The window ran from 64 s to 124 s: 70, 80, 90 and 120 count, one squat is short.
    assert played.lane.work.good == 5


def test_a_restored_horn_rep_is_answered_and_counts_once() -> None:
    played = Played(window()).go()
    played.each(Rep(), 10, 20, 300.4)
    played.press(310, RuleAt(restore=True, at=300_400, why="video"))
    assert played.lane.horn_asks == ()
    played.press(311, AnswerHorn(counts=True))
    assert played.lane.work.good == 3


def test_a_held_rep_at_the_horn_that_was_dropped_is_not_asked_about() -> None:
    played = Played(window()).go()
    played.press(10, Rep())
    played.press(299, Stop())
    played.press(300.3, Rep())
    played.press(320, GoOn(by_mistake=False, by="head judge"))
    assert played.lane.horn_asks == ()


def test_a_rep_restored_into_a_full_set_cannot_be_voided_from_it() -> None:
    played = Played(simple(2)).go()
    played.press(2, Called(fault="depth"))
    played.each(Rep(), 4, 6)
    played.press(20, RuleAt(restore=True, at=2000, why="video"))
    played.press(21, RuleAt(restore=False, at=2000, why="no, after all"))
    assert played.lane.work.good == 2


def test_signing_is_refused_while_the_lane_is_frozen() -> None:
    played = Played(simple(2)).go()
    played.press(2, Rep())
    played.press(3, Freeze())
    played.press(60, Time())
    played.press(61, Accept(who="athlete", signed=True))
    assert played.refusals == ["The lane is frozen: let work go on, or drop it, first."]


def test_a_change_between_the_signatures_takes_the_first_one_back() -> None:
    played = Played(simple(1)).go()
    played.press(6, Rep())
    played.press(10, Accept(who="athlete", signed=True))
    played.press(12, TakeBackOne())
    played.press(25, Rep())
    played.press(30, Accept(who="judge", signed=True))
    assert not played.lane.closed
    played.press(31, Accept(who="athlete", signed=True))
    assert played.lane.closed


def test_nothing_of_the_day_changes_a_closed_scorecard() -> None:
    played = Played(simple(1)).go()
    played.press(6, Rep())
    played.press(10, Accept(who="athlete", signed=True))
    played.press(11, Accept(who="judge", signed=True))
    before = replace(played.lane, entries=())
    for act in (Absent(), Is(bib="31"), Time(), Go(boot="", boot_ms=0, zero_ms=0)):
        played.press(20, act)
    assert len(played.refusals) == 4
    # The same from a desk that had not heard of the signing.
    for body in (Absent(), TakeBack(target=Ref("b", 3)), Rep(), Time()):
        played.put(body, 20_000)
    assert replace(played.lane, entries=()) == before
    assert fold(played.plan, played.entries) == played.lane


def test_back_never_leads_ahead_and_time_needs_a_start() -> None:
    played = Played(for_time())
    played.press(0, Time())
    played.go()
    played.press(2, Rep())
    played.press(3, GoBack(why="skip", to=SetKey(3, 1, 2)))
    assert played.refusals == [
        "The clock has not started yet.",
        "There is no earlier set to go back to.",
    ]


def test_a_late_start_after_reps_is_the_head_judges_affair() -> None:
    played = Played(simple()).go()
    played.press(2, Rep())
    played.press(5, Go(boot="b", boot_ms=0, zero_ms=0, offset_ms=5000))
    assert len(played.refusals) == 1


def test_a_ruling_that_fills_the_set_under_way_leads_on() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4)
    played.press(5, Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=1), why="seen"))
    played.press(7, Rep())
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 1, 2, 1, 0)]


def test_entries_of_a_set_that_the_plan_lacks_and_dangling_ones_change_nothing() -> (
    None
):
    played = Played(simple()).go()
    entry = replace(played.entries[-1], number=9, lane=4, at=5, set=SetKey(7, 1, 1))
    lane = evolve(played.lane, replace(entry, body=Rep()))
    assert lane.work == played.lane.work
    rule = Rule(effect=RepsInSet(set=SetKey(7, 1, 1), by=1), why="typed wrong")
    lane = evolve(played.lane, replace(entry, body=rule))
    assert lane.work == played.lane.work
    played.put(TakeBack(target=Ref("elsewhere", 3)), 6000)
    played.press(7, CountAgain())
    assert played.refusals == ["Nothing to count again."]


@pytest.mark.parametrize("mistake", [True, False])
def test_an_answer_about_the_horn_counts_for_the_score_that_a_hold_keeps(
    *, mistake: bool
) -> None:
    played = Played(simple(5, cap_ms=60_000)).go()
    played.press(59.0, Rep())
    played.press(60.4, Rep())
    played.press(61.0, Freeze())
    played.press(62.0, AnswerHorn(counts=True))
    assert (played.lane.work.good, played.lane.horn_asks) == (2, ())
    played.press(63.0, Unfreeze(by_mistake=mistake))
    assert (played.lane.work.good, played.lane.horn_asks) == (2, ())
    assert fold(played.plan, played.entries) == played.lane
