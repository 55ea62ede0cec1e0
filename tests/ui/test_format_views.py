"""What the Floor says of each format: figures, place, clock and keys of the moment."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import Rep
from judgekit.core.plan import PlanPart
from judgekit.core.press import Called
from judgekit.core.tryentry import Bar
from judgekit.ui.views.floor import FloorView, floor_view
from judgekit.ui.views.phase import Now
from tests.format_plans import attempts, every, hold, workout
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
        "attempt 1 of 3  enter the load",
        "attempt 1 of 3",
    )
    assert before.following[0] == "next  attempt 2 of 3"
    assert before.hint == ("enter the load", "space good lift", "? keys")
    played.press(6, Bar(load="62.5 kg"))
    said = shown(played, 7)
    assert (said.big, said.beside) == ("62.5", "kg said, attempt 1 of 3")
    assert said.movement[0] == "FRONT SQUAT  62.5 kg"
    assert said.hint == ("y bar checked", "space good lift", "? keys")
    played.press(8, Bar(load="", confirmed=True))
    assert shown(played, 9).beside == "kg checked, attempt 1 of 3"
    played.press(12, Called(fault="depth"))
    assert shown(played, 13).place[0] == "attempt 2 of 3"


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
    assert running.hint[0] == "space ends the hold"
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
    assert view.following[0] == "next  front squat max"


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
