"""A score with time given back, by each way of scoring."""

from __future__ import annotations

from dataclasses import replace

from judgekit.core.entry import Rep, Time, Withdraw
from judgekit.core.plan import Plan, PlanPart, SetKey
from judgekit.core.score import Score, score
from judgekit.review.attempts import lane_rows
from judgekit.review.lost import losses
from judgekit.review.pieces import lane_pieces
from judgekit.review.regained import regained, why_not
from tests.building import every, plan_of, rounds, tries
from tests.building import window as window_of
from tests.review.simulated import Manner, good_by, open_workout, simulated
from tests.support import SQUAT, TOES, Played, for_time, movement, simple, window

SET = SetKey(1, 1, 1)
SQUATS = movement("front-squat", 10)


def with_back(played: Played, ms: int, key: SetKey = SET) -> Score:
    return regained(played.lane, score(played.lane), {key: ms})


def done(plan: Plan, *seconds: float, end: float = 0) -> Played:
    played = Played(plan).go()
    played.each(Rep(), *seconds)
    if end:
        played.press(end, Time())
    return played


def test_time_comes_off_a_time_before_it_is_cut() -> None:
    """12.9 s less 0.4 s are 12.5 s, and still shown as 12 s."""
    played = done(simple(2), 5, 12.9)
    assert score(played.lane).shown == "0:12"
    assert with_back(played, 400).shown == "0:12"
    found = with_back(played, 1000)
    assert (found.shown, found.value, found.rank_key) == ("0:11", 11_000, (0, 11_000))


def test_no_time_given_back_changes_nothing() -> None:
    played = done(simple(2), 5, 12)
    assert with_back(played, 0) == score(played.lane)


def test_an_own_rest_moves_on_and_the_score_is_less_by_all_of_it() -> None:
    """Part A ends at 30 s; its rest of 60 s begins as much sooner."""
    played = done(for_time(), 3, 5, 7, 13, 14, 20, 22, 24, 29, 30)
    played.press(96, Rep(n=4))
    played.each(Rep(), 101, 103)
    assert (score(played.lane).shown, with_back(played, 3000).shown) == ("0:43", "0:40")


def clocked(rest: str) -> Played:
    """Four squats, then nothing before 1:00, then two more."""
    parts = (
        rounds(1, movement("front-squat", 4)),
        PlanPart(id="", kind="rest-until", until_ms=60_000),
        rounds(1, movement("front-squat", 2)),
    )
    plan = plan_of(*parts, score="time", rest=rest)
    return done(plan, 5, 10, 15, 20, 65, 70)


def test_before_a_rest_by_the_clock_time_is_won_only_where_rests_come_off() -> None:
    # The rest is 40 s, or 43 s where the part before it had ended 3 s sooner.
    assert score(clocked("excluded").lane).shown == "0:30"
    assert with_back(clocked("excluded"), 3000).shown == "0:27"
    assert with_back(clocked("included"), 3000).shown == "1:10"
    # What was lost after it counts in full.
    late = SetKey(3, 1, 1)
    assert with_back(clocked("included"), 3000, late).shown == "1:07"


def capped(**changes: object) -> Played:
    """Ten squats under a cap of 40 s, eight done: 5 s each, no rest."""
    plan = plan_of(rounds(1, SQUATS), score="time", cap_ms=40_000, **changes)
    return done(plan, *range(4, 40, 5), end=40)


def test_time_before_a_cap_is_worth_reps() -> None:
    played = capped()
    assert score(played.lane).shown == "8 of 10"
    found = with_back(played, 6000)
    assert (found.status, found.shown, found.rank_key) == ("capped", "9 of 10", (1, -9))
    assert with_back(played, 4000).shown == "8 of 10"


def test_enough_time_before_a_cap_ends_the_work() -> None:
    """Two reps more take 10 s of the 13: done at 37 s."""
    found = with_back(capped(), 13_000)
    assert (found.status, found.shown, found.rank_key) == (
        "finished",
        "0:37",
        (0, 37_000),
    )


def test_a_second_for_each_rep_short_is_saved_with_the_rep() -> None:
    played = capped(capped="second-per-rep")
    assert score(played.lane).shown == "0:42"
    assert with_back(played, 6000).shown == "0:41"
    assert with_back(played, 13_000).shown == "0:37"


