"""What no-reps cost in places, and what always holds of it."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.entry import Absent, Accept, Dispute, NoRep, Rep, Withdraw
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import SetKey
from judgekit.core.press import WriteNoReps
from judgekit.core.score import score
from judgekit.core.timeentry import ClassOver
from judgekit.reports.standings import Result, places_with
from judgekit.review.cost import Costs, Entrant, FaultKind, costs
from judgekit.review.lost import Span
from tests.support import Played, simple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.entry import Body
    from judgekit.core.score import Score

DEPTH = FaultKind("front-squat", "Front squat", "depth")
LOCK = FaultKind("front-squat", "Front squat", "lock")


def entrant(
    bib: str,
    presses: Sequence[tuple[float, tuple[str, ...] | None]],
    *,
    signed: bool = True,
) -> Played:
    """Presses with their gaps in seconds: None is a good rep, () a no-rep unnamed."""
    good = sum(faults is None for _, faults in presses)
    played = Played(simple(good, bib=bib, lane=int(bib)), book=bib).go()
    times = accumulate(gap for gap, _ in presses)
    for at, (_, faults) in zip(times, presses, strict=True):
        played.press(at, Rep() if faults is None else NoRep(faults=faults))
    if signed:
        played.press(200, Accept(who="athlete", signed=True))
        played.press(200, Accept(who="judge", signed=True))
    return played


def costs_of(*entrants: Played) -> Costs:
    results = [Result(lane=p.lane, score=score(p.lane)) for p in entrants]

    def places(scores: Sequence[Score]) -> Sequence[int | None]:
        return places_with(results, scores, "together")

    return costs([Entrant(r.lane, r.score) for r in results], places)


def open_in(found: Costs) -> list[str]:
    return [still.lane.plan.bib for still in found.open]


def steady(bib: str, gap: float = 2.0, reps: int = 8) -> Played:
    return entrant(bib, [(gap, None)] * reps)


def missing(bib: str, *faults: tuple[str, ...]) -> Played:
    """Eight reps of 2 s, with these no-reps after the fourth."""
    return entrant(bib, [(2, None)] * 4 + [(2, f) for f in faults] + [(2, None)] * 4)


def test_who_is_absent_leaves_no_result_to_wait_for() -> None:
    there, waiting = missing("1", ("depth",)), Played(simple(8, bib="3", lane=3))
    assert open_in(costs_of(there, waiting)) == ["3"]
    waiting.press(0, Absent())
    found = costs_of(there, waiting)
    assert found.open == ()
    assert [(one.place, one.places) for one in found.athletes] == [
        (1, (1, 1, 1)),
        (None, (None, None, None)),
    ]


def test_an_athlete_is_told_seconds_score_and_place() -> None:
    """16 s without a no-rep, 20 s with two; another one needed 18."""
    found = costs_of(missing("1", ("depth",), ("lock",)), steady("2", 2.25))
    second, first = found.athletes[1], found.athletes[0]
    assert (first.lane.plan.bib, first.no_reps, first.ms) == ("2", 0, Span())
    assert (second.no_reps, second.timed, second.place) == (2, 2, 2)
    assert second.ms == Span(low=4000, middle=4000, high=4000)
    assert [s.shown for s in second.if_clean] == ["0:16", "0:16", "0:16"]
    assert second.places == (1, 1, 1)
    assert [(p.kind, p.no_reps) for p in second.faults] == [(DEPTH, 1), (LOCK, 1)]


def test_each_kind_of_fault_has_its_own_standings() -> None:
    """One depth less is 2 s: 18 s, as the other one has."""
    found = costs_of(missing("1", ("depth",), ("lock",)), steady("2", 2.25))
    assert [fault.kind for fault in found.faults] == [DEPTH, LOCK]
    depth = found.faults[0]
    assert (depth.no_reps, depth.athletes, depth.ms.middle) == (1, 1, 2000)
    assert [(s.lane.plan.bib, s.place, s.place_after) for s in depth.standings] == [
        ("1", 2, 1),
        ("2", 1, 1),
    ]
    assert [s.lane.plan.bib for s in depth.moved] == ["1"]


def test_a_no_rep_with_another_reason_beside_stays_one() -> None:
    found = costs_of(missing("1", ("depth", "lock"), ("depth",)), steady("2"))
    (cost,) = (one for one in found.athletes if one.no_reps)
    assert [(p.kind, p.no_reps) for p in cost.faults] == [(DEPTH, 2), (LOCK, 1)]
    assert [(fault.kind, fault.no_reps) for fault in found.faults] == [(DEPTH, 1)]


def from_paper(bib: str, seconds: float, fault: str = "depth") -> Played:
    """Eight reps written down with one no-rep, and how long they took in all."""
    played = Played(simple(8, bib=bib, lane=int(bib)), book=bib).go()
    squat = SetKey(1, 1, 1)
    played.press(0, WriteNoReps(set=squat, n=1, fault=fault, any_round=True))
    played.press(seconds, PaperTime())
    played.press(200, Accept(who="athlete", signed=True))
    played.press(200, Accept(who="judge", signed=True))
    return played


def test_no_place_is_told_where_a_no_rep_has_no_time() -> None:
    """18 s with a no-rep of 2 s, and 17 s on paper with one that took nobody knows."""
    found = costs_of(missing("1", ("depth",), ("lock",)), from_paper("2", 17))
    written, pressed = found.athletes
    assert (written.no_reps, written.timed) == (1, 0)
    assert written.untold == "1 of 1 no-reps have no time"
    assert {one.shown for one in written.if_clean} == {"0:17"}
    assert pressed.untold == ""
    depth, lock = found.faults
    assert (depth.no_reps, depth.timed, depth.is_timed, depth.moved) == (
        2,
        1,
        False,
        (),
    )
    assert [
        (s.lane.plan.bib, s.place, s.place_after, s.after.shown, bool(s.untold))
        for s in depth.standings
    ] == [("2", 1, None, "0:17", True), ("1", 2, None, "0:18", False)]
    # Her no-rep was for depth: without those for lock everybody's score is known.
    assert [(s.lane.plan.bib, s.place_after) for s in lock.standings] == [
        ("2", 1),
        ("1", 2),
    ]


def short(bib: str, *presses: Body) -> Played:
    """Four good reps, an unlucky one, and what came then, signed."""
    played = Played(simple(8, bib=bib, lane=int(bib)), book=bib).go()
    for number in range(1, 5):
        played.press(2 * number, Rep())
    for number, body in enumerate((NoRep(faults=("depth",)), Rep(), *presses), 5):
        played.press(2 * number, body)
    played.press(200, Accept(who="athlete", signed=True))
    played.press(200, Accept(who="judge", signed=True))
    return played


def test_who_has_no_place_and_no_score_without_a_fault_is_in_nobody_s_way() -> None:
    found = costs_of(missing("1", ("depth",)), steady("2"), short("3", Withdraw()))
    (depth,) = found.faults
    assert [stand.lane.plan.bib for stand in depth.unknown] == ["3"]
    assert depth.tells_places
    assert [(s.lane.plan.bib, s.place, s.place_after) for s in depth.standings] == [
        ("1", 2, 1),
        ("2", 1, 1),
        ("3", None, None),
    ]


def test_where_somebody_s_score_without_a_fault_is_unknown_so_are_all_places() -> None:
    """The class was over: without her no-rep she may have been done, or not."""
    over = short("3", ClassOver())
    found = costs_of(missing("1", ("depth",)), steady("2"), over)
    (depth,) = found.faults
    assert [(s.place, s.untold) for s in depth.unknown] == [(3, "class over")]
    assert (depth.is_timed, depth.tells_places, depth.moved) == (True, False, ())
    assert {stand.place_after for stand in depth.standings} == {None}
    # She had no other fault: without those for lock everybody's place is known.
    found = costs_of(missing("1", ("lock",)), steady("2"), over)
    lock = next(fault for fault in found.faults if fault.kind == LOCK)
    assert lock.tells_places
    assert [(s.place, s.place_after, s.untold) for s in lock.standings] == [
        (2, 1, ""),
        (1, 1, ""),
        (3, 3, ""),
    ]
    assert [stand.lane.plan.bib for stand in lock.moved] == ["1"]


def test_nothing_is_told_before_every_result_is_official() -> None:
    one, two = entrant("1", [(2, None)] * 3, signed=False), steady("2", reps=3)
    one.press(210, Dispute(about="the second was the third"))
    found = costs_of(one, two)
    assert (open_in(found), found.athletes, found.faults) == (["1"], (), ())


def test_who_may_not_be_ranked_keeps_it_open() -> None:
    played = steady("1")
    entrants = [Entrant(played.lane, score(played.lane), "not scored: two desks")]
    assert open_in(costs(entrants, lambda scores: [1 for _ in scores])) == ["1"]


# --- what always holds ------------------------------------------------------------

_presses = st.lists(
    st.tuples(
        st.sampled_from((1.5, 2.0, 2.2, 2.5, 7.0)),
        st.sampled_from((None, None, ("depth",), ("lock",), ("depth", "lock"), ())),
    ),
    min_size=4,
    max_size=20,
).filter(lambda presses: presses[-1][1] is None)
_field = st.lists(_presses, min_size=2, max_size=4)


def field_of(lanes: Sequence[Sequence[tuple[float, tuple[str, ...] | None]]]) -> Costs:
    """All with as many good reps: they are ranked by their times."""
    most = max(sum(f is None for _, f in one) for one in lanes)
    filled = (
        [*one, *[(2.0, None)] * (most - sum(f is None for _, f in one))]
        for one in lanes
    )
    return costs_of(*(entrant(str(n), one) for n, one in enumerate(filled, 1)))


@settings(max_examples=60)
@given(_field)
def test_a_cost_is_never_below_nothing_and_nothing_without_no_reps(
    lanes: list[list[tuple[float, tuple[str, ...] | None]]],
) -> None:
    for cost in field_of(lanes).athletes:
        assert 0 <= cost.ms.low <= cost.ms.middle <= cost.ms.high
        if not cost.no_reps:
            assert cost.ms == Span()
            assert cost.if_clean == (cost.score,) * 3
            assert cost.places == (cost.place,) * 3


@settings(max_examples=60)
@given(_field)
def test_ones_own_no_reps_made_good_never_cost_a_place(
    lanes: list[list[tuple[float, tuple[str, ...] | None]]],
) -> None:
    for cost in field_of(lanes).athletes:
        low, middle, high = cost.places
        assert cost.place is not None
        assert low is not None
        assert middle is not None
        assert high is not None
        assert cost.place >= low >= middle >= high


@settings(max_examples=60)
@given(_field)
def test_without_a_fault_that_nobody_had_the_standings_are_the_standings(
    lanes: list[list[tuple[float, tuple[str, ...] | None]]],
) -> None:
    clean = [[(gap, None) for gap, _ in one] for one in lanes]
    found = field_of(clean)
    assert found.faults == ()
    assert all(cost.place == cost.places[0] for cost in found.athletes)
    found = field_of(lanes)
    had = {c.lane.plan.bib: {part.kind for part in c.faults} for c in found.athletes}
    for fault in found.faults:
        for stand in fault.standings:
            changed = stand.before != stand.after
            assert fault.kind in had[stand.lane.plan.bib] or not changed
