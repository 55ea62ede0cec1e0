"""Times by the cards and advice on a workout; each number worked by hand beside it.

Every card here takes 1.5 s a rep briskly and 2 s ordinarily; a change takes 1.5 s.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.aids import Aid, aids, outline, unmade
from judgekit.core.card import Measure, Seconds
from judgekit.core.estimate import (
    Pace,
    Passage,
    passages,
    round_ms,
    rounds_in,
    totals,
)
from judgekit.core.people import Division
from judgekit.core.plan import Plan, PlanPart
from judgekit.core.plates import Disc, Rack
from judgekit.core.quantity import parse
from judgekit.core.workout import (
    Attempts,
    ByDivision,
    Movement,
    Part,
    Rounds,
    Shape,
    Workout,
)
from tests.core.test_setup import card as whole_card
from tests.format_plans import PLANK, attempts, every, hold
from tests.support import ROW, SQUAT, TOES, for_time, movement, window

USUAL = Measure(
    id="bar",
    kind="load",
    says="Bar",
    by_key=(("men", parse("60 kg")), ("women", parse("40 kg"))),
)
CARDS = {
    "front-squat": whole_card("front-squat", measures=(USUAL,)),
    "toes-to-bar": whole_card("toes-to-bar"),
    "row": whole_card("row", counts=("calories", "metres")),
    "plank": whole_card("plank", counts=("seconds",), seconds=None),
}
WOMEN = Division(id="women-open", name="Women", standard="women")


def test_the_cards_of_these_tests_are_what_they_say() -> None:
    seconds = Seconds(floor_ms=1000, brisk_ms=1500, ordinary_ms=2000)
    assert CARDS["front-squat"].seconds == seconds
    assert SQUAT.changeover_ms == TOES.changeover_ms == ROW.changeover_ms == 1500


def plan_of(*parts: PlanPart, **changes: object) -> Plan:
    plain = for_time(cap_ms=0, parts=parts, cards=(SQUAT, TOES, ROW, PLANK))
    return replace(plain, **changes)  # type: ignore[arg-type]


def ends(plan: Plan, pace: Pace) -> list[int | None]:
    return [passage.until_ms for passage in passages(plan, CARDS, pace)]


def test_sets_changes_and_rests_add_up() -> None:
    """Part A brisk: 3 squats 4.5 s, change and one more 3 s, 4.5 s, 3 s: 15 s.

    After a rest of 60 s: 4 calories 6 s, a change and one more squat 3 s: 84 s.
    Ordinary: 6 + 4 + 6 + 4 = 20 s, 80 s, and 8 + 4 more: 92 s.
    """
    assert ends(for_time(), "brisk") == [15_000, 75_000, 84_000]
    assert ends(for_time(), "ordinary") == [20_000, 80_000, 92_000]


def test_what_there_is_to_do_is_added_up_by_movement() -> None:
    assert totals(for_time()) == {
        ("front-squat", "reps"): 8,
        ("toes-to-bar", "reps"): 4,
        ("row", "calories"): 4,
    }


def test_the_clock_s_own_parts_last_as_long_as_they_say() -> None:
    """4 intervals of 1:00; then a minute's hold is not known; a window until 8:00."""
    squats = every(movement("front-squat", 3), work_ms=40_000)
    until = PlanPart(
        id="B", kind="window", until_ms=480_000, movements=(movement("row", 0),)
    )
    # The last interval is over with its work: 3:40.
    assert ends(plan_of(squats, until), "brisk") == [220_000, 480_000]
    assert ends(plan_of(attempts(3, 0)), "brisk") == [None]
    assert ends(plan_of(attempts(0, 90_000), squats), "brisk") == [90_000, 310_000]
    assert ends(plan_of(hold(30_000)), "brisk") == [30_000]
    assert ends(plan_of(hold()), "brisk") == [None]


def test_own_rests_between_rounds_are_part_of_the_time() -> None:
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=3,
        rest_ms=30_000,
        movements=(movement("front-squat", 2),),
    )
    # 3 x 3 s and 2 rests of 30 s.
    assert ends(plan_of(part), "brisk") == [69_000]


def test_held_seconds_are_seconds_and_metres_are_not_calories() -> None:
    part = PlanPart(
        id="A",
        kind="rounds",
        rounds=1,
        movements=(movement("front-squat", 2), movement("plank", 20, unit="seconds")),
    )
    # 2 squats 3 s, 1.5 s to get down, 20 s of hold.
    assert PLANK.changeover_ms == 1500
    assert ends(plan_of(part), "brisk") == [24_500]
    metres = replace(part, movements=(movement("row", 500, unit="metres"),))
    assert passages(plan_of(metres), CARDS, "brisk") == (
        Passage(part=1, from_ms=0, until_ms=None),
    )


@pytest.mark.parametrize(("pace", "rounds"), [("brisk", 15), ("ordinary", 11)])
def test_rounds_that_fit_into_a_window(pace: Pace, rounds: int) -> None:
    """5 + 8 in 5:00: briskly 19.5 s, so 15 in 292.5 s; ordinarily 26 s, 11 in 286."""
    plan = window()
    [passage] = passages(plan, CARDS, pace)
    assert rounds_in(plan, CARDS, passage, pace) == rounds
    assert round_ms(plan, CARDS, (1, 1), "brisk") == 19_500


