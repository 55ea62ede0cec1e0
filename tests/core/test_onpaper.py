"""Totals from paper: what they make of a lane, and what they refuse or still lack."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import Rep, Rule, Stop, Time, Withdraw
from judgekit.core.lane import fold
from judgekit.core.paperentry import PaperNoReps, PaperSet, PaperTime
from judgekit.core.papertimes import doubted
from judgekit.core.plan import Plan, PlanPart, PlanTieBreak, SetKey
from judgekit.core.press import Act, TakeBackOne, WriteNoReps, WriteSet
from judgekit.core.ruling import RepsInSet, StartBy, StatusIs
from judgekit.core.score import score
from judgekit.core.state import NoRepsWritten
from judgekit.core.writing import lacking
from tests.support import Played, for_time, movement, simple, window

FIRST = SetKey(1, 1, 1)


def paper(*said: tuple[float, Act], plan: Plan | None = None) -> Played:
    played = Played(plan or for_time()).go()
    for seconds, act in said:
        played.press(seconds, act)
    return played


def test_a_time_alone_says_that_all_was_done_and_rests_come_off_it() -> None:
    played = paper((461, PaperTime()))
    assert [good for *_, good, _ in played.counts()] == [3, 2, 3, 2, 4, 2]
    made = score(played.lane)
    assert (made.status, made.shown) == ("finished", "6:41")
    assert [(step.label, step.value) for step in made.steps] == [
        ("time on paper", "7:41"),
        ("planned rest", "-1:00.000"),
        ("score", "6:41"),
    ]
    assert played.lane.work.attempts == ()


def test_a_set_from_paper_has_no_time() -> None:
    played = paper((0, WriteSet(set=FIRST, n=3)))
    (entry,) = [e for e in played.entries if isinstance(e.body, PaperSet)]
    assert (entry.at, entry.set) == (None, FIRST)
    (done,) = played.lane.work.sets
    assert (done.good, done.first_ms, done.last_ms, done.done_ms) == (
        3,
        None,
        None,
        None,
    )


def test_no_reps_stand_beside_the_sets_and_part_ties() -> None:
    fewer = PlanTieBreak(kind="fewer-no-reps")
    played = paper(
        (0, WriteNoReps(set=FIRST, n=3, fault="depth", any_round=True)),
        (461, PaperTime()),
        plan=for_time(tiebreaks=(fewer,)),
    )
    assert played.lane.work.paper is not None
    assert played.lane.work.paper.no_reps == (
        NoRepsWritten(set=FIRST, fault="depth", n=3, any_round=True),
    )
    assert score(played.lane).tiebreak == "3 no-reps"


def test_a_short_lane_is_capped_once_time_is_called() -> None:
    played = paper((0, WriteSet(set=FIRST, n=2)), (600, Time()))
    made = score(played.lane)
    assert (made.status, made.shown) == ("capped", "2 of 16")


def test_what_is_taken_back_is_not_there() -> None:
    played = paper((0, WriteSet(set=FIRST, n=2)), (5, TakeBackOne()))
    assert played.lane.work.sets == ()
    assert played.lane.work.paper is None
    played.press(6, WriteSet(set=FIRST, n=3))
    assert played.counts() == [(1, 1, 1, 3, 0)]


def test_a_ruling_moves_a_set_from_paper() -> None:
    played = paper((0, WriteSet(set=FIRST, n=2)), (600, Time()))
    played.press(700, Rule(effect=RepsInSet(set=FIRST, by=1), why="seen on video"))
    assert score(played.lane).shown == "3 of 16"


def test_a_stop_after_the_totals_freezes_them() -> None:
    played = paper((0, WriteSet(set=FIRST, n=2)), (90, Stop(sign="Sharp pain")))
    assert score(played.lane).status == "stopped"
    assert lacking(played.lane) == ()


SECOND = SetKey(1, 1, 2)


@pytest.mark.parametrize(
    ("said", "refused"),
    [
        (
            [WriteSet(set=FIRST, n=4)],
            "part A, round 1, front squat: the set has 3, not 4.",
        ),
        (
            [WriteSet(set=SetKey(1, 3, 1), n=1)],
            "The workout has no part A, round 3, front squat.",
        ),
        (
            [WriteSet(set=FIRST, n=1), WriteSet(set=FIRST, n=1)],
            "part A, round 1, front squat stands here already.",
        ),
        (
            [WriteSet(set=FIRST, n=1, load="heavy")],
            'part A, round 1, front squat: "heavy" is no load; write it with its unit.',
        ),
        ([WriteNoReps(set=FIRST, n=0)], "No-reps are 1 to 999 here, not 0."),
        (
            [WriteNoReps(set=FIRST, n=1, fault="heels")],
            'Front squat has no voiding fault "heels"; it has depth, lock.',
        ),
        ([WriteNoReps(set=SetKey(9, 1, 1), n=1)], "The workout has no part 9."),
        ([PaperSet(n=1)], "Say which set it is."),
        ([PaperNoReps(n=1)], "Say which set it is."),
        (
            [PaperTime(part=2)],
            "The workout has no such part or round, or the clock ends it.",
        ),
        (
            [PaperTime(part=1, round=3)],
            "The workout has no such part or round, or the clock ends it.",
        ),
        (
            [WriteSet(set=SECOND, n=1), PaperTime()],
            (
                "part A, round 1, toes to bar has 1 of 2, so it was done at no time: "
                "leave the clock's time out, or mend the number."
            ),
        ),
        ([PaperTime(part=1), PaperTime(part=1)], "That time stands here already."),
        (
            [WriteSet(set=FIRST, n=1), Rep()],
            "This lane has totals from paper; take those back first.",
        ),
        (
            [Rep(), WriteSet(set=FIRST, n=1)],
            "This lane was judged rep by rep already; totals do not go with that.",
        ),
        (
            [Stop(), WriteSet(set=FIRST, n=1)],
            "The athlete is stopped: totals come before that, or when work goes on.",
        ),
        ([Withdraw(), WriteSet(set=FIRST, n=1)], "The athlete withdrew at 0:10."),
    ],
)
def test_what_cannot_be_is_refused_in_words(said: list[Act], refused: str) -> None:
    played = paper(*((10, act) for act in said))
    assert played.refusals == [refused]


def rounds_rested() -> Plan:
    part = replace(simple().parts[0], rounds=3, rest_ms=30_000)
    return for_time(parts=(part,))


def intervals() -> Plan:
    part = PlanPart(
        id="A",
        kind="every",
        rounds=3,
        every_ms=60_000,
        work_ms=60_000,
        movements=(movement("front-squat", 5),),
    )
    return for_time(parts=(part,))


@pytest.mark.parametrize(
    ("plan", "said", "refused"),
    [
        # A rest of a minute lies after part A.
        (
            None,
            [(190, PaperTime(part=1)), (230, PaperTime())],
            "Part A was done at 3:10: all cannot be done before 4:10, so not at 3:50.",
        ),
        (
            None,
            [(300, PaperTime()), (310, PaperTime(part=1))],
            "Part A was done at 5:10: all cannot be done before 6:10, so not at 5:00.",
        ),
        (
            None,
            [(90, PaperTime(part=1)), (91, PaperTime(part=1, round=2))],
            (
                "Round 2 of part A was done at 1:31: part A cannot be done before "
                "1:31, so not at 1:30."
            ),
        ),
        (None, [(50, PaperTime())], "all cannot be done before 1:00, so not at 0:50."),
        (
            rounds_rested(),
            [(60, PaperTime(part=1, round=1)), (119, PaperTime())],
            (
                "Round 1 of part A was done at 1:00: all cannot be done before 2:00, "
                "so not at 1:59."
            ),
        ),
        (
            intervals(),
            [(119, PaperTime(part=1, round=3))],
            "round 3 of part A cannot be done before 2:00, so not at 1:59.",
        ),
        (
            None,
            [(40, PaperTime(rep=9)), (39, PaperTime(rep=12))],
            "Rep 9 was at 0:40: rep 12 was not done sooner, at 0:39.",
        ),
    ],
)
def test_times_that_no_clock_shows_are_refused(
    plan: Plan | None, said: list[tuple[float, Act]], refused: str
) -> None:
    assert paper(*said, plan=plan).refusals == [refused]


def test_times_as_close_as_can_be_stand() -> None:
    said = [(190, PaperTime(part=1)), (250, PaperTime())]
    assert paper(*said).refusals == []
    last = [(300, PaperTime(part=3)), (301, PaperTime()), (90, PaperTime(part=1))]
    assert paper(*last).refusals == []
    early = [(60, PaperTime(part=1, round=1)), (120, PaperTime())]
    assert paper(*early, plan=rounds_rested()).refusals == []


@pytest.mark.parametrize(
    ("plan", "said", "now", "doubt"),
    [
        (None, [(190, PaperTime(part=1)), (250, PaperTime())], (190, 250), ""),
        (
            None,
            [(190, PaperTime(part=1)), (250, PaperTime())],
            (190, 249),
            "Part A was done at 3:10: all cannot be done before 4:10, so not at 4:09.",
        ),
        (
            None,
            [(500, PaperTime())],
            (601,),
            "all was not done at 10:01: the clock ended at 10:00.",
        ),
        (None, [(500, PaperTime())], (0,), "all was not done before the start."),
        (
            None,
            [(40, PaperTime(rep=9)), (41, PaperTime(rep=12))],
            (40, 39),
            "Rep 9 was at 0:40: rep 12 was not done sooner, at 0:39.",
        ),
    ],
)
def test_a_log_from_elsewhere_is_asked_whether_a_clock_can_have_shown_it(
    plan: Plan | None, said: list[tuple[float, Act]], now: tuple[int, ...], doubt: str
) -> None:
    played = paper(*said, plan=plan)
    assert played.refusals == []
    times = iter(now)
    entries = [
        replace(one, at=1000 * next(times)) if isinstance(one.body, PaperTime) else one
        for one in played.entries
    ]
    assert doubted(fold(played.lane.plan, entries)) == doubt


def test_what_was_taken_back_is_no_time_to_doubt() -> None:
    played = paper((250, PaperTime()), (260, TakeBackOne()), (300, PaperTime()))
    early = [
        replace(one, at=1000) if one.body == PaperTime() and one.at == 250_000 else one
        for one in played.entries
    ]
    assert doubted(fold(played.lane.plan, early)) == ""


def test_a_start_that_was_ruled_on_may_leave_no_clock_that_shows_it() -> None:
    late = Rule(effect=StartBy(by_ms=300_000), why="late")
    played = paper((250, PaperTime()), (260, late))
    assert doubted(played.lane) == "all was not done before the start."
    assert "a time no clock shows" in score(played.lane).provisional
    played.press(270, Rule(effect=StatusIs(status="no result"), why="late"))
    assert doubted(played.lane) == ""


def test_before_go_nothing_stands_on_paper() -> None:
    played = Played(for_time())
    played.press(0, WriteSet(set=FIRST, n=1))
    assert played.refusals == ["Nothing counts before go."]


def test_where_sets_are_reported_paper_is_refused() -> None:
    played = paper((0, WriteSet(set=FIRST, n=1)), plan=for_time(watching="reported"))
    assert played.refusals == [
        "Sets are reported in this lane: write set-reported, or a result."
    ]


ENDED = (
    "The clock ended at 10:00: what was done by then stands in the rounds, "
    "without a time."
)


def test_a_time_past_the_cap_or_of_a_window_is_refused() -> None:
    assert paper((601, PaperTime())).refusals == [
        ENDED,
    ]
    assert paper((9, PaperTime()), plan=window()).refusals == [
        "The clock ends this workout: it has no time of its own."
    ]
    assert paper((0, PaperTime())).refusals == ["A time is longer than none."]


def whole(plan: Plan) -> list[tuple[float, Act]]:
    return [(0, WriteSet(set=key, n=plan.target(key))) for key in plan.all_sets()]


def test_all_done_without_a_time_lacks_one() -> None:
    played = paper(*whole(for_time()))
    assert lacking(played.lane) == (
        "All of the work is done: write the clock's time alone, such as 7:41.",
    )


def test_work_that_no_clock_ends_lacks_its_end() -> None:
    (said,) = lacking(paper((0, WriteSet(set=FIRST, n=1)), plan=simple()).lane)
    assert said.startswith("No clock ends this work")


def test_a_rest_up_to_a_clock_lacks_when_it_began() -> None:
    first, _, last = for_time().parts
    until = PlanPart(id="", kind="rest-until", until_ms=240_000)
    plan = for_time(parts=(first, until, last))
    assert lacking(paper((461, PaperTime()), plan=plan).lane) == (
        "Write when part A was done: part A at 3:12.",
    )
    told = paper((200, PaperTime(part=1)), (461, PaperTime()), plan=plan)
    assert lacking(told.lane) == ()
    assert score(told.lane).shown == "7:01"


def test_the_slowest_round_lacks_the_times_of_rounds() -> None:
    part = replace(for_time().parts[0], take="worst")
    plan = for_time(parts=(part,))
    assert lacking(paper((100, PaperTime()), plan=plan).lane) == (
        "Write when round 1 of part A was done, such as: round 1 at 3:12.",
    )
    told = paper((40, PaperTime(part=1, round=1)), (100, PaperTime()), plan=plan)
    assert lacking(told.lane) == ()
    assert score(told.lane).shown == "1:00"


def test_a_part_placed_by_its_time_lacks_it() -> None:
    plan = for_time(score="placing")
    played = paper(*whole(plan), (461, PaperTime()), plan=plan)
    assert lacking(played.lane) == ("Write when part A was done: part A at 3:12.",)
    told = paper(*whole(plan), (200, PaperTime(part=1)), (461, PaperTime()), plan=plan)
    assert score(told.lane).shown == "A 3:20, B 3:21"


def test_a_tie_break_that_nobody_wrote_down_is_none() -> None:
    ties = tuple(
        PlanTieBreak(kind=kind, number=5)
        for kind in ("at-rep", "last-rep", "last-full-round")
    )
    plan = window(tiebreaks=ties)
    full = [
        (0.0, WriteSet(set=SetKey(1, 1, n), n=many)) for n, many in ((1, 5), (2, 8))
    ]
    assert score(paper(*full, plan=plan).lane).tiebreak == ""
    told = paper(
        *full,
        (40, PaperTime(rep=5)),
        (90, PaperTime(part=1, round=1)),
        (91, PaperTime(rep=13)),
        plan=plan,
    )
    assert score(told.lane).tiebreak == "0:40, 1:31, 1:30"


BODIES = st.one_of(
    st.builds(PaperSet, n=st.integers(-9, 9), load=st.sampled_from(["", "9 kg", "x"])),
    st.builds(PaperNoReps, n=st.integers(-9, 9), fault=st.sampled_from(["", "depth"])),
    st.builds(
        PaperTime,
        part=st.integers(-2, 5),
        round=st.integers(-2, 5),
        rep=st.integers(0, 5),
    ),
)
KEYS = st.none() | st.builds(
    SetKey, st.integers(1, 4), st.integers(1, 3), st.integers(1, 3)
)


@given(st.lists(st.tuples(BODIES, KEYS, st.integers(-5, 700)), max_size=8))
def test_any_log_folds_as_it_evolves_and_has_a_score(
    said: list[tuple[PaperSet | PaperNoReps | PaperTime, SetKey | None, int]],
) -> None:
    for plan in (for_time(), window(), holds()):
        played = Played(plan).go()
        for body, key, seconds in said:
            played.put(body, seconds * 1000, key)
        assert fold(plan, played.entries) == played.lane
        assert all(0 <= s.good <= s.target for s in played.lane.work.sets)
        score(played.lane)
        lacking(played.lane)


def holds() -> Plan:
    part = PlanPart(
        id="A", kind="hold", rounds=2, movements=(movement("row", 60, unit="seconds"),)
    )
    return for_time(score="reading", parts=(part,))
