"""Scores worked by hand; the arithmetic stands beside each."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import (
    Accept,
    ClassOver,
    Correct,
    MoveOn,
    Reading,
    Rep,
    Rule,
    Stop,
    Time,
    Withdraw,
)
from judgekit.core.plan import PlanPart, PlanTieBreak, SetKey
from judgekit.core.press import AnswerHorn, TakeBackOne
from judgekit.core.ruling import Credit, Percent, RepsInSet, StartBy, StatusIs, TimeBy
from judgekit.core.score import Score, Step, score
from tests.support import Played, for_time, movement, simple, window


def finished(**changes: object) -> Played:
    """Part A done at 23.0 s, rest to 83.0 s, all work done at 97.25 s."""
    played = Played(for_time(**changes)).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(90, Reading(shows=4))
    played.each(Rep(), 95, 97.25)
    return played


def signed(played: Played) -> Played:
    played.press(2000, Accept(who="athlete", signed=True))
    played.press(2001, Accept(who="judge", signed=True))
    return played


def test_planned_rest_comes_off_a_time() -> None:
    # 97.25 s - 60 s of planned rest = 37.25 s, cut to 37 s.
    result = score(signed(finished()).lane)
    assert result == Score(
        status="finished",
        value=37_000,
        unit="ms",
        shown="0:37",
        detail="0:37",
        rank_key=(0, 37_000),
        tiebreaks=(),
        reps=16,
        prescribed=16,
        steps=(
            Step(label="last rep at", value="1:37.250"),
            Step(label="planned rest", value="-1:00.000"),
            Step(label="score", value="0:37"),
        ),
        provisional=(),
        amended=False,
    )


def test_rest_may_stay_in_the_score() -> None:
    result = score(finished(rest="included", precision_ms=10).lane)
    assert (result.shown, result.value) == ("1:37.25", 97_250)


def test_rest_taken_beyond_the_plan_is_work() -> None:
    # Starting 30 s late after the rest costs 30 s: 127.25 - 60 = 67.25 s.
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(120, Reading(shows=4))
    played.each(Rep(), 125, 127.25)
    assert score(played.lane).shown == "1:07"


def test_a_rest_till_the_clock_is_as_long_as_it_was_for_this_athlete() -> None:
    # Part A done at 23 s, rest until 1:40: 77 s come off 117.25 s, leaves 40.25 s.
    plan = for_time()
    rest = PlanPart(id="", kind="rest-until", until_ms=100_000)
    parts = (plan.parts[0], rest, plan.parts[2])
    played = Played(for_time(parts=parts)).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(110, Reading(shows=4))
    played.each(Rep(), 115, 117.25)
    assert score(played.lane).shown == "0:40"


def early(setting: str, rest: str) -> str:
    """Back to work 10 s before a rest of 60 s is over (at 83 s); done at 88 s."""
    plan = for_time()
    last = PlanPart(
        id="B", kind="rounds", rounds=1, movements=(movement("front-squat", 2),)
    )
    parts = (plan.parts[0], plan.parts[1], last)
    played = Played(for_time(parts=parts, early_start=setting, rest=rest)).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23, 73, 88, 95)
    return score(played.lane).shown


def test_an_early_start_follows_the_events_setting() -> None:
    # no-rep: the rep at 73 s is nothing; done at 95 s: 95 - 60 = 35.
    assert early("no-rep", "excluded") == "0:35"
    # seconds: done at 88 s; 88 - 60 + 10 still due = 38; with rest in, 88 + 10 = 98.
    assert early("seconds", "excluded") == "0:38"
    assert early("seconds", "included") == "1:38"
    # counts: only the 50 s really rested come off: 88 - 50 = 38; with rest in, 88.
    assert early("counts", "excluded") == "0:38"
    assert early("counts", "included") == "1:28"


def test_capped_is_listed_by_reps_below_every_finisher() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(95, Reading(shows=4))
    played.press(600, Rep())
    played.press(600.0, Time())
    result = score(played.lane)
    assert (result.status, result.shown) == ("capped", "15 of 16")
    assert result.detail == "15 of 16, 1 short"
    assert result.rank_key == (1, -15)
    slow = score(finished().lane)
    assert slow.rank_key is not None
    assert slow.rank_key < result.rank_key


def test_capped_may_be_the_cap_less_rest_and_a_second_for_each_rep_short() -> None:
    # Cap 600 s - 60 s planned rest + 14 reps short (16 - 2) = 554 s = 9:14.
    played = Played(for_time(capped="second-per-rep")).go()
    played.each(Rep(), 2, 4)
    played.press(600, Time())
    result = score(played.lane)
    assert (result.status, result.shown, result.value) == ("capped", "9:14", 554_000)
    assert result.rank_key == (0, 554_000)


def test_the_conventions_part_once_seconds_are_added() -> None:
    # 9:58 + 30 s = 10:28. Listed below: still above every capped athlete. A second a
    # rep: capped 3 short of 10 at cap 10:00 is 10:03, and now ranks above 10:28.
    ranks = []
    for capped in ("below", "second-per-rep"):
        plan = simple(10, cap_ms=600_000, capped=capped)
        slow = Played(plan).go()
        slow.each(Rep(), 20, 40, 60, 80, 100, 120, 140, 160, 180, 598)
        slow.press(700, Rule(effect=TimeBy(by_ms=30_000), why="left the lane"))
        short = Played(plan).go()
        short.each(Rep(), 20, 40, 60, 80, 100, 120, 140)
        short.press(600, Time())
        a, b = score(slow.lane), score(short.lane)
        assert a.shown == "10:28"
        assert a.rank_key is not None
        assert b.rank_key is not None
        ranks.append(a.rank_key < b.rank_key)
    assert ranks == [True, False]


def test_exactly_at_the_cap_is_finished() -> None:
    played = Played(simple(1, cap_ms=600_000)).go()
    played.press(600.0, Rep())
    assert score(played.lane).status == "finished"
    late = Played(simple(1, cap_ms=600_000)).go()
    late.press(600.001, Rep())
    late.press(600, Time())
    result = score(late.lane)
    assert (result.status, result.shown) == ("capped", "0 of 1")
    assert result.provisional == ("a rep waits at the horn", "not accepted yet")
    late.press(605, AnswerHorn(counts=True))
    assert score(late.lane).shown == "10:00"


def test_times_are_cut_never_rounded_everywhere_alike() -> None:
    # 95.608 74 s and 59.997 s at hundredths and whole seconds.
    shown = []
    for precision in (1, 10, 1000):
        for seconds in (95.608, 59.997):
            played = Played(simple(1, precision_ms=precision)).go()
            played.press(seconds, Rep())
            shown.append(score(played.lane).shown)
    assert shown == ["1:35.608", "0:59.997", "1:35.60", "0:59.99", "1:35", "0:59"]


def test_equal_shown_times_tie() -> None:
    keys = []
    for seconds in (41.2, 41.9):
        played = Played(simple(1)).go()
        played.press(seconds, Rep())
        keys.append(score(played.lane).rank_key)
    assert keys[0] == keys[1] == (0, 41_000)


def test_rounds_and_reps_in_a_window() -> None:
    # Two full rounds of 5 + 8 (26), then 5 + 3: 34 reps, "2 rounds and 5 + 3".
    tiebreak = (PlanTieBreak(kind="last-full-round"),)
    played = Played(window(tiebreaks=tiebreak)).go()
    for n in range(1, 35):
        played.press(5 * n, Rep())
    played.press(300, Time())
    result = score(played.lane)
    assert result.shown == "34"
    assert result.detail == "2 rounds and 5 + 3 (34 reps)"
    assert result.value == 34
    # The 26th rep ended the second round at 130 s.
    assert (result.tiebreak_ms, result.tiebreak) == (130_000, "2:10")
    assert result.rank_key == (0, -34, 0, 130_000)


def test_a_window_at_an_exact_full_round_has_no_extra() -> None:
    played = Played(window()).go()
    for n in range(1, 14):
        played.press(5 * n, Rep())
    played.press(300, Time())
    assert score(played.lane).detail == "1 round (13 reps)"


def test_the_tie_break_after_a_part_parts_equal_scores_and_a_missing_one_is_last() -> (
    None
):
    tiebreak = (PlanTieBreak(kind="after-part", part=1),)
    result = score(finished(tiebreaks=tiebreak).lane)
    assert (result.tiebreak, result.rank_key) == ("0:23", (0, 37_000, 0, 23_000))
    none = Played(for_time(tiebreaks=tiebreak)).go()
    none.press(600, Time())
    assert score(none.lane).rank_key == (1, 0, 1, 0)


def test_a_stopped_or_withdrawn_athlete_keeps_reps_but_has_no_time() -> None:
    stopped = Played(window()).go()
    stopped.each(Rep(), 10, 20)
    stopped.press(30, Stop(sign="calf"))
    result = score(stopped.lane)
    assert (result.status, result.shown, result.rank_key) == (
        "stopped",
        "2",
        (0, -2),
    )
    gone = Played(for_time()).go()
    gone.each(Rep(), 2, 4)
    gone.press(30, Withdraw(why="shoulder"))
    result = score(gone.lane)
    assert (result.status, result.shown, result.rank_key) == (
        "withdrawn",
        "2 of 16",
        None,
    )


def test_a_moved_start_moves_score_and_split_together() -> None:
    # Start 10:00:00 moved to 10:00:12: 9:30 becomes 9:18, the split 3:00 becomes 2:48.
    parts = (
        PlanPart(
            id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 1),)
        ),
        PlanPart(
            id="B", kind="rounds", rounds=1, movements=(movement("toes-to-bar", 1),)
        ),
    )
    plan = for_time(parts=parts, tiebreaks=(PlanTieBreak(kind="after-part", part=1),))
    played = Played(plan).go()
    played.each(Rep(), 180, 570)
    before = score(played.lane)
    assert (before.shown, before.tiebreak) == ("9:30", "3:00")
    played.press(700, Rule(effect=StartBy(by_ms=12_000), why="started 12 s late"))
    after = score(played.lane)
    assert (after.shown, after.tiebreak) == ("9:18", "2:48")


def test_rulings_are_added_up_line_by_line() -> None:
    # 97.25 - 60 + 30 penalty - 10 credit = 57.25; 10 % worse = 62.975 s.
    played = finished(precision_ms=1)
    played.press(700, Rule(effect=TimeBy(by_ms=30_000), why="left the lane"))
    played.press(701, Rule(effect=Credit(ms=10_000), why="rope snapped"))
    played.press(702, Rule(effect=Percent(percent=10), why="short range"))
    result = score(played.lane)
    assert result.shown == "1:02.975"
    assert [(s.label, s.value) for s in result.steps] == [
        ("last rep at", "1:37.250"),
        ("planned rest", "-1:00.000"),
        ("ruling: left the lane", "+0:30.000"),
        ("ruling: rope snapped", "-0:10.000"),
        ("ruling: short range", "+10 %"),
        ("score", "1:02.975"),
    ]


def test_a_rep_taken_off_a_finisher_makes_a_capped_one() -> None:
    played = finished()
    rule = RepsInSet(set=SetKey(1, 1, 1), by=-2)
    played.press(700, Rule(effect=rule, why="two high squats on video"))
    result = score(played.lane)
    assert (result.status, result.shown) == ("capped", "14 of 16")


def test_an_amended_score_keeps_the_signed_one_beside_it() -> None:
    played = signed(finished())
    played.press(3000, Rule(effect=TimeBy(by_ms=5000), why="early drop"))
    result = score(played.lane)
    assert (result.amended, result.shown) == (True, "0:42")
    assert result.before is not None
    assert (result.before.shown, result.before.amended) == ("0:37", False)


def test_a_status_by_ruling_has_no_rank_until_it_is_lifted() -> None:
    played = finished()
    played.press(700, Rule(effect=StatusIs(status="disqualified"), why="abuse"))
    assert (score(played.lane).status, score(played.lane).rank_key) == (
        "disqualified",
        None,
    )
    played.press(800, Rule(effect=StatusIs(status="as counted"), why="appeal upheld"))
    assert score(played.lane).status == "finished"


def test_a_set_moved_on_from_makes_the_score_provisional() -> None:
    played = Played(simple(3)).go()
    played.press(2, Rep())
    played.press(4, MoveOn(why="judge lost count"))
    result = score(played.lane)
    assert result.status == "finished"
    assert "moved on with a set short" in result.provisional
    ruled = Rule(effect=StatusIs(status="as counted"), why="seen on the video")
    athlete, judge = (
        Accept(who="athlete", signed=True),
        Accept(who="judge", signed=True),
    )
    for ends in ((ruled,), (athlete, judge)):
        settled = Played(simple(3)).go()
        settled.press(2, Rep())
        settled.press(4, MoveOn(why="judge lost count"))
        for act in ends:
            settled.press(9, act)
        assert "moved on with a set short" not in score(settled.lane).provisional


def test_corrections_show_in_the_arithmetic() -> None:
    played = Played(window()).go()
    played.press(10, Rep())
    played.press(12, Correct(by=1, said="two"))
    played.press(300, Time())
    result = score(played.lane)
    assert result.shown == "2"
    assert result.steps[1] == Step(label="judge's correction: two", value="+1 rep")


def test_before_the_end_there_is_never_a_final_score() -> None:
    played = Played(for_time())
    assert score(played.lane).status == "waiting"
    played.go()
    played.press(2, Rep())
    result = score(played.lane)
    assert (result.status, result.provisional) == ("in progress", ("in progress",))


def test_heats_without_a_start_have_no_rank() -> None:
    lane = replace(Played(for_time()).lane, absent=True)
    assert (score(lane).status, score(lane).rank_key) == ("did not start", None)


@pytest.mark.parametrize("withdraws_at", [40, 700])
def test_who_withdraws_after_a_stop_is_withdrawn(withdraws_at: float) -> None:
    played = Played(simple(2, cap_ms=600_000)).go()
    played.press(10, Rep())
    played.press(30, Stop(sign="calf"))
    assert score(played.lane).status == "stopped"
    played.press(withdraws_at, Withdraw(why="pain or injury"))
    result = score(played.lane)
    assert (result.status, result.shown) == ("withdrawn", "1 of 2")
    assert "stopped" not in result.provisional


def test_a_stop_or_a_withdrawal_after_the_end_changes_nothing() -> None:
    done = Played(simple(1)).go()
    done.press(10, Rep())
    done.press(15, Stop(sign="dizzy"))
    assert (score(done.lane).status, score(done.lane).shown) == ("finished", "0:10")
    gone = Played(simple(1)).go()
    gone.press(10, Rep())
    gone.press(15, Withdraw())
    assert score(gone.lane).status == "finished"
    capped = Played(simple(2, cap_ms=60_000)).go()
    capped.press(10, Rep())
    capped.press(60, Time())
    capped.press(75, Stop(sign="calf"))
    assert (score(capped.lane).status, score(capped.lane).shown) == ("capped", "1 of 2")


def test_a_correction_after_the_horn_counts_with_the_horns_time() -> None:
    played = Played(simple(3, cap_ms=600_000)).go()
    played.each(Rep(), 10, 20)
    played.press(600, Time())
    played.press(630, Correct(by=1, said="three"))
    assert (score(played.lane).status, score(played.lane).shown) == (
        "finished",
        "10:00",
    )


def test_a_moved_start_leaves_the_clocks_own_call_at_the_cap() -> None:
    played = Played(simple(3, cap_ms=600_000)).go()
    played.each(Rep(), 20, 40)
    played.press(600, Time())
    played.press(700, Rule(effect=StartBy(by_ms=12_000), why="went late"))
    assert (score(played.lane).status, score(played.lane).shown) == ("capped", "2 of 3")


def test_rest_comes_off_though_an_old_rep_was_taken_back_and_made_good() -> None:
    # All but one rep as in `finished`; made good at 100 s: 100 - 60 = 40 s.
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(90, Reading(shows=4))
    played.press(92, TakeBackOne(at=2000))
    played.each(Rep(), 95, 97.25, 100)
    assert score(played.lane).shown == "0:40"


def test_capped_seconds_leave_out_the_clocks_rest_as_for_finishers() -> None:
    # Part A done at 23 s, rest until 1:40 (77 s); capped 6 short: 600 - 77 + 6 = 529.
    plan = for_time(capped="second-per-rep")
    rest = PlanPart(id="", kind="rest-until", until_ms=100_000)
    played = Played(replace(plan, parts=(plan.parts[0], rest, plan.parts[2]))).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(600, Time())
    assert score(played.lane).shown == "8:49"


def test_every_tie_break_is_used_in_turn() -> None:
    ties = (
        PlanTieBreak(kind="last-full-round"),
        PlanTieBreak(kind="after-part", part=1),
    )
    result = score(finished(tiebreaks=ties).lane)
    assert result.rank_key == (0, 37_000, 0, 97_250 // 1000 * 1000, 0, 23_000)


@pytest.mark.parametrize(
    ("act", "at", "status", "key"),
    [
        (ClassOver(), 8, "class over", (1, -3)),
        # One lane's time alone, and a cap that came first.
        (Time(), 8, "did not finish", None),
        (ClassOver(), 320, "capped", (1, -3)),
    ],
)
def test_class_over_ends_the_work_as_a_cap_does(
    act: Time, at: int, status: str, key: tuple[int, int] | None
) -> None:
    played = Played(simple(reps=10, cap_ms=300_000)).go()
    played.each(Rep(), 2, 4, 6)
    played.press(at, act)
    result = score(played.lane)
    assert (result.status, result.rank_key) == (status, key)
    said = "3 of 10, 7 short"
    over = f"{said}, class over at 0:08"
    assert result.detail == (over if status == "class over" else said)


def test_who_is_called_off_before_class_over_or_stopped_is_not_ranked() -> None:
    for before in (Time(), Stop()):
        played = Played(simple(reps=10)).go()
        played.each(Rep(), 2, 4)
        played.press(5, before)
        played.press(8, ClassOver())
        assert score(played.lane).rank_key is None


def test_class_over_leaves_a_score_in_seconds_below_all_finishers() -> None:
    played = Played(simple(reps=10, capped="second-per-rep")).go()
    played.each(Rep(), 2, 4, 6)
    played.press(8, ClassOver())
    result = score(played.lane)
    assert (result.unit, result.rank_key) == ("reps", (1, -3))
