"""The order of a whole event, worked by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.earned import Finish, points_of
from judgekit.core.overall import Ended, whole_event
from judgekit.core.points import Formula, Levels, Overall

if TYPE_CHECKING:
    from judgekit.core.overall import Whole
    from judgekit.core.points import Method, TiedPoints
    from judgekit.core.status import Status

TABLE = tuple(Fraction(points) for points in (50, 45, 41, 38, 36))


def ended(workout: str, ranks: dict[str, int | None], **said: Status) -> Ended:
    """A workout by the places in it; `said` are statuses that are not "finished"."""
    places = list(ranks.values())
    return Ended(
        workout=workout,
        finishes=tuple(
            Finish(
                bib=bib,
                status=said.get(bib, "finished"),
                rank=rank,
                tied=places.count(rank) if rank is not None else 1,
            )
            for bib, rank in ranks.items()
        ),
    )


def shown(whole: Whole) -> list[tuple[int | None, str, int]]:
    return [(p.rank, p.row.bib, int(p.row.total)) for p in whole.places]


def order(whole: Whole) -> list[tuple[int | None, str]]:
    return [(p.rank, p.row.bib) for p in whole.places]


def test_places_are_added_up_and_the_least_wins() -> None:
    # a 1 + 3 = 4, b 2 + 1 = 3, c 3 + 2 = 5.
    held = [
        ended("w1", {"a": 1, "b": 2, "c": 3}),
        ended("w2", {"b": 1, "c": 2, "a": 3}),
    ]
    assert shown(whole_event(held, Overall())) == [
        (1, "b", 3),
        (2, "a", 4),
        (3, "c", 5),
    ]


def test_who_did_not_start_one_workout_has_the_place_after_all() -> None:
    # a 1 + 3 (of 3) = 4, b 2 + 1 = 3, c 3 + 2 = 5.
    held = [
        ended("w1", {"a": 1, "b": 2, "c": 3}),
        ended("w2", {"b": 1, "c": 2, "a": None}, a="did not start"),
    ]
    assert shown(whole_event(held, Overall()))[0:2] == [(1, "b", 3), (2, "a", 4)]
    # In points it is worth nothing: a 50, b 45 + 50, c 41 + 45.
    table = Overall(method="table", table=TABLE)
    assert shown(whole_event(held, table)) == [(1, "b", 95), (2, "c", 86), (3, "a", 50)]


def test_who_has_no_place_has_the_one_after_all_who_have_one() -> None:
    """Two of four did not start: both have the third place, not the fourth."""
    held = ended("w", {"a": 1, "b": 2, "c": None, "d": None}, c="stopped", d="stopped")
    assert points_of(Overall(), "w", held.finishes) == {"a": 1, "b": 2, "c": 3, "d": 3}


def points(method: Method, tied: TiedPoints, *ranks: int) -> list[Fraction]:
    held = ended("w", {str(n): rank for n, rank in enumerate(ranks)})
    overall = Overall(method=method, tied=tied, table=TABLE)
    return list(points_of(overall, "w", held.finishes).values())


def test_tied_athletes_all_have_the_points_of_their_place_or_share() -> None:
    # Places 1, 2, 2, 4: equal 50, 45, 45, 38; shared (45 + 41) / 2 = 43.
    assert points("table", "equal", 1, 2, 2, 4) == [50, 45, 45, 38]
    assert points("table", "shared", 1, 2, 2, 4) == [50, 43, 43, 38]


def test_a_field_longer_than_the_table_has_nothing_beyond_it() -> None:
    assert points("table", "equal", 1, 2, 3, 4, 5, 6)[-1] == 0


def test_points_for_the_field_are_as_many_as_athletes() -> None:
    assert points("field", "equal", 1, 2, 3, 4) == [4, 3, 2, 1]


@given(st.lists(st.integers(0, 5), min_size=1, max_size=30))
def test_shared_places_add_up_to_all_places(scores: list[int]) -> None:
    """The fractional ranks of n athletes make n (n + 1) / 2, whatever the ties."""
    ranks = [1 + sum(other > own for other in scores) for own in scores]
    many = len(scores)
    assert sum(points("places", "shared", *ranks)) == Fraction(many * (many + 1), 2)


def test_a_workout_may_count_double() -> None:
    # a 50 + 2 x 45 = 140, b 45 + 2 x 50 = 145.
    held = [ended("w1", {"a": 1, "b": 2}), ended("w2", {"a": 2, "b": 1})]
    overall = Overall(method="table", table=TABLE, weights=(("w2", Fraction(2)),))
    assert shown(whole_event(held, overall)) == [(1, "b", 145), (2, "a", 140)]


def test_per_cent_of_the_best() -> None:
    # Times 100 and 125 s: 100 and 80 %. Loads 100 and 75 kg: 100 and 75 %.
    for unit, values in (("ms", (100_000, 125_000)), ("kg", (100, 80))):
        finishes = [
            Finish(
                bib=str(rank),
                status="finished",
                rank=rank,
                value=Fraction(value),
                unit=unit,  # type: ignore[arg-type]
            )
            for rank, value in enumerate(values, 1)
        ]
        capped = Finish(
            bib="3", status="capped", rank=3, value=Fraction(11), unit="reps"
        )
        found = points_of(Overall(method="percent"), "w", [*finishes, capped])
        assert found == {"1": 100, "2": 80, "3": 0}


def test_equal_totals_are_parted_by_the_best_finish() -> None:
    # a 1 + 4 + 4 = 9, b 3 + 3 + 3 = 9, c 2 + 2 + 5 = 9.
    places = {"a": (1, 4, 4), "b": (3, 3, 3), "c": (2, 2, 5)}
    held = [ended(f"w{n}", {b: p[n] for b, p in places.items()}) for n in range(3)]
    assert order(whole_event(held, Overall())) == [(1, "a"), (2, "c"), (3, "b")]


def test_then_by_the_number_of_wins_and_the_next_best() -> None:
    # a 1 1 7 = 9, b 1 2 6 = 9, c 1 3 5 = 9.
    places = {"c": (1, 3, 5), "b": (6, 1, 2), "a": (7, 1, 1)}
    held = [ended(f"w{n}", {b: p[n] for b, p in places.items()}) for n in range(3)]
    assert order(whole_event(held, Overall())) == [(1, "a"), (2, "b"), (3, "c")]


def test_then_by_the_last_workout_and_else_they_tie() -> None:
    held = [ended("w1", {"a": 1, "b": 2}), ended("w2", {"a": 2, "b": 1})]
    assert order(whole_event(held, Overall())) == [(1, "b"), (2, "a")]
    same = [ended("w1", {"a": 1, "b": 1})]
    whole = whole_event(same, Overall())
    assert [(p.rank, p.tied) for p in whole.places] == [(1, True), (1, True)]


def test_t8_withdrawn_after_two_workouts_keeps_them_and_moves_nobody() -> None:
    """T8: a won two and withdrew; b and c keep their second and third places."""
    two = [ended(w, {"a": 1, "b": 2, "c": 3}) for w in ("w1", "w2")]
    third = ended("w3", {"b": 1, "c": 2, "a": None}, a="withdrawn")
    whole = whole_event([*two, third], Overall())
    assert shown(whole)[:2] == [(1, "b", 5), (2, "c", 8)]
    last = whole.places[-1]
    assert (last.rank, last.row.bib, last.row.standing) == (None, "a", "withdrawn")
    assert dict(last.row.places)["w1"] == 1


def test_who_left_one_heat_and_came_back_is_in_the_contest() -> None:
    first = ended("w1", {"a": 1, "b": None}, b="withdrawn")
    second = ended("w2", {"b": 1, "a": 2})
    # a 1 + 2 = 3; b the place after all, 2, + 1 = 3; a's second place is a real one.
    whole = whole_event([first, second], Overall())
    assert shown(whole) == [(1, "a", 3), (2, "b", 3)]


def test_who_was_cut_stands_below_all_who_went_on_and_keeps_an_order() -> None:
    first = ended("w1", {"a": 1, "b": 2, "c": 3, "d": 4})
    second = ended(
        "w2",
        {"a": 2, "b": 1, "c": None, "d": None},
        c="cut",
        d="cut",
    )
    whole = whole_event([first, second], Overall())
    assert order(whole) == [(1, "b"), (2, "a"), (3, "c"), (4, "d")]


def test_a_disqualified_athlete_and_a_guest_have_no_place() -> None:
    held = ended("w1", {"a": 1, "b": None, "c": None}, b="disqualified", c="guest")
    assert order(whole_event([held], Overall())) == [(1, "a"), (None, "b"), (None, "c")]


def test_who_started_in_nothing_is_before_nobody_who_did_work() -> None:
    """b left hurt, c was never there; d did not start the first and worked later."""
    ranks = {"a": 1, "b": None, "c": None, "d": None}
    first = ended("w1", ranks, b="withdrawn", c="did not start", d="did not start")
    whole = whole_event([first], Overall())
    assert [(p.rank, p.row.bib, p.row.standing) for p in whole.places] == [
        (1, "a", ""),
        (None, "b", "withdrawn"),
        (None, "c", "did not start"),
        (None, "d", "did not start"),
    ]
    second = ended("w2", {"a": 1, "d": 2, "c": None}, c="did not start")
    whole = whole_event([first, second], Overall(method="table", table=TABLE))
    assert shown(whole) == [(1, "a", 100), (2, "d", 45), (None, "b", 0), (None, "c", 0)]


@pytest.mark.parametrize("later", ["waiting", "in progress"])
def test_who_has_still_to_go_is_in_the_contest(later: Status) -> None:
    first = ended("w1", {"a": 1, "b": None}, b="did not start")
    second = ended("w2", {"a": 1, "b": None}, b=later)
    whole = whole_event([first, second], Overall())
    assert shown(whole) == [(1, "a", 1), (2, "b", 2)]


def test_a_workout_without_a_heat_for_who_was_absent_is_still_to_come() -> None:
    first = ended("w1", {"a": 1, "b": None}, b="did not start")
    none = Finish(bib="b", status="no heat", rank=None)
    second = ended("w2", {"a": 1})
    second = Ended(workout="w2", finishes=(*second.finishes, none))
    assert whole_event([first, second], Overall(no_heat="open")).open == ("w2",)


def test_a_workout_counts_once_all_have_done_it() -> None:
    first = ended("w1", {"a": 1, "b": 2})
    second = ended("w2", {"b": 1, "a": None}, a="in progress")
    whole = whole_event([first, second], Overall())
    assert (whole.counted, whole.open) == (("w1",), ("w2",))
    assert shown(whole) == [(1, "a", 1), (2, "b", 2)]


def test_nobody_waits_for_one_who_has_left() -> None:
    first = ended("w1", {"a": 1, "b": None}, b="withdrawn")
    second = ended("w2", {"a": 1, "b": None}, b="waiting")
    assert whole_event([first, second], Overall()).open == ()


def test_before_anything_counts_nobody_has_a_place() -> None:
    held = ended("w1", {"a": None}, a="waiting")
    assert order(whole_event([held], Overall())) == [(None, "a")]


def test_points_by_a_formula_are_cut() -> None:
    # 2 x (60 - 50.5) ^ 1 = 19; half a second slower 18.
    rule = Formula(a=Decimal(2), b=Decimal(60), c=Decimal(1), rising=False)
    assert rule.points(Fraction("50.5")) == 19
    assert rule.points(Fraction("50.75")) == 18
    assert rule.points(Fraction(60)) == rule.points(Fraction(61)) == 0


@pytest.mark.parametrize(
    ("result", "worth"), [(30, 100), (20, 100), (19, 75), (15, 75), (14, 0)]
)
def test_between_two_levels_the_lower_counts(result: int, worth: int) -> None:
    rows = ((Fraction(20), Fraction(100)), (Fraction(15), Fraction(75)))
    assert Levels(rows=rows, rising=True).points(Fraction(result)) == worth


def test_results_of_another_kind_have_no_points() -> None:
    """A capped athlete has reps where the levels are times."""
    rows = ((Fraction(600), Fraction(60)), (Fraction(500), Fraction(100)))
    overall = Overall(
        method="results", by_result=(("w", Levels(rows=rows, rising=False)),)
    )
    finishes = [
        Finish(bib="a", status="finished", rank=1, value=Fraction(550_000), unit="ms"),
        Finish(bib="b", status="capped", rank=2, value=Fraction(90), unit="reps"),
    ]
    assert points_of(overall, "w", finishes) == {"a": 60, "b": 0}


RANKS = st.lists(st.permutations(range(1, 6)), min_size=1, max_size=4)


@given(RANKS, st.sampled_from(("places", "table", "field")))
def test_a_better_place_never_ranks_an_athlete_lower(
    ranks: list[list[int]], method: Method
) -> None:
    """The athlete in place 2 of the first workout changes with the first one."""
    overall = Overall(method=method, table=TABLE)

    def place(first: list[int]) -> int:
        held = [
            ended(f"w{n}", dict(zip("abcde", of, strict=True)))
            for n, of in enumerate([first, *ranks[1:]])
        ]
        whole = whole_event(held, overall)
        bib = "abcde"[ranks[0].index(2)]
        return next(p.rank or 9 for p in whole.places if p.row.bib == bib)

    better = [{1: 2, 2: 1}.get(rank, rank) for rank in ranks[0]]
    assert place(better) <= place(ranks[0])
