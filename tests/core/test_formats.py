"""Every format counted press by press; each number worked by hand beside it."""

from __future__ import annotations

from dataclasses import replace

from judgekit.core import looking
from judgekit.core.entry import GoOn, NoRep, Reading, Rep, Stop, Time
from judgekit.core.plan import PlanPart, SetKey
from judgekit.core.press import Called
from judgekit.core.status import status_of
from judgekit.core.tryentry import Bar, HoldOff, HoldOn
from tests.format_plans import attempts, every, hold, rounds, workout
from tests.support import Played, movement

# --- intervals -------------------------------------------------------------------


def test_each_interval_keeps_its_own_work() -> None:
    """4 x 1:00 of 3 squats: 3 in the first, 2 in the second, none, then 3."""
    played = Played(workout(every(movement("front-squat", 3)))).go()
    played.each(Rep(), 2, 5, 8, 62, 70, 185, 190, 195)
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 2, 1, 2, 0), (1, 4, 1, 3, 0)]
    # The last interval was full at 3:15, so all is done then.
    assert played.lane.work.done_ms == 195_000
    assert played.refusals == []


def test_a_rep_before_the_next_interval_opens_is_early() -> None:
    """The fourth squat of a full minute belongs to the next, which is not open yet."""
    played = Played(workout(every(movement("front-squat", 3)))).go()
    played.each(Rep(), 2, 5, 8, 20)
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 2, 1, 0, 0)]
    assert played.lane.work.attempts[-1].marks == ("early",)
    played.press(61, Rep())
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 2, 1, 1, 0)]


def test_a_press_at_an_interval_s_horn_is_asked_about() -> None:
    """Work of 40 s each minute: 0:40.6 is within the thumb's lag, 0:42 is not."""
    part = every(movement("front-squat", 3), work_ms=40_000)
    played = Played(workout(part)).go()
    played.each(Rep(), 30, 40.6)
    assert played.lane.horn_asks == (played.entries[-1].ref,)
    assert played.counts() == [(1, 1, 1, 1, 0)]
    # Later than the lag it is before the next interval: early, of that interval.
    played.press(45, Rep())
    assert played.lane.work.attempts[-1].set == SetKey(1, 2, 1)
    assert played.lane.work.attempts[-1].marks == ("early",)


def test_movements_take_turns() -> None:
    """Odd minutes squats, even minutes toes-to-bar."""
    part = every(movement("front-squat", 2), movement("toes-to-bar", 3), in_turn=True)
    played = Played(workout(part)).go()
    played.each(Rep(), 2, 5, 62, 64, 66, 121, 181)
    assert played.counts() == [
        (1, 1, 1, 2, 0),
        (1, 2, 2, 3, 0),
        (1, 3, 1, 1, 0),
        (1, 4, 2, 1, 0),
    ]


def test_who_leaves_an_interval_short_is_out() -> None:
    """One more squat each minute from 1 on; the third minute is left one short."""
    part = every(
        replace(movement("front-squat", 1), rise=1), until_failed=True, rounds=10
    )
    played = Played(workout(part)).go()
    played.each(Rep(), 2, 62, 65, 122, 125)
    # Minute 3 asks for 3, has 2, and ends at 3:00.
    assert looking.end_ms(played.lane) == 180_000
    played.press(190, Rep())
    assert played.counts() == [(1, 1, 1, 1, 0), (1, 2, 1, 2, 0), (1, 3, 1, 2, 0)]
    assert looking.set_for(played.lane, 190_000) is None


def test_own_rest_between_rounds() -> None:
    """Two rounds of 2 squats, 30 s of own rest between: early at 0:33, fine at 0:36."""
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=2,
        rest_ms=30_000,
        movements=(movement("front-squat", 2),),
    )
    played = Played(workout(part, score="time")).go()
    played.each(Rep(), 2, 5, 33, 36, 39)
    # Round 1 was done at 0:05, so round 2 opens at 0:35.
    assert [a.marks for a in played.lane.work.attempts] == [
        (),
        (),
        ("early",),
        (),
        (),
    ]
    assert [(r.round, r.from_ms, r.until_ms) for r in played.lane.work.rests] == [
        (1, 5_000, 35_000)
    ]
    assert played.lane.work.done_ms == 39_000


