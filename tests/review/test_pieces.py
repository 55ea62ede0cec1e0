"""How sets were done, by the times of their presses."""

from __future__ import annotations

from dataclasses import replace
from itertools import accumulate

from judgekit.core.entry import (
    BackTo,
    Correct,
    Freeze,
    Go,
    GoOn,
    MoveOn,
    NoRep,
    Rep,
    Stop,
    Unfreeze,
)
from judgekit.core.plan import Member, Plan, PlanTeam, SetKey
from judgekit.core.press import EndLook, ReportSet
from judgekit.core.watchentry import Look
from judgekit.review.held import Held, HeldFor, held_within
from judgekit.review.lanepaces import lane_paces
from judgekit.review.pieces import LanePieces, SetPieces, lane_pieces
from tests.building import plan_of, rounds, tries
from tests.support import ZERO_WALL, Played, for_time, movement, simple

MISS = NoRep(faults=("depth",))


def done(
    *gaps: float, plan: Plan | None = None, misses: tuple[int, ...] = ()
) -> SetPieces:
    """One set with a press after each gap; the presses in `misses` are no-reps."""
    played = Played(plan or simple(len(gaps) - len(misses))).go()
    for number, at in enumerate(accumulate(gaps), 1):
        played.press(at, MISS if number in misses else Rep())
    (one,) = lane_pieces(played.lane).sets
    return one


def test_a_long_gap_ends_a_piece() -> None:
    one = done(4, 2, 2, 2.2, 2, 7, 2, 2.1)
    assert (one.pieces, one.breaks, one.pace_ms) == ((5, 3), 1, 2000)
    assert one.untold == ""


def test_what_a_break_took_is_told_without_the_rep_after_it() -> None:
    """The break of 9 s has a rep of 2 s at its end."""
    assert done(4, 2, 2, 2, 2, 9, 2, 2).rested_ms == 7000


def test_the_pace_is_told_by_reps_that_were_pressed_alone() -> None:
    played = Played(simple(12)).go()
    for at, n in ((4, 1), (6, 1), (8, 1), (14, 3), (20, 3), (26, 3)):
        played.press(at, Rep(n=n))
    (one,) = lane_pieces(played.lane).sets
    assert (one.pace_ms, one.breaks, one.pieces) == (2000, 0, (12,))


def test_a_press_after_a_stop_tells_nothing_of_the_one_before_it() -> None:
    """1.3 s lie between them: without the stop the first would have been late."""
    played = Played(simple(9)).go()
    for at in (4, 6, 8, 10, 12):
        played.press(at, Rep())
    played.press(12.1, Stop())
    played.press(12.2, GoOn(by_mistake=True))
    played.press(13.3, Rep())
    (one,) = lane_pieces(played.lane).sets
    assert [step.at for step in one.steps[-2:]] == [12_000, 13_300]
    assert (one.steps[-1].gap, one.steps[-1].held) == (None, True)


def test_a_no_rep_is_no_break_and_no_rep_of_a_piece() -> None:
    one = done(4, 2, 2, 2, 2, 2, 2, misses=(3,))
    assert (one.pieces, one.no_reps, one.breaks) == ((6,), 1, 0)


def test_a_try_between_two_breaks_that_failed_is_no_piece() -> None:
    one = done(4, 2, 2, 2, 2, 9, 9, 2, misses=(6,))
    assert (one.pieces, one.breaks) == ((5, 2), 2)


def test_a_slow_athlete_who_keeps_on_does_not_break() -> None:
    assert done(9, 8, 8, 9, 8, 7, 8).pieces == (7,)


def test_a_judge_who_catches_up_makes_no_break() -> None:
    """Floor 1.2 s: two presses within 0.4 s after 4 s were two reps of about 2 s."""
    assert done(4, 2, 2, 2, 4, 0.4, 2, 2, 2).pieces == (9,)


def test_what_the_coach_advised_stands_beside_what_was_done() -> None:
    part = rounds(1, replace(movement("front-squat", 8), pieces=((5, 3),)))
    kept = done(4, 2, 2, 2.2, 2, 7, 2, 2.1, plan=plan_of(part))
    assert (kept.pieces, kept.planned, kept.as_planned) == ((5, 3), (5, 3), True)
    other = done(4, 2, 2, 2.2, 2, 2, 2, 2.1, plan=plan_of(part))
    assert (other.pieces, other.as_planned) == ((8,), False)


