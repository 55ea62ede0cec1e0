"""What the Floor says of each format: figures, place, clock and keys of the moment."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import NoRep, Rep, Time
from judgekit.core.plan import Member, PlanPart, PlanTeam
from judgekit.core.press import Called
from judgekit.core.tryentry import Bar, Works
from judgekit.ui.views.floor import FloorView, floor_view
from judgekit.ui.views.phase import Now
from tests.format_plans import attempts, every, hold, rounds, workout
from tests.support import Played, movement

if TYPE_CHECKING:
    from judgekit.core.plan import Plan


def shown(played: Played, seconds: float) -> FloorView:
    return floor_view(played.lane, Now(heat_ms=round(seconds * 1000)))


def told(view: FloorView) -> tuple[str, ...]:
    """Figures, what is beside them, the place, the clock and what comes next."""
    return view.big, view.beside, view.place[0], view.cap, view.following[0]


def started(plan: Plan) -> Played:
    return Played(plan).go()


def test_a_minute_says_which_and_when_it_ends() -> None:
    played = started(workout(every(movement("front-squat", 3))))
    played.each(Rep(), 62, 65)
    assert told(shown(played, 70)) == (
        "02",
        "of 3",
        "minute 2 of 4",
        "minute ends 2:00   0:50 left",
        "next  front squat 3",
    )


def test_a_full_minute_counts_down_to_the_next() -> None:
    played = started(workout(every(movement("front-squat", 2))))
    played.each(Rep(), 2, 5)
    view = shown(played, 20)
    assert (view.phase, view.big, view.place[0]) == ("rest", "0:40", "minute 2 of 4")
    assert view.cap == "starts 1:00"


def test_an_interval_that_is_no_minute_is_called_so() -> None:
    part = every(movement("front-squat", 3), every_ms=30_000, work_ms=20_000)
    assert shown(started(workout(part)), 2).place[0] == "interval 1 of 4"


def test_the_load_is_what_is_read_from_afar() -> None:
    played = started(workout(attempts(3, 0), score="load"))
    before = shown(played, 5)
    assert told(before)[:3] == (
        "--",
        "enter the load",
        "attempt 1 of 3",
    )
    assert before.following[0] == "next  attempt 2 of 3"
    assert before.hint == ("enter the load", "space good lift", "? keys")
    played.press(6, Bar(load="62.5 kg"))
    said = shown(played, 7)
    assert (said.big, said.beside, said.mark) == ("62.5", "kg said", "")
    assert said.movement[0] == "FRONT SQUAT  62.5 kg"
    assert said.hint == ("y bar checked", "space good lift", "? keys")
    played.press(8, Bar(load="", confirmed=True))
    assert shown(played, 9).beside == "kg checked"
    played.press(12, Called(fault="depth"))
    failed = shown(played, 13)
    assert (failed.place[0], failed.beside) == ("attempt 2 of 3", "enter the load")
    # What is beside the next attempt says of which load it was.
    assert failed.mark == "✗ NO REP 62.5 kg depth"
    assert failed.last[0] == "0:12.0  NO REP 62.5 kg depth"
    played.press(20, Bar(load="60 kg"))
    played.press(25, Rep())
    good = shown(played, 26)
    assert (good.mark, good.last[0]) == ("✓ good 60 kg", "0:25.0  good 60 kg")


def test_what_counts_at_the_end_of_attempts_is_called_lifts() -> None:
    """The fourth try was never begun: it stands nowhere once time is called."""
    played = started(workout(attempts(0, 60_000), score="load"))
    played.each(Rep(), 10, 30)
    played.press(50, NoRep())
    played.press(62, Time())
    over = shown(played, 63)
    assert (over.big, over.beside, over.place[0], over.target) == (
        "02",
        "good lifts",
        "",
        0,
    )


def test_a_complex_says_which_of_its_movements_was_good() -> None:
    part = attempts(2, 0, movement("front-squat", 1), movement("toes-to-bar", 2))
    played = started(workout(part, score="load"))
    played.press(5, Bar(load="60 kg"))
    played.press(10, Rep())
    assert shown(played, 11).last[0] == "0:10.0  front squat good 60 kg"
    assert shown(played, 11).beside == "kg said, 0 of 2"
    played.press(14, Rep())
    assert shown(played, 15).last[0] == "0:14.0  toes to bar rep 1 good 60 kg"


def test_a_lift_at_the_horn_is_asked_by_the_rule_of_the_workout() -> None:
    for rule, asks in (
        ("started", "Lift at the horn: off the floor in time?   y yes   n no"),
        ("complete", "Lift at the horn: finished in time?   y yes   n no"),
    ):
        played = started(workout(attempts(0, 60_000), score="load", last_lift=rule))
        played.press(60.5, Rep())
        assert shown(played, 60.6).last[0] == "1:00.5  lift at the horn?"
        played.press(72, Time())
        assert shown(played, 73).banner == asks


def test_a_hold_counts_its_seconds_on_the_screen() -> None:
    played = started(workout(hold(30_000)))
    assert shown(played, 1).hint == (
        "space the hold begins",
        "backspace take back",
        "? keys",
    )
    played.press(2, Rep())
    running = shown(played, 9.9)
    assert (running.big, running.beside, running.done) == ("07", "of 30 s", 7)
    assert (running.mark, running.hint[0]) == ("holding", "space ends the hold")
    # However long nobody presses, it is full at thirty.
    assert shown(played, 50).big == "30"


def test_as_many_as_can_be_done_has_no_target() -> None:
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=60_000,
        movements=(movement("front-squat", 0),),
    )
    played = started(workout(part))
    played.each(Rep(), 2, 5)
    view = shown(played, 6)
    assert (view.big, view.beside, view.target) == ("02", "reps so far", 0)
    # Only the clock ends it: no second round comes, and no next set.
    assert (view.place[0], view.following[0]) == ("", "last set")


def test_after_as_many_as_can_be_done_comes_what_the_clock_opens() -> None:
    squats, toes = movement("front-squat", 0), movement("toes-to-bar", 4)
    part = PlanPart(id="A", kind="window", length_ms=60_000, movements=(squats,))
    rest = PlanPart(id="", kind="rest", length_ms=30_000)
    then = PlanPart(id="B", kind="window", length_ms=60_000, movements=(toes,))
    played = started(workout(part, rest, then))
    view = shown(played, 6)
    assert view.following[0] == "next  rest 0:30, then toes to bar 4"
    assert (view.place[0], view.cap) == ("part A", "part ends 1:00   0:54 left")
    # In the rest the clock says when the next part opens.
    resting = shown(played, 70)
    assert (resting.phase, resting.cap) == ("rest", "starts 1:30")


def test_between_intervals_the_rest_is_announced() -> None:
    part = every(movement("front-squat", 0), work_ms=40_000)
    view = shown(started(workout(part)), 5)
    assert view.following[0] == "next  rest 0:20, then front squat max"


def test_the_only_window_just_ends() -> None:
    part = PlanPart(
        id="A", kind="window", length_ms=60_000, movements=(movement("front-squat", 3),)
    )
    assert shown(started(workout(part)), 6).cap == "ends 1:00   0:54 left"


def test_in_a_rest_before_attempts_the_movement_and_the_try_are_named() -> None:
    rest = PlanPart(id="", kind="rest", length_ms=30_000)
    parts = (rounds(movement("toes-to-bar", 1)), rest, attempts(3, 0))
    played = started(workout(*parts, score="placing"))
    played.press(5, Rep())
    assert shown(played, 8).following[0] == "next  front squat, attempt 1 of 3"


def test_a_team_says_who_works() -> None:
    members = (Member(bib="31", name="Ana Roth"), Member(bib="32", name="Bo Lind"))
    plan = workout(rounds(movement("front-squat", 2), rounds=3))
    relay = started(replace(plan, team=PlanTeam(members=members, how="relay")))
    assert shown(relay, 1).athlete[0] == "27  Ines Varga: Ana Roth works   Women"
    relay.each(Rep(), 3, 6)
    assert "Bo Lind works" in shown(relay, 7).athlete[0]
    shared = started(replace(plan, team=PlanTeam(members=members, how="shared")))
    assert "works" not in shown(shared, 1).athlete[0]
    assert "w who works" in shown(shared, 1).hint
    shared.press(2, Works(bib="32"))
    assert "Bo Lind works" in shown(shared, 3).athlete[0]


def test_segments_are_called_so() -> None:
    part = rounds(movement("front-squat", 4, unit="segments"))
    played = started(workout(part, score="time"))
    played.press(5, Rep())
    view = shown(played, 6)
    assert (view.hint[0], view.last[0]) == (
        "space good segment",
        "0:05.0  segment 1",
    )


def test_what_is_left_on_the_clock_is_told_from_the_start() -> None:
    window = PlanPart(
        id="B", kind="window", until_ms=60_000, movements=(movement("toes-to-bar", 0),)
    )
    played = started(workout(rounds(movement("front-squat", 9)), window))
    assert shown(played, 20).cap == "cap 1:00   0:40 left"


def test_own_rest_between_rounds_is_announced_and_runs_down() -> None:
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=2,
        rest_ms=30_000,
        movements=(movement("front-squat", 2),),
    )
    played = started(workout(part, score="time"))
    played.press(2, Rep())
    assert shown(played, 3).following[0] == "next  rest 0:30, then front squat 2"
    played.press(5, Rep())
    assert (shown(played, 10).phase, shown(played, 10).big) == ("rest", "0:25")


def test_rising_rounds_say_what_the_next_one_asks() -> None:
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=300_000,
        movements=(replace(movement("front-squat", 3), rise=3),),
    )
    played = started(workout(part))
    assert shown(played, 1).following[0] == "next  front squat 6"
