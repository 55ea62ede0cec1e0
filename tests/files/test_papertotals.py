"""Totals from paper: short lines, read whole, and every bad one named."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.decide import decide
from judgekit.core.entry import Accept, Go, Note
from judgekit.core.errors import InputError
from judgekit.core.lane import empty
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import OPEN, Plan, PlanMovement, PlanPart, SetKey
from judgekit.core.press import Act, Press, WriteNoReps, WriteSet
from judgekit.core.score import score
from judgekit.desk.transcribing import read_tally
from judgekit.files import tally
from judgekit.review.attempts import lane_rows
from tests.files.paper_of import paper_of
from tests.files.test_format_examples import COUNTS, event, lane_of
from tests.support import for_time, movement, window

if TYPE_CHECKING:
    from judgekit.core.state import Lane

PLAN = for_time()
GO = Go(boot="", boot_ms=0, zero_ms=0)


def read(text: str, plan: Plan = PLAN) -> list[tuple[int, Act]]:
    found = tally.parse(text, "p", plan)
    assert found.on_paper
    return [(line.at, line.act) for line in found.lines]


def wrong(text: str, plan: Plan = PLAN) -> list[str]:
    with pytest.raises(InputError) as caught:
        tally.parse(text, "p", plan)
    return [f"{one.line}: {one.what}" for one in caught.value.problems]


def sets(number: int, *counts: tuple[int, int, int]) -> list[tuple[int, Act]]:
    return [
        (0, WriteSet(set=SetKey(number, round_, movement_), n=n))
        for round_, movement_, n in counts
    ]


def test_a_time_in_the_note_of_a_tally_makes_no_paper_of_it() -> None:
    found = tally.parse("0:05 note seen; 0:05", "p", PLAN)
    assert not found.on_paper
    assert [line.act for line in found.lines] == [Note(text="seen; 0:05")]


def test_a_round_s_numbers_are_its_sets_in_order() -> None:
    assert read("part A\nround 1: 3, 2\nround 2: 1") == [
        (0, GO),
        *sets(1, (1, 1, 3), (1, 2, 2), (2, 1, 1)),
    ]


def test_all_fills_sets_and_rounds_go_together() -> None:
    whole = read("Part a: rounds 1-2: all\npart B round 1: full, -")
    assert whole == [
        (0, GO),
        *sets(1, (1, 1, 3), (1, 2, 2), (2, 1, 3), (2, 2, 2)),
        *sets(3, (1, 1, 4), (1, 2, 0)),
    ]


def test_what_stands_between_semicolons_is_a_line_of_its_own() -> None:
    assert read("part A; round 2: 3, 2; front-squat depth 3; 7:41") == [
        (0, GO),
        *sets(1, (2, 1, 3), (2, 2, 2)),
        (0, WriteNoReps(set=SetKey(1, 2, 1), n=3, fault="depth")),
        (461_000, PaperTime()),
    ]


def test_a_time_may_begin_a_line_of_several() -> None:
    assert read("7:41; part B row depth: 1; front-squat lock x2")[1:] == [
        (0, WriteNoReps(set=SetKey(3, 1, 1), n=1, fault="depth")),
        (0, WriteNoReps(set=SetKey(3, 1, 2), n=2, fault="lock")),
        (461_000, PaperTime()),
    ]


def test_no_reps_on_a_line_of_their_own_are_of_any_round() -> None:
    said = read("part A\nfront squat DEPTH 3, toes-to-bar lock 1, front-squat other 2")
    first = SetKey(1, 1, 1)
    assert said[1:] == [
        (0, WriteNoReps(set=first, n=3, fault="depth", any_round=True)),
        (
            0,
            WriteNoReps(set=SetKey(1, 1, 2), n=1, fault="lock", any_round=True),
        ),
        (0, WriteNoReps(set=first, n=2, fault="", any_round=True)),
    ]


def test_a_part_with_one_round_leaves_no_round_open() -> None:
    (_, (_, made)) = read("part B; row depth 1")
    assert made == WriteNoReps(set=SetKey(3, 1, 1), n=1, fault="depth")


def test_times_stand_where_the_clock_had_them_and_signatures_last() -> None:
    said = read(
        "signed athlete, judge\n7:41\nround 2 at 1:30.5\npart A at 1:31\nrep 9 at 0:40",
        replace(PLAN, parts=PLAN.parts[:1]),
    )
    assert said == [
        (0, GO),
        (40_000, PaperTime(rep=9)),
        (90_500, PaperTime(part=1, round=2)),
        (91_000, PaperTime(part=1)),
        (461_000, PaperTime()),
        (461_000, Accept(who="athlete", signed=True)),
        (461_000, Accept(who="judge", signed=True)),
    ]


def test_lines_with_a_time_keep_their_own_form_among_them() -> None:
    said = read("part A\nround 1: 3\n4:00  note sore hand\n7:41")
    assert said[-2:] == [(240_000, Note(text="sore hand")), (461_000, PaperTime())]


def test_a_late_start_says_its_own_go() -> None:
    late = replace(GO, offset_ms=30_000)
    assert read("0:00 go\n0:30 go +0:30\npart A round 1: 3")[:1] == [(0, GO)]
    assert (30_000, late) in read("0:00 go\n0:30 go +0:30\npart A round 1: 3")


def test_rounds_and_reps_are_the_sets_they_tell() -> None:
    assert read("from paper\n1+6", window()) == [
        (0, GO),
        *sets(1, (1, 1, 5), (1, 2, 8), (2, 1, 5), (2, 2, 1)),
    ]


def attempts() -> Plan:
    part = PlanPart(id="A", kind="attempts", rounds=3, movements=(lift(),))
    return for_time(score="load", parts=(part,))


def lift() -> PlanMovement:
    return movement("front-squat", 1)


def test_an_attempt_has_its_load_and_why_it_was_none() -> None:
    lines = "attempt 1: 80 kg\nattempt 2: 85 kg, no depth\nattempt 3: 85 kg no"
    said = read(lines, attempts())
    first, second, third = (SetKey(1, n, 1) for n in (1, 2, 3))
    assert said[1:] == [
        (0, WriteSet(set=first, n=1, load="80 kg")),
        (0, WriteSet(set=second, n=0, load="85 kg")),
        (0, WriteNoReps(set=second, n=1, fault="depth")),
        (0, WriteSet(set=third, n=0, load="85 kg")),
        (0, WriteNoReps(set=third, n=1, fault="")),
    ]


def test_seconds_held_are_written_as_seconds_or_as_a_clock_shows_them() -> None:
    part = PlanPart(
        id="A",
        kind="hold",
        rounds=2,
        movements=(movement("row", 90, unit="seconds"),),
    )
    plan = for_time(score="reading", parts=(part,))
    assert read("hold 1: 1:05\nhold 2: 40", plan)[1:] == sets(1, (1, 1, 65), (2, 1, 40))


BOTH = (
    '"depth" is a call of Front squat and of Toes to bar: write the movement before '
    "it, as in: front squat depth 3"
)


def test_each_bad_line_is_named_with_what_is_wrong() -> None:
    found = wrong(
        "round 1: 3\n"
        "part C\n"
        "part A\n"
        "round 3: 1\n"
        "round 1: 3, 2, 1\n"
        "round 1: many\n"
        "depth 3\n"
        "depht 3\n"
        "stood about\n"
        "signed coach\n"
        "round 1-2 at 3:00\n"
        "round 2\n"
    )
    assert found == [
        "1: say which part first; the parts are A, B",
        '2: there is no part "C"; the parts are A, B',
        "4: part A has 2 rounds, not 3",
        "5: 3 numbers, and the round has front squat, toes to bar",
        '6: "many" is no number; write 0, or "all"',
        f"7: {BOTH}",
        '8: "depht" is no call here; the calls are depth, lock',
        '9: "stood about" is no line of totals',
        '10: "coach" signs no scorecard; athlete or judge does',
        "11: a time is that of one round",
        "12: say what was good in it, as in: round 2: 10, 14",
    ]


def test_what_is_too_long_for_a_line_is_refused_at_once() -> None:
    (problem,) = wrong(f"part A round 1: {',' * 900_000}")
    assert problem.startswith('1: "part A round 1: ,,,')
    assert problem.endswith("is longer than any line of totals")


def test_a_call_of_several_parts_asks_for_one() -> None:
    assert wrong("from paper\nfront-squat depth 2") == [
        '2: "front-squat depth" is a call of several parts: say which'
    ]


def test_as_many_as_can_be_done_has_no_all() -> None:
    part = PlanPart(id="A", kind="window", length_ms=60_000, movements=(lift_open(),))
    plan = for_time(score="reps", parts=(part,))
    assert wrong("round 1: all", plan) == [
        "1: Front squat has no number of its own: say how many"
    ]


def lift_open() -> PlanMovement:
    return movement("front-squat", 0)


def test_totals_need_a_workout() -> None:
    with pytest.raises(InputError, match="totals are of a workout"):
        tally.parse("round 1: 3", "p")


def test_a_tally_of_single_judgements_is_none_of_totals() -> None:
    assert not tally.parse("0:00 go\n0:03 rep", "t", PLAN).on_paper


def test_a_whole_form_is_as_long_as_it_need_be() -> None:
    assert read("from paper\n0:00 paper-set A.1.1 3\n9:00 paper-time")[-1] == (
        540_000,
        PaperTime(),
    )


# --- every format, as its tally was judged live --------------------------------------


@cache
def on_paper(workout: str) -> Lane:
    """The same lane as a judge with a pencil would have handed it in."""
    [row] = [row for row in event().heats if row.workout == workout]
    plan, text = event().plan_of(row, ()), paper_of(lane_of(workout))
    lines = tally.parse(text, "p", plan)
    return read_tally(event(), row, lines, text.encode(), shown="p").lane


@pytest.mark.parametrize("workout", COUNTS)
def test_paper_gives_the_score_that_judging_gave(workout: str) -> None:
    live, paper = score(lane_of(workout)), score(on_paper(workout))
    assert paper.status == live.status
    assert paper.value == live.value
    assert paper.detail == live.detail
    assert paper.tiebreak == live.tiebreak
    assert paper.rank_key == live.rank_key


@pytest.mark.parametrize("workout", COUNTS)
def test_no_row_from_paper_has_a_time_within_a_set(workout: str) -> None:
    lane = on_paper(workout)
    rows = lane_rows(lane)
    assert {row.timed for row in rows.attempts} <= {False}
    assert {(s.first, s.last, s.done) for s in rows.sets} == {(None, None, None)}
    assert lane.work.attempts == ()
    assert {(s.first_ms, s.last_ms) for s in lane.work.sets} == {(None, None)}


@pytest.mark.parametrize("workout", COUNTS)
def test_a_log_from_paper_reads_back_as_the_same_log(workout: str) -> None:
    [row] = [row for row in event().heats if row.workout == workout]
    lane = on_paper(workout)
    text = tally.write(lane.entries, lane.plan)
    lines = tally.parse(text, "t", lane.plan)
    again = read_tally(event(), row, lines, text.encode(), shown="t").lane
    assert again.work.sets == lane.work.sets
    assert score(again) == score(lane)


# --- what must hold of any ------------------------------------------------------------


WORDS = st.sampled_from(
    [
        *("part", "round", "rounds", "attempt", "rep", "at", "all", "no", "signed"),
        *("A", "B", "9", "1", "2", "1-2", "0", "12", "1,", "3,", "-", ":", ";", "1:"),
        *("2:", "depth", "lock", "front-squat", "row", "5+8", "80 kg", "x2", "other"),
        *("7:41", "3:12", "99:99", "0:00", "from paper", "athlete", "judge", "\n"),
        *("go", "time", "withdraw", "\u2013", "\u202e", "#", "paper-set", "A.1.1"),
    ]
)


@settings(max_examples=300)
@given(st.lists(WORDS, max_size=24))
def test_whatever_is_typed_is_read_or_told_line_by_line(words: list[str]) -> None:
    text = " ".join(words)
    for plan in (PLAN, window(), attempts()):
        lane = empty(plan)
        try:
            lines = tally.parse(text, "p", plan).lines
        except InputError:
            continue
        for line in lines:
            decide(lane, Press(at=line.at, act=line.act))


COUNTS_IN_SETS = st.tuples(st.integers(0, 3), st.integers(0, 2), st.integers(0, 3))
NO_REPS = st.dictionaries(st.sampled_from(["depth", "lock"]), st.integers(1, 9))


@given(COUNTS_IN_SETS, NO_REPS)
def test_totals_are_the_sum_of_what_is_written(
    counts: tuple[int, int, int], missed: dict[str, int]
) -> None:
    first, second, third = counts
    faults = ", ".join(f"front-squat {fault} {n}" for fault, n in missed.items())
    said = read(f"part A\nround 1: {first}, {second}\nround 2: {third}\n{faults}")
    good = [act.n for _, act in said if isinstance(act, WriteSet)]
    told = {a.fault: a.n for _, a in said if isinstance(a, WriteNoReps)}
    assert sum(good) == sum(counts)
    assert told == missed
    assert all(at == 0 for at, _ in said)
    assert OPEN not in good