def test_a_window_of_as_many_as_can_be_done_has_no_rounds() -> None:
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=60_000,
        movements=(movement("toes-to-bar", 0),),
    )
    plan = plan_of(part)
    [passage] = passages(plan, CARDS, "brisk")
    assert rounds_in(plan, CARDS, passage, "brisk") is None


# --- advice ----------------------------------------------------------------------


def workout(shape: Shape, *loads: str) -> Workout:
    squat = Movement(
        card=ByDivision(same="front-squat"),
        unit="reps",
        amounts=ByDivision(same=(5,)),
        load=ByDivision(same=tuple(map(parse, loads))) if loads else None,
    )
    part = Part(id="A", shape=shape, movements=(squat,))
    return Workout(id="w", name="W", revision=1, score="time", parts=(part,))


def advice(plan: Plan, written: Workout | None = None) -> list[str]:
    about = written or workout(Rounds(rounds=1), "40 kg")
    found: tuple[Aid, ...] = aids(about, plan, WOMEN, CARDS)
    return [aid.what for aid in found]


def test_work_and_time_are_told_as_a_range() -> None:
    assert outline(for_time(), CARDS) == (
        "8 reps of front-squat, 4 reps of toes-to-bar, 4 calories of row, "
        "1:24 brisk to 1:32 ordinary"
    )
    said = "part A: 15 rounds brisk, 11 ordinary, 5:00 by the clock"
    assert outline(window(), CARDS) == said
    unknown = "the cards do not tell how long it takes"
    assert outline(plan_of(attempts(3, 0)), CARDS) == unknown


def test_a_cap_that_cannot_be_met() -> None:
    """Briskly 1:24 in all; then nobody has a minute left for part B."""
    assert advice(for_time(cap_ms=84_000)) == [
        "an ordinary athlete comes to part B at 1:20, and 1:24 ends it"
    ]
    assert advice(for_time(cap_ms=83_000)) == [
        "the cap of 1:23 cannot be met: a brisk athlete takes 1:24"
    ]


def test_a_part_that_begins_with_under_a_minute_left() -> None:
    """An ordinary athlete comes to part B at 1:20; a cap of 2:20 leaves a minute."""
    assert advice(for_time(cap_ms=140_000)) == []
    assert advice(for_time(cap_ms=139_000)) == [
        "an ordinary athlete comes to part B at 1:20, and 2:19 ends it"
    ]


def test_a_short_workout_of_one_part_is_no_late_part() -> None:
    part = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 20),)
    )
    # 20 squats are 30 s briskly.
    assert advice(plan_of(part, cap_ms=30_000)) == []


def test_an_interval_too_full_for_a_brisk_athlete() -> None:
    """14 squats are 21 s briskly."""
    assert advice(plan_of(every(movement("front-squat", 14), work_ms=21_000))) == []
    full = every(movement("front-squat", 3, 14, 14, 15), work_ms=20_000)
    assert advice(plan_of(full)) == [
        "interval 2 of part A takes a brisk athlete 0:21, and there are 0:20"
    ]
    out = replace(full, until_failed=True)
    assert advice(plan_of(out)) == []


@pytest.mark.parametrize(
    ("loads", "said"),
    [
        ((), "part A: front-squat has no load; the card names 40 kg ≈ 88 lb"),
        (("121 kg",), "part A: front-squat has 121 kg; the card names 40 kg ≈ 88 lb"),
        (("40 kg", "9 kg"), "part A: front-squat has 9 kg; the card names 40 kg ≈ 88"),
    ],
)
def test_a_load_that_is_missing_or_can_hardly_be_meant(
    loads: tuple[str, ...], said: str
) -> None:
    [about_load] = advice(for_time(), workout(Rounds(rounds=2), *loads))
    assert about_load.startswith(said)


@pytest.mark.parametrize("load", ["120 kg", "10 kg"])
def test_a_load_within_reason_is_not_spoken_of(load: str) -> None:
    assert advice(for_time(), workout(Rounds(rounds=1), load)) == []


def test_the_load_of_an_attempt_is_said_and_need_not_be_written() -> None:
    assert advice(for_time(), workout(Attempts(attempts=3))) == []


def test_a_load_that_the_discs_cannot_make_is_told_with_its_neighbours() -> None:
    """A bar of 20 kg and pairs of 10 and 5: 41 kg lies between 40 and 50."""
    bar, discs = parse("20 kg"), (parse("10 kg"), parse("5 kg"))
    rack = Rack(bar=bar, discs=tuple(Disc(mass=one, pairs=1) for one in discs))
    squats = replace(movement("front-squat", 3), loads=("41 kg", "40 kg"))
    part = replace(for_time().parts[0], movements=(squats,))
    plan = for_time(parts=(part,))
    cards = {"front-squat": replace(whole_card("front-squat"), equipment=("barbell",))}
    assert list(unmade(plan, cards, rack)) == [
        Aid(
            what="Front squat 41 kg: the discs cannot make that load",
            right="the nearest: 40.00 kg or 50.00 kg",
        )
    ]


def test_metres_that_nobody_rows_in_an_interval() -> None:
    """A calorie of these cards takes 0.9 s at best: 500 m take 1:08.8."""
    rowed = every(movement("row", 500, unit="metres"), work_ms=68_000)
    said = "interval 1 of part A asks for 500 metres of row in 1:08, which nobody does"
    assert advice(plan_of(rowed))[0] == said
    assert advice(plan_of(replace(rowed, work_ms=69_000))) == []
