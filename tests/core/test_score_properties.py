"""What must hold for every lane and every format, whatever is pressed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core import looking
from judgekit.core.entry import (
    Correct,
    GoOn,
    MoveOn,
    Reading,
    Rep,
    Rule,
    Stop,
    Time,
    Withdraw,
)
from judgekit.core.plan import Member, PlanPart, PlanTeam, PlanTieBreak
from judgekit.core.press import AnswerHorn, Called, TakeBackOne
from judgekit.core.quantity import parse_duration
from judgekit.core.ruling import Percent, TimeBy
from judgekit.core.score import score
from judgekit.core.tryentry import Bar
from tests.building import every, over, plan_of, played, rising, rounds, tries, window
from tests.support import Played, for_time, movement, simple

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.core.press import Act
    from judgekit.core.score import Score

SQUATS = movement("front-squat", 2)
ROWED = movement("row", 4, unit="calories")
TIES = tuple(
    PlanTieBreak(kind=kind, part=1, number=2)
    for kind in (
        *("after-part", "last-full-round", "at-rep", "last-rep", "fewer-no-reps"),
        *("lighter-body", "earlier-attempt", "interval-seconds"),
    )
)
HOLD = PlanPart(
    id="A", kind="hold", rounds=1, movements=(movement("plank", 0, unit="seconds"),)
)
LEFT = window(0, movement("toes-to-bar", 0), id="B", until_ms=60_000)
PLANS: tuple[Plan, ...] = (
    for_time(),
    for_time(capped="second-per-rep", cap_ms=60_000),
    plan_of(rounds(3, SQUATS, rest_ms=10_000, take="worst"), score="time"),
    plan_of(every(3, SQUATS), score="time"),
    plan_of(every(3, SQUATS, ROWED, in_turn=True)),
    plan_of(every(3, SQUATS, take="kept")),
    plan_of(every(3, SQUATS, take="worst"), score="reps"),
    plan_of(every(9, rising(1, 1), until_failed=True)),
    plan_of(window(60, SQUATS, ROWED)),
    plan_of(window(60, rising(1, 1))),
    plan_of(rounds(1, SQUATS, scored=False), LEFT),
    plan_of(tries(3), score="load"),
    plan_of(tries(0, 60), score="load", last_lift="started"),
    plan_of(rounds(2, replace(SQUATS, loads=("50 kg", "120 lb"))), score="load"),
    plan_of(HOLD, score="reading"),
    plan_of(
        rounds(1, SQUATS),
        replace(tries(2), id="B"),
        replace(HOLD, id="C"),
        score="placing",
    ),
    plan_of(
        window(60, SQUATS),
        team=PlanTeam(members=(Member(bib="7", name="A"),), how="relay", least=3),
    ),
)
ACTS: tuple[Act, ...] = (
    *(Rep(), Rep(), Rep(), Rep(n=2), Called(fault="lock"), Bar(load="60 kg")),
    *(Bar(load="135 lb"), Reading(shows=2), Reading(shows=4), TakeBackOne()),
    *(Correct(by=1, said="one"), Correct(by=-1, said="one"), MoveOn(why="lost")),
    *(Stop(sign="pain"), GoOn(by_mistake=True), AnswerHorn(counts=True)),
    *(Withdraw(), Time()),
)
PRESSES = st.lists(
    st.tuples(st.sampled_from((0.2, 1.7, 4.0, 13.0, 31.0)), st.sampled_from(ACTS)),
    max_size=25,
)


def steps_add_up(result: Score, plan: Plan) -> bool:
    """Whether the lines before the last make the last."""
    *lines, last = result.steps
    if result.unit == "ms":
        times = [s for s in lines if not s.value.endswith(("rep", "reps"))]
        total = sum(
            int(s.value.strip("+ s")) * 1000
            if s.value.endswith(" s")
            else parse_duration(s.value.lstrip("+-"))
            * (-1 if s.value.startswith("-") else 1)
            for s in times
        )
        return total // plan.precision_ms * plan.precision_ms == result.value
    if result.unit == "reps" and not any("(counted" in s.label for s in lines):
        total = sum(int(s.value.split()[0]) for s in lines if "of" not in s.value)
        return not lines or total == int(last.value.split()[0])
    return True


@given(st.sampled_from(PLANS), PRESSES)
def test_every_prefix_has_a_score_and_none_is_final_before_the_end(
    plan: Plan, presses: list[tuple[float, Act]]
) -> None:
    lane = Played(replace(plan, tiebreaks=TIES))
    assert score(lane.lane).provisional == ("waiting",)
    lane.go()
    now = 0.0
    for wait, act in presses:
        now += wait
        lane.press(now, act)
        result = score(lane.lane)
        if not looking.is_over(lane.lane):
            assert (result.provisional, result.rank_key) == (("in progress",), None)
        assert result.provisional
        assert result.shown
        assert steps_add_up(result, plan), result.steps


@given(st.lists(st.integers(1, 59), max_size=20, unique=True), st.integers(1, 59))
def test_a_rep_more_never_makes_a_score_in_reps_worse(
    reps: list[int], more: int
) -> None:
    for plan in PLANS:
        if plan.score != "reps" or plan.parts[0].in_turn:
            continue
        fewer = over(played(plan, *sorted(reps)), 600)
        better = over(played(plan, *sorted({*reps, more})), 600)
        assert fewer.rank_key is not None
        assert better.rank_key is not None
        assert better.rank_key <= fewer.rank_key


@given(st.integers(0, 100_000), st.integers(0, 100), st.floats(1, 59))
def test_a_penalty_never_helps(by_ms: int, percent: int, done: float) -> None:
    late = Rule(effect=TimeBy(by_ms=by_ms), why="left the lane")
    short = Rule(effect=Percent(percent=percent), why="short range")
    for plan in (simple(1), PLANS[8], PLANS[11]):
        lane = played(plan, done)
        lane.press(90, Time())
        before = score(lane.lane).rank_key
        for moment, rule in ((100, late), (101, short)):
            lane.press(moment, rule)
            after = score(lane.lane).rank_key
            assert before is not None
            assert after is not None
            assert before <= after
            before = after


def _capped(capped: str, done: int, last: int) -> Score:
    """So many of five reps, the last one at that second of a minute."""
    plan = simple(5, cap_ms=60_000, capped=capped)
    times = [1.5 * n for n in range(1, done)] + ([float(last)] if done else [])
    return over(played(plan, *times), 60)


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(8, 60)), min_size=2))
def test_both_cap_conventions_order_alike_without_penalties(
    lanes: list[tuple[int, int]],
) -> None:
    orders = []
    for capped in ("below", "second-per-rep"):
        keys = [_capped(capped, *lane).rank_key for lane in lanes]
        assert None not in keys
        orders.append([[a < b for b in keys] for a in keys])  # type: ignore[operator]
    assert orders[0] == orders[1]
