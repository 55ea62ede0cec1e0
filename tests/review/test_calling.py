from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import NoRep, Rep
from judgekit.core.plan import SetKey
from judgekit.core.press import TakeBackOne
from judgekit.core.ruling import Ref
from judgekit.core.state import Attempt
from judgekit.review.calling import READ_MS, Marks, marks
from judgekit.review.performing import Performed
from tests.rehearsing import athlete, called, rehearsal, right

if TYPE_CHECKING:
    from judgekit.core.press import Act

SHOWN = ("wall-ball-shot", "air-squat", "burpee")
SEEDS = st.integers(0, 2**32)


def shown(at: int, fault: str = "", *, for_ms: int = 3000) -> Performed:
    return Performed(at_ms=at, until_ms=at + for_ms, card="c", says="w", fault=fault)


def call(at: int, *faults: str, good: bool = False) -> Attempt:
    return Attempt(
        ref=Ref("b", at),
        set=SetKey(1, 1, 1),
        at=at,
        good=good,
        n=1,
        faults=faults,
        counts=good,
        marks=(),
    )


def outcomes(found: Marks) -> list[str]:
    return [one.outcome for one in found.verdicts]


@given(seed=SEEDS, after=st.integers(READ_MS, 2000))
def test_a_judge_without_fault_has_every_rep_right(seed: int, after: int) -> None:
    found = rehearsal(*SHOWN)
    performer = athlete(found, seed=seed, percent=50)
    played = called(found, performer, lambda s: [(after, right(s))])
    given_ = marks(performer.performed, played.lane.work.attempts)
    assert (given_.right, given_.percent, given_.late, given_.extra) == (20, 100, 0, 0)
    assert {one.reaction_ms for one in given_.verdicts} == {after}
    assert given_.confused() == ()


@given(seed=SEEDS)
def test_a_judge_who_says_nothing_has_called_nothing(seed: int) -> None:
    found = rehearsal(*SHOWN)
    performer = athlete(found, seed=seed)
    played = called(found, performer, lambda _: [])
    given_ = marks(performer.performed, played.lane.work.attempts)
    assert given_.count("silent") == 20
    assert (given_.percent, given_.reaction_ms(50)) == (0, None)


@given(seed=SEEDS)
def test_a_judge_who_counts_everything_misses_every_fault(seed: int) -> None:
    found = rehearsal(*SHOWN)
    performer = athlete(found, seed=seed)
    played = called(found, performer, lambda _: [(900, Rep())])
    given_ = marks(performer.performed, played.lane.work.attempts)
    bad = sum(1 for one in performer.performed if one.fault)
    assert (given_.count("missed"), given_.right) == (bad, 20 - bad)


@given(seed=SEEDS)
def test_a_judge_who_counts_nothing_finds_faults_where_there_are_none(
    seed: int,
) -> None:
    found = rehearsal(*SHOWN)
    performer = athlete(found, seed=seed)
    played = called(found, performer, lambda _: [(900, NoRep())])
    given_ = marks(performer.performed, played.lane.work.attempts)
    bad = sum(1 for one in performer.performed if one.fault)
    assert (given_.count("no reason"), given_.count("false")) == (bad, 20 - bad)


@given(seed=SEEDS)
def test_presses_made_twice_are_told_apart_and_cost_nothing_else(seed: int) -> None:
    found = rehearsal(*SHOWN)
    performer = athlete(found, seed=seed)

    def twice(one: Performed) -> list[tuple[int, Act]]:
        return (
            [(900, right(one)), (1000, Rep())] if not one.fault else [(900, right(one))]
        )

    played = called(found, performer, twice)
    given_ = marks(performer.performed, played.lane.work.attempts)
    good = sum(1 for one in performer.performed if not one.fault)
    assert (given_.right, given_.extra) == (20, good)


@given(
    seed=SEEDS,
    late=st.integers(300, 300 + READ_MS - 1),
)
def test_a_call_that_comes_before_the_next_words_can_be_read_is_for_the_rep_before(
    seed: int, late: int
) -> None:
    found = rehearsal("air-squat", reps=30)
    performer = athlete(found, seed=seed, reps=30)
    played = called(
        found, performer, lambda s: [(s.until_ms - s.at_ms + late, right(s))]
    )
    given_ = marks(performer.performed, played.lane.work.attempts)
    assert given_.right == given_.late == 30


def test_what_was_taken_back_was_not_called() -> None:
    found = rehearsal("air-squat", reps=1)
    performer = athlete(found, seed=1, reps=1)
    wrong: list[tuple[int, Act]] = [(900, Rep()), (1500, TakeBackOne())]
    played = called(found, performer, lambda s: [*wrong, (1900, right(s))])
    given_ = marks(performer.performed, played.lane.work.attempts)
    (one,) = given_.verdicts
    assert (one.outcome, one.reaction_ms, given_.extra) == ("right", 1900, 0)


def test_each_way_of_calling_a_rep_has_its_own_name() -> None:
    reps = [shown(n * 4000, f) for n, f in enumerate(["", "", "", *["deep"] * 6])]
    calls = [
        call(1000, good=True),
        call(5000, "deep"),
        call(13_000, "deep"),
        call(17_000, "lock"),
        call(21_000),
        call(25_000, good=True),
        call(29_000, "lock", "deep"),
    ]
    assert outcomes(marks(reps, calls)) == [
        "right",
        "false",
        "silent",
        "right",
        "other reason",
        "no reason",
        "missed",
        "right",
        "silent",
    ]


def test_the_edges_of_late_and_of_the_rep_before() -> None:
    reps = [shown(0), shown(3300)]
    found = [
        marks(reps, [call(at, good=True)]).verdicts
        for at in (3000, 3001, 3300 + READ_MS - 1, 3300 + READ_MS)
    ]
    assert [
        [(one.reaction_ms, one.late) for one in verdicts] for verdicts in found
    ] == [
        [(3000, False), (None, False)],
        [(3001, True), (None, False)],
        [(3999, True), (None, False)],
        [(None, False), (700, False)],
    ]


def test_a_call_that_the_rep_before_needs_no_more_is_for_the_one_shown() -> None:
    reps = [shown(0), shown(3300, "deep")]
    found = marks(reps, [call(1000, good=True), call(3400, good=True)])
    assert (outcomes(found), found.extra) == (["right", "missed"], 0)


def test_a_call_before_the_first_rep_is_one_too_many() -> None:
    found = marks([shown(1000)], [call(999, good=True), call(2000, good=True)])
    assert (found.right, found.extra) == (1, 1)


def test_times_are_those_within_which_so_many_calls_came() -> None:
    reps = [shown(n * 4000) for n in range(10)]
    calls = [call(n * 4000 + 800 + 100 * n, good=True) for n in range(10)]
    found = marks(reps, calls)
    assert [found.reaction_ms(p) for p in (50, 90, 100)] == [1200, 1600, 1700]


def test_keys_that_were_mixed_up_are_told_most_often_first() -> None:
    faults = ["a", "b", "b", "c"]
    reps = [shown(n * 4000, f) for n, f in enumerate(faults)]
    named = ["x", "y", "y", "c"]
    calls = [call(n * 4000 + 1000, f) for n, f in enumerate(named)]
    assert marks(reps, calls).confused() == (("c", "b", "y", 2), ("c", "a", "x", 1))


def test_nothing_shown_has_no_share() -> None:
    assert marks([], []).percent is None