def test_reps_pressed_together_have_no_times_within() -> None:
    played = Played(simple(9)).go()
    for at, n in ((4, 1), (6, 1), (8, 1), (10, 1), (12, 1), (18, 3)):
        played.press(at, Rep(n=n))
    (one,) = lane_pieces(played.lane).sets
    # Three reps of 2 s: no room for a break among them.
    assert (one.untold, one.pieces) == ("", (8,))
    played.press(30, Rep(n=1))
    assert lane_pieces(played.lane).sets[0].pieces == (8, 1)


def test_where_a_break_may_lie_among_reps_pressed_together_nothing_is_told() -> None:
    played = Played(simple(9)).go()
    for at, n in ((4, 1), (6, 1), (8, 1), (10, 1), (12, 1), (30, 4)):
        played.press(at, Rep(n=n))
    (one,) = lane_pieces(played.lane).sets
    assert (one.untold, one.pieces) == ("several at once", ())
    assert one.pace_ms == 2000


def test_a_total_at_one_press_tells_no_pieces() -> None:
    played = Played(simple(20)).go()
    played.press(60, Rep(n=20))
    (one,) = lane_pieces(played.lane).sets
    assert (one.untold, one.pieces, one.pace_ms) == ("several at once", (), None)


def test_what_was_reported_has_no_times() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(5, Look())
    played.press(8, Rep())
    played.press(20, EndLook(seen=6))
    played.press(30, ReportSet(n=20))
    (one,) = lane_pieces(played.lane).sets
    assert (one.untold, one.pieces, one.steps, one.way_ms) == ("reported", (), (), None)


def test_a_monitor_a_try_at_a_load_and_a_team_have_no_pieces() -> None:
    rows = rounds(1, movement("row", 4, unit="calories"))
    played = Played(plan_of(rows)).go()
    played.press(20, Rep(n=4))
    assert lane_pieces(played.lane).sets[0].untold == "monitor"
    played = Played(plan_of(tries(3), score="load")).go()
    played.press(20, Rep())
    assert lane_pieces(played.lane).sets[0].untold == "attempts"
    team = PlanTeam(members=(Member(bib="1", name="A"), Member(bib="2", name="B")))
    played = Played(simple(4, team=team)).go()
    played.each(Rep(), 4, 6, 8, 10)
    (one,) = lane_pieces(played.lane).sets
    assert (one.untold, one.pieces, one.steps) == ("team", (), ())


def test_a_count_that_was_moved_fits_no_pieces() -> None:
    played = Played(simple(20)).go()
    played.each(Rep(), 4, 6, 8, 10, 12)
    played.press(13, Correct(by=1, said="six"))
    (one,) = lane_pieces(played.lane).sets
    assert (one.good, one.untold, one.pieces) == (6, "count moved", ())


def test_a_freeze_ends_a_piece_and_is_nobodys_break() -> None:
    played = Played(simple(9)).go()
    played.each(Rep(), 4, 6, 8, 10, 12)
    played.press(13, Freeze(why="collar"))
    played.press(60, Unfreeze(by_mistake=False))
    played.each(Rep(), 62, 64, 66, 68)
    (one,) = lane_pieces(played.lane).sets
    assert (one.pieces, one.breaks, one.rested_ms) == ((5, 4), 0, 0)
    assert (one.took_ms, one.held) == (68_000, (HeldFor("freeze", 47_000),))


def test_a_set_is_held_as_long_as_a_hold_lies_in_it() -> None:
    """A stop over the end of the first set, named later, and a freeze within it."""
    played = Played(for_time()).go()
    played.each(Rep(), 4, 6)
    played.press(7, Stop())
    played.press(9, Stop(sign="dizzy"))
    played.press(10, Freeze(why="collar"))
    played.press(15, Unfreeze(by_mistake=True))
    played.press(20, GoOn(by_mistake=False, by="coach"))
    played.each(Rep(), 22, 24, 26)
    first, second = lane_pieces(played.lane).sets
    assert first.held == (HeldFor("stop", 13_000), HeldFor("freeze", 5000))
    assert (second.took_ms, second.held) == (4000, ())


def test_what_is_held_is_parted_between_sets_and_never_beyond_the_last_press() -> None:
    holds = (Held("stop", 10, 30), Held("freeze", 50, None))
    assert held_within(holds, 0, 20) == (HeldFor("stop", 10),)
    assert held_within(holds, 20, 60) == (HeldFor("stop", 10), HeldFor("freeze", 10))
    assert held_within(holds, 30, 50) == ()