def test_what_is_left_of_the_clock_is_the_next_window() -> None:
    """A buy-in of 2 squats, then as many toes-to-bar as fit until 1:00."""
    parts = (
        PlanPart(
            id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 2),)
        ),
        PlanPart(
            id="B",
            kind="window",
            until_ms=60_000,
            movements=(movement("toes-to-bar", 0),),
        ),
    )
    played = Played(workout(*parts)).go()
    played.each(Rep(), 2, 10, 12, 14, 59, 60.5, 63)
    assert played.counts() == [(1, 1, 1, 2, 0), (2, 1, 1, 3, 0)]
    assert looking.end_ms(played.lane) == 60_000
    assert len(played.lane.horn_asks) == 1


def test_the_clock_ends_work_that_leaves_nothing_of_it() -> None:
    """9 squats first, then what is left until 1:00: at 1:00 only 2 were done."""
    window = PlanPart(
        id="B", kind="window", until_ms=60_000, movements=(movement("toes-to-bar", 0),)
    )
    played = Played(workout(rounds(movement("front-squat", 9)), window)).go()
    played.each(Rep(), 30, 58)
    assert looking.end_ms(played.lane) == 60_000
    # Within the thumb's lag it is asked about; later there is nothing to count.
    played.each(Rep(), 60.4, 63)
    assert played.counts() == [(1, 1, 1, 2, 0)]
    assert len(played.lane.horn_asks) == 1
    assert played.entries[-1].body.kind == "ignored"
    played.press(64, Time())
    assert (played.lane.over_ms, status_of(played.lane)) == (60_000, "finished")


def test_a_cap_before_what_is_left_of_the_clock_still_rules() -> None:
    window = PlanPart(
        id="B", kind="window", until_ms=60_000, movements=(movement("toes-to-bar", 0),)
    )
    parts = (rounds(movement("front-squat", 9)), window)
    played = Played(workout(*parts, cap_ms=45_000)).go()
    assert looking.end_ms(played.lane) == 45_000


def test_rounds_that_rise() -> None:
    """3 + 3, then 6 + 6, ...: twelve reps are one round, and 3 of 6 in the second."""
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=300_000,
        movements=(
            replace(movement("front-squat", 3), rise=3),
            replace(movement("toes-to-bar", 3), rise=3),
        ),
    )
    played = Played(workout(part)).go()
    played.each(Rep(), *(2 * n for n in range(1, 10)))
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 1, 2, 3, 0), (1, 2, 1, 3, 0)]
    assert played.plan.target(SetKey(1, 2, 1)) == 6


# --- attempts ---------------------------------------------------------------------


def test_attempts_each_use_up_one_try() -> None:
    """60 good, 65 no lift for depth, 65 good: three attempts, and no fourth."""
    played = Played(workout(attempts(3, 0), score="load")).go()
    played.press(10, Bar(load="60 kg"))
    played.press(15, Bar(load="", confirmed=True))
    played.press(20, Rep())
    played.press(60, Bar(load="65 kg"))
    played.press(70, Called(fault="depth"))
    played.press(90, Bar(load="65 kg"))
    played.press(100, Rep())
    assert played.counts() == [(1, 1, 1, 1, 0), (1, 2, 1, 0, 1), (1, 3, 1, 1, 0)]
    assert [(b.round, b.load, b.confirmed) for b in played.lane.work.bars] == [
        (1, "60 kg", True),
        (2, "65 kg", False),
        (3, "65 kg", False),
    ]
    assert played.lane.work.cursor is None
    assert played.lane.work.done_ms == 100_000
    assert played.refusals == []


def test_a_second_reason_still_goes_to_the_attempt_just_made() -> None:
    played = Played(workout(attempts(3, 0), score="load")).go()
    played.press(20, Called(fault="depth"))
    played.press(20.5, Called(fault="lock"))
    assert played.counts() == [(1, 1, 1, 0, 1)]
    assert played.lane.work.attempts[-1].faults == ("depth", "lock")
    assert played.lane.work.cursor == SetKey(1, 2, 1)


def test_a_load_said_late_is_that_of_the_attempt_judged_without() -> None:
    played = Played(workout(attempts(3, 0), score="load")).go()
    played.press(20, Rep())
    played.press(25, Bar(load="60 kg"))
    played.press(30, Bar(load="70 kg"))
    assert [(b.round, b.load) for b in played.lane.work.bars] == [
        (1, "60 kg"),
        (2, "70 kg"),
    ]


def test_loads_must_be_loads() -> None:
    played = Played(workout(attempts(3, 0), score="load")).go()
    played.press(5, Bar(load="sixty"))
    played.press(5, Bar(load="6 ft"))
    played.press(5, Bar(load="", confirmed=True))
    assert played.refusals == [
        '"sixty" is no load; write it with its unit, such as 62.5 kg.',
        '"6 ft" is no load; write kg or lb.',
        "Say the load first; then check the bar.",
    ]


