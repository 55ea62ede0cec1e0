from __future__ import annotations

from dataclasses import replace

from judgekit.core.entry import Claim, Cue, NoRep, Rep
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import SetKey
from judgekit.core.press import EndLook, ReportSet, TakeBackOne, WriteNoReps
from judgekit.core.watchentry import Look
from judgekit.review.attempts import (
    AttemptRow,
    CueRow,
    LaneFacts,
    LaneRows,
    SetFacts,
    SetRow,
    lane_rows,
)
from judgekit.review.faults import fault_rates, rate
from judgekit.review.frequencies import frequencies
from judgekit.review.lanepaces import lane_paces
from judgekit.review.pieces import lane_pieces
from tests.support import Played, for_time, movement, simple, window

SQUATS = SetFacts(
    key=SetKey(1, 1, 1),
    part="A",
    card="front-squat",
    movement="Front squat",
    unit="reps",
)


def test_a_row_says_which_rep_was_tried_and_which_try_at_the_set_it_was() -> None:
    played = Played(simple(4)).go()
    for second, body in ((5, Rep()), (8, NoRep(faults=("depth",))), (11, Rep(n=2))):
        played.press(second, body)
    played.press(14, Rep())
    facts = LaneFacts(plan=played.plan, who="ines", judge="kb")
    assert lane_rows(played.lane, "ines") == LaneRows(
        facts=facts,
        attempts=(
            AttemptRow(facts, SQUATS, "judged", 5000, 1, 1, True, 1, (), "27"),
            AttemptRow(facts, SQUATS, "judged", 8000, 2, 2, False, 1, ("depth",), "27"),
            AttemptRow(facts, SQUATS, "judged", 11_000, 3, 4, True, 2, (), "27"),
            AttemptRow(facts, SQUATS, "judged", 14_000, 4, 5, True, 1, (), "27"),
        ),
        sets=(
            SetRow(facts, SQUATS, "judged", 4, 4, 1, 0, 5000, 14_000, 14_000, "", ()),
        ),
    )


def test_what_was_taken_back_is_no_row_and_no_try() -> None:
    played = Played(simple(4)).go()
    played.press(5, NoRep(faults=("depth",)))
    played.press(6, TakeBackOne())
    played.press(9, Rep())
    (row,) = lane_rows(played.lane).attempts
    assert (row.rep, row.attempt, row.good) == (1, 1, True)


def test_a_set_opens_when_the_one_before_is_done() -> None:
    played = Played(for_time()).go()
    played.press(10, Rep(n=3))
    played.press(20, Rep(n=2))
    rows = lane_rows(played.lane).sets
    assert [(row.set.key, row.opened, row.done) for row in rows] == [
        (SetKey(1, 1, 1), 0, 10_000),
        (SetKey(1, 1, 2), 10_000, 20_000),
    ]


def test_a_look_gives_sampled_rows_with_those_it_only_counted() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(5, Look())
    played.press(8, NoRep(faults=("depth",)))
    played.press(20, EndLook(seen=6))
    played.press(25, NoRep(faults=("lock",)))
    played.press(30, ReportSet(n=20))
    rows = lane_rows(played.lane)
    assert [(r.watched, r.good, r.n, r.faults, r.rated) for r in rows.attempts] == [
        ("sampled", False, 1, ("depth",), True),
        ("sampled", True, 5, (), True),
        ("reported", False, 1, ("lock",), False),
    ]
    (done,) = rows.sets
    assert (done.watched, done.good, done.no_reps) == ("sampled", 20, 0)


def test_what_a_monitor_counts_is_not_rated() -> None:
    part = replace(simple().parts[0], movements=(movement("row", 20, unit="calories"),))
    played = Played(replace(for_time(), parts=(part,))).go()
    played.press(9, NoRep(faults=("depth",)))
    (row,) = lane_rows(played.lane).attempts
    assert not row.rated