def test_a_late_starter_is_frozen_on_an_own_clock_too() -> None:
    """Started 20 s late: the freeze at 33 s of the heat is at 13 s of the lane."""
    played = Played(simple(9))
    played.press(20, Go(boot="boot", boot_ms=0, zero_ms=ZERO_WALL, offset_ms=20_000))
    played.each(Rep(), 24, 26, 28, 30, 32)
    played.press(33, Freeze(why="collar"))
    played.press(45, Unfreeze(by_mistake=False))
    played.each(Rep(), 47, 49, 51, 53)
    (one,) = lane_pieces(played.lane).sets
    assert (one.pieces, one.breaks) == ((5, 4), 0)


def test_a_freeze_on_the_way_to_a_set_leaves_its_way_untold() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 4, 6, 8)
    played.press(10, Freeze(why="collar"))
    played.press(60, Unfreeze(by_mistake=False))
    played.each(Rep(), 65, 66)
    first, second = lane_pieces(played.lane).sets
    assert (first.way_ms, second.way_ms) == (2000, None)


def test_a_set_gone_back_to_goes_on_as_another_piece() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 4, 6)
    played.press(7, MoveOn(why="one short"))
    played.press(13, Rep())
    played.put(BackTo(why="one was missed"), 14_000, SetKey(1, 1, 1))
    played.press(16, Rep())
    assert lane_pieces(played.lane).sets[0].pieces == (2, 1)


def played_through() -> LanePieces:
    """Two rounds of 3 + 2, a rest of 60 s, then a row and two squats."""
    played = Played(for_time()).go()
    played.each(Rep(), 3, 5, 7, 13, 14, 20, 22, 24, 30, 31)
    played.press(96, Rep(n=4))
    played.each(Rep(), 101, 103)
    return lane_pieces(played.lane)


def test_the_way_between_sets_is_told_without_the_rep_at_its_end() -> None:
    """From the last squat at 7 s to the first of toes-to-bar at 13 s, a rep of 1 s."""
    found = played_through()
    assert [(one.begins, one.way_ms) for one in found.sets] == [
        ("start", 1000),
        ("after a set", 5000),
        ("after a set", 4000),
        ("after a set", 5000),
        ("after a rest", None),
        ("after a set", 3000),
    ]
    assert found.between_ms == 17_000


def test_rest_over_plan_is_what_came_after_the_rest_was_over() -> None:
    plan = for_time()
    squats = replace(plan.parts[2], movements=(movement("front-squat", 3),))
    played = Played(replace(plan, parts=(*plan.parts[:2], squats))).go()
    played.each(Rep(), 3, 5, 7, 13, 14, 20, 22, 24, 30, 31)
    # The rest of 60 s ends at 91 s.
    played.each(Rep(), 100, 102, 104)
    found = lane_pieces(played.lane)
    assert (found.sets[-1].begins, found.over_rest_ms) == ("after a rest", 7000)


def test_a_rep_made_in_the_rest_is_no_part_of_the_set_after_it() -> None:
    plan = for_time()
    squats = replace(plan.parts[2], movements=(movement("front-squat", 3),))
    played = Played(replace(plan, parts=(*plan.parts[:2], squats))).go()
    played.each(Rep(), 3, 5, 7, 13, 14, 20, 22, 24, 30, 31)
    played.each(Rep(), 85, 93, 95, 97)
    last = lane_pieces(played.lane).sets[-1]
    assert (last.untold, last.pieces, last.way_ms) == ("", (3,), 0)


def test_a_pace_says_how_much_slower_the_last_third_was() -> None:
    gaps = [2.0] * 5 + [2.4] * 5 + [3.0] * 5
    played = Played(simple(16)).go()
    played.each(Rep(), *accumulate([4.0, *gaps]))
    (pace,) = lane_paces(lane_pieces(played.lane))
    slowing = pace.slowing
    assert slowing is not None
    assert (slowing.early_ms, slowing.late_ms, slowing.each) == (2000, 3000, 5)
    assert (slowing.ratio, slowing.low, slowing.high) == (1.5, 1.5, 1.5)


def test_too_few_gaps_tell_no_slowing() -> None:
    played = Played(simple(12)).go()
    played.each(Rep(), *accumulate([4.0] + [2.0] * 11))
    (pace,) = lane_paces(lane_pieces(played.lane))
    assert pace.slowing is None


def test_single_reps_look_like_one_slow_piece_and_are_said_to_be_slow() -> None:
    played = Played(simple(8)).go()
    played.each(Rep(), *accumulate([10.0] * 8))
    found = lane_pieces(played.lane)
    assert found.sets[0].pieces == (8,)
    assert lane_paces(found)[0].slowly