def test_free_attempts_end_with_their_window() -> None:
    played = Played(workout(attempts(0, 60_000), score="load")).go()
    played.each(Rep(), 10, 30, 59.9)
    played.press(60.4, Rep())
    assert played.counts()[:3] == [(1, n, 1, 1, 0) for n in (1, 2, 3)]
    assert len(played.lane.horn_asks) == 1
    assert looking.end_ms(played.lane) == 60_000


def test_a_lift_that_left_the_floor_may_be_asked_about_for_longer() -> None:
    plan = workout(attempts(0, 60_000), score="load", last_lift="started")
    played = Played(plan).go()
    played.press(64, Rep())
    assert len(played.lane.horn_asks) == 1


def test_a_complex_fails_as_a_whole() -> None:
    """Squat and two toes-to-bar unbroken: a fault in the second ends the attempt."""
    part = attempts(2, 0, movement("front-squat", 1), movement("toes-to-bar", 2))
    played = Played(workout(part, score="load")).go()
    played.press(10, Rep())
    played.press(14, Called(fault="lock"))
    assert played.lane.work.cursor == SetKey(1, 2, 1)
    played.each(Rep(), 60, 64, 68)
    assert played.lane.work.done_ms == 68_000
    assert played.counts() == [
        (1, 1, 1, 1, 0),
        (1, 1, 2, 0, 1),
        (1, 2, 1, 1, 0),
        (1, 2, 2, 2, 0),
    ]


# --- holds ------------------------------------------------------------------------


def test_one_hold_counts_its_whole_seconds() -> None:
    """From 0:02.0 to 0:47.9 are 45.9 s: 45."""
    played = Played(workout(hold())).go()
    played.press(2, Rep())
    assert played.lane.work.hold is not None
    played.press(47.9, Called(fault="depth"))
    assert played.counts() == [(1, 1, 1, 45, 1)]
    assert played.lane.work.done_ms == 47_900
    assert [type(e.body) for e in played.entries[2:]] == [HoldOn, HoldOff]


def test_a_hold_is_over_once_it_was_long_enough() -> None:
    """At most 0:30: it counts 30 whenever the judge lets go."""
    played = Played(workout(hold(30_000))).go()
    played.press(2, Rep())
    assert looking.hold_done(played.lane) == 32_000
    played.press(40, Rep())
    assert played.counts() == [(1, 1, 1, 30, 0)]
    assert played.lane.work.done_ms == 32_000


def test_held_seconds_add_up_until_the_set_is_full() -> None:
    """20 s of plank in two holds, then 2 squats; the hold ends by itself at 0:32."""
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=1,
        movements=(movement("plank", 20, unit="seconds"), movement("front-squat", 2)),
    )
    played = Played(workout(part, score="time")).go()
    played.press(2, Rep())
    played.press(14.5, Called(fault="lock"))  # 12 s
    played.press(24, Rep())  # 8 more are due: at 0:32
    played.each(Rep(), 33)
    assert played.counts() == [(1, 1, 1, 20, 1)]
    assert played.lane.work.cursor == SetKey(1, 1, 2)
    played.each(Rep(), 36, 39)
    assert played.lane.work.done_ms == 39_000


def test_a_hold_under_way_ends_with_the_stop_and_with_time() -> None:
    played = Played(workout(hold())).go()
    played.press(2, Rep())
    played.press(10.5, Stop(sign="dizzy"))
    assert [s.good for s in played.lane.work.sets] == [8]
    played.press(12, GoOn(by_mistake=True))
    assert played.lane.work.hold is not None
    played.press(20, Time())
    assert [s.good for s in played.lane.work.sets] == [18]


# --- monitors, segments, as many as can be done -------------------------------------


def test_as_many_as_can_be_done_on_a_monitor_is_typed() -> None:
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=60_000,
        movements=(movement("row", 0, unit="calories"),),
    )
    played = Played(workout(part, score="reading")).go()
    played.press(30, Rep())
    assert played.refusals == ["Type what the monitor shows (enter)."]
    played.press(61.5, Reading(shows=17))
    assert played.counts() == [(1, 1, 1, 17, 0)]


def test_segments_are_counted_one_by_one() -> None:
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=1,
        movements=(movement("front-squat", 4, unit="segments"),),
    )
    played = Played(workout(part, score="time")).go()
    played.each(Rep(), 5, 10)
    played.press(12, NoRep(faults=("lock",)))
    played.press(12.1, Reading(shows=3))
    assert played.counts() == [(1, 1, 1, 2, 1)]
    assert played.refusals == [
        "Front squat is counted rep by rep; there is no monitor here."
    ]