def test_in_a_window_time_becomes_reps_at_the_own_pace() -> None:
    """A rep takes 10 s, so 40 s are four more."""
    played = done(window(), *range(10, 310, 10), end=300)
    before = int(score(played.lane).value or 0)
    assert int(with_back(played, 40_000).value or 0) == before + 4
    assert with_back(played, 9000).value == before


def test_what_comes_next_is_counted_at_its_own_pace() -> None:
    """Squats take 5 s, toes-to-bar 10; two squats are left of the set, then those."""
    squats, toes = [5 * n for n in range(1, 6)], [25 + 10 * n for n in range(1, 9)]
    more = [105 + 5 * n for n in range(1, 4)]
    played = done(window(), *squats, *toes, *more, end=300)
    assert score(played.lane).value == 16
    assert [with_back(played, ms).value for ms in (9000, 10_000, 19_000, 31_000)] == [
        17,
        18,
        18,
        20,
    ]


def test_a_rest_on_the_way_to_the_end_takes_its_time() -> None:
    """Capped with the squats done, in the rest of 10 s before two more."""
    parts = (
        rounds(1, movement("front-squat", 4)),
        PlanPart(id="", kind="rest", length_ms=10_000),
        rounds(1, movement("front-squat", 2)),
    )
    plan = plan_of(*parts, score="time", cap_ms=25_000, rest="excluded")
    played = done(plan, 5, 10, 15, 20, end=25)
    assert score(played.lane).shown == "4 of 6"
    assert with_back(played, 9000).shown == "4 of 6"
    assert with_back(played, 16_000).shown == "5 of 6"


def test_an_interval_done_in_time_gains_nothing() -> None:
    plan = plan_of(every(2, movement("front-squat", 4)))
    played = done(plan, 5, 10, 15, 20, 65, 80, end=120)
    assert score(played.lane).value == 6
    assert with_back(played, 30_000).value == 6
    # Two were done in the second minute: 30 s a rep, and two were missing.
    second = SetKey(1, 2, 1)
    assert with_back(played, 30_000, second).value == 7
    assert with_back(played, 200_000, second).value == 8


def test_work_before_a_window_to_the_clock_leaves_more_of_it() -> None:
    """Six reps in the 60 s that were left: 10 s each."""
    left = replace(window_of(0, SQUATS), length_ms=0, until_ms=90_000)
    buy_in = replace(rounds(1, movement("toes-to-bar", 2)), scored=False)
    plan = plan_of(buy_in, left, cards=(SQUAT, TOES))
    played = done(plan, 20, 30, 40, 50, 60, 70, 80, 88, end=90)
    assert score(played.lane).value == 6
    assert with_back(played, 20_000).value == 8
    # A window of its own length begins and ends sooner, and holds as much.
    own = plan_of(buy_in, window_of(60, SQUATS), cards=(SQUAT, TOES))
    played = done(own, 20, 30, 40, 50, 60, 70, 80, 88, end=90)
    assert with_back(played, 20_000).value == score(played.lane).value


def test_what_cannot_be_worked_out_says_why_and_stays() -> None:
    loads = Played(plan_of(tries(3), score="load")).go()
    worst = done(plan_of(replace(rounds(2, SQUATS), take="worst"), score="time"), 5)
    left = done(simple(4), 5, 10)
    left.press(12, Withdraw(why="calf"))
    for played, why in (
        (loads, "not scored by time or reps"),
        (worst, "one round makes the score"),
        (left, "withdrawn"),
    ):
        now = score(played.lane)
        assert why_not(played.lane, now) == why
        assert regained(played.lane, now, {SET: 5000}) == now
    assert why_not(capped().lane, score(capped().lane)) == ""


def test_reps_gained_in_a_window_are_about_those_of_an_athlete_without_no_reps() -> (
    None
):
    """Of 30 simulated heats: how many lie between the ends, give or take one rep."""
    manner = Manner(missed=0.05)
    inside = 0
    for seed in range(30):
        lane, _ = simulated(open_workout(), manner, seed)
        now = score(lane)
        rows = lane_rows(lane)
        lost = losses(lane_pieces(lane, rows=rows), rows)
        ends = []
        for end in ("low", "high"):
            back: dict[SetKey, int] = {}
            for one in lost:
                key = one.set.key
                back[key] = back.get(key, 0) + (getattr(one.ms, end) if one.ms else 0)
            ends.append(int(regained(lane, now, back).value or 0))
        true = good_by(open_workout(), manner, seed, 480_000)
        inside += ends[0] - 1 <= true <= ends[1] + 1
    assert inside >= 25