def test_rows_add_up_to_the_fault_table() -> None:
    played = Played(simple(30)).go()
    for second in range(5, 65, 3):
        faults = ("depth",) if second % 4 == 0 else ()
        played.press(second, NoRep(faults=faults) if faults else Rep())
    rows = lane_rows(played.lane).attempts
    total = fault_rates([played.lane]).total
    assert sum(row.n for row in rows) == total.attempts
    assert sum(not row.good for row in rows) == total.no_reps


def test_a_set_is_of_the_judge_who_saw_the_last_of_it() -> None:
    played = Played(window())
    played.put(Claim(judge="kb"), None)
    played.go().each(Rep(), 3, 6, 9, 12, 15)
    played.put(Claim(judge="mo", covers=(played.lane.entries[-1].ref,)), 16_000)
    played.each(Rep(), 20, 23)
    rows = lane_rows(played.lane)
    assert [done.lane.judge for done in rows.sets] == ["kb", "mo"]


def test_a_judge_who_is_relieved_keeps_what_was_judged_before() -> None:
    played = Played(replace(simple(9), cues="on"))
    played.put(Claim(judge="kb"), None)
    played.go().press(5, NoRep(faults=("depth",)))
    played.press(6, Cue(fault="heels"))
    played.put(Claim(judge="mo", covers=(played.lane.entries[-1].ref,)), 8000)
    played.press(11, Rep())
    rows = lane_rows(played.lane)
    assert [row.lane.judge for row in rows.attempts] == ["kb", "mo"]
    assert [cue.lane.judge for cue in rows.cues] == ["kb"]
    assert [done.lane.judge for done in rows.sets] == ["mo"]
    assert rows.facts.judge == "mo"
    found = frequencies([rows], ("judge",)).rows
    assert {row.of: (row.rate, row.cues) for row in found} == {
        ("kb",): (rate(1, 1), 1),
        ("mo",): (rate(0, 1), 0),
    }


def test_a_cue_has_a_row_of_its_own() -> None:
    played = Played(replace(simple(9), cues="on")).go()
    played.press(5, Cue(fault="heels"))
    rows = lane_rows(played.lane)
    assert rows.cues == (CueRow(rows.facts, SQUATS, 5000, "heels", "27"),)
    assert rows.attempts == ()


def from_paper() -> Played:
    """Two rounds of 3 + 2: squats missed in whichever round, toes in the second."""
    played = Played(for_time()).go()
    squat, toes = SetKey(1, 1, 1), SetKey(1, 2, 2)
    played.press(0, WriteNoReps(set=squat, n=2, fault="depth", any_round=True))
    played.press(0, WriteNoReps(set=toes, n=1))
    played.press(461, PaperTime())
    return played


def test_paper_gives_attempts_without_times_in_the_rounds_that_it_tells() -> None:
    found = lane_rows(from_paper().lane)
    assert [
        (tuple(row.set.key), row.good, row.n, row.faults)
        for row in found.attempts
        if row.set.rated
    ] == [
        ((1, 0, 1), True, 6, ()),
        ((1, 1, 2), True, 2, ()),
        ((1, 2, 2), True, 2, ()),
        ((3, 1, 2), True, 2, ()),
        ((1, 0, 1), False, 1, ("depth",)),
        ((1, 0, 1), False, 1, ("depth",)),
        ((1, 2, 2), False, 1, ()),
    ]
    assert {(r.timed, r.at, r.rep, r.watched) for r in found.attempts} == {
        (False, 0, 0, "judged")
    }
    assert [row.no_reps for row in found.sets] == [0, 0, 0, 1, 0, 0]
    assert not any(row.timed for row in found.sets)


def test_what_a_monitor_counted_on_paper_is_no_attempt() -> None:
    cards = {row.set.card for row in lane_rows(from_paper().lane).attempts}
    assert cards == {"front-squat", "toes-to-bar"}


def test_pieces_are_not_told_from_paper() -> None:
    found = lane_pieces(from_paper().lane)
    assert {one.untold for one in found.sets} == {"paper"}
    assert lane_paces(found) == ()
    assert {(one.pieces, one.steps, one.way_ms) for one in found.sets} == {
        ((), (), None)
    }
