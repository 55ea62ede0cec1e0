"""Places, ties and rows without a place."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.ranking import Placed, after_all, count_back, ranked

if TYPE_CHECKING:
    from collections.abc import Sequence
    from random import Random


class Row(NamedTuple):
    bib: int
    score: int | None
    tie_break: int = 0
    status: int = 0


def placed(rows: Sequence[Row]) -> list[tuple[int, int | None, bool]]:
    """Bib, rank and tie of each row, more being better."""
    result = ranked(
        rows,
        key=lambda row: None if row.score is None else (-row.score, row.tie_break),
        tie_order=lambda row: (row.status, row.bib),
    )
    return [(p.row.bib, p.rank, p.tied) for p in result]


rosters = st.lists(
    st.builds(
        Row,
        bib=st.integers(0, 500),
        score=st.none() | st.integers(0, 6),
        tie_break=st.integers(0, 1),
    ),
    unique_by=lambda row: row.bib,
    max_size=25,
)


def test_a_tie_leaves_out_the_next_rank_and_stands_in_bib_order() -> None:
    rows = [Row(3, 99), Row(10, 100), Row(2, 100), Row(7, 101)]
    expected = [(7, 1, False), (2, 2, True), (10, 2, True), (3, 4, False)]
    assert placed(rows) == expected
    assert placed(rows[::-1]) == expected


def test_the_tie_break_is_part_of_the_key_and_so_decides() -> None:
    rows = [Row(1, 150, 400_000), Row(2, 150, 372_500), Row(3, 149)]
    expected = [(2, 1, False), (1, 2, False), (3, 3, False)]
    assert placed(rows) == expected
    assert placed(rows[::-1]) == expected


def test_rows_without_a_key_follow_unranked_and_are_not_tied() -> None:
    rows = [
        Row(5, None, status=2),
        Row(1, 120),
        Row(4, None, status=2),
        Row(2, 100),
        Row(3, None, status=1),
    ]
    assert placed(rows) == [
        (1, 1, False),
        (2, 2, False),
        (3, None, False),
        (4, None, False),
        (5, None, False),
    ]


def test_where_nobody_started_nobody_is_first() -> None:
    assert placed([Row(2, None), Row(1, None)]) == [(1, None, False), (2, None, False)]


def test_no_rows_give_no_places() -> None:
    assert placed([]) == []


def test_finishers_stand_above_capped_whatever_the_size_of_their_times() -> None:
    class Score(NamedTuple):
        name: str
        ms: int | None
        reps: int
        tie_break: int

    rows = [
        Score("E", None, 0, 0),
        Score("B", None, 99, 500_000),
        Score("A", 719_900, 100, 0),
        Score("late finisher", 10_001_000, 100, 0),
        Score("C", None, 99, 490_000),
        Score("D", 185_000, 100, 0),
    ]
    result = ranked(
        rows,
        key=lambda s: (s.ms is None, s.ms or 0, -s.reps, s.tie_break),
        tie_order=lambda s: s.name,
    )
    assert [(p.rank, p.row.name) for p in result] == [
        (1, "D"),
        (2, "A"),
        (3, "late finisher"),
        (4, "C"),
        (5, "B"),
        (6, "E"),
    ]


@given(rosters)
def test_a_rank_is_one_plus_the_number_strictly_better(rows: list[Row]) -> None:
    keys = {r.bib: (-r.score, r.tie_break) for r in rows if r.score is not None}
    for bib, rank, tied in placed(rows):
        if bib not in keys:
            assert (rank, tied) == (None, False)
            continue
        better = sum(other < keys[bib] for other in keys.values())
        equal = sum(other == keys[bib] for other in keys.values())
        assert (rank, tied) == (1 + better, equal > 1)


@given(rosters, st.randoms(use_true_random=False))
def test_the_order_of_the_roster_changes_nothing(
    rows: list[Row], random: Random
) -> None:
    shuffled = list(rows)
    random.shuffle(shuffled)
    assert placed(shuffled) == placed(rows)


@given(rosters)
def test_every_row_is_listed_once_the_ranked_ones_first(rows: list[Row]) -> None:
    result = placed(rows)
    assert sorted(bib for bib, _, _ in result) == sorted(row.bib for row in rows)
    ranks = [rank for _, rank, _ in result]
    with_rank = [rank for rank in ranks if rank is not None]
    assert ranks == sorted(with_rank) + [None] * (len(ranks) - len(with_rank))


@given(rosters, st.data())
def test_a_better_score_never_ranks_lower(rows: list[Row], data: st.DataObject) -> None:
    scored = [row for row in rows if row.score is not None]
    if not scored:
        return
    row = data.draw(st.sampled_from(scored))
    more = row._replace(score=(row.score or 0) + data.draw(st.integers(1, 5)))
    improved = [more if other is row else other for other in rows]
    before = {bib: rank for bib, rank, _ in placed(rows)}[row.bib]
    after = {bib: rank for bib, rank, _ in placed(improved)}[row.bib]
    assert before is not None
    assert after is not None
    assert after <= before


def test_the_row_itself_comes_back() -> None:
    row = Row(1, 5)
    result = ranked([row], key=lambda r: r.score, tie_order=lambda r: r.bib)
    assert result == [Placed(row=row, rank=1, tied=False)]


def test_the_place_after_all_counts_only_those_who_have_one() -> None:
    assert after_all([1, 2, 2, None, None]) == 4
    assert after_all([None]) == after_all([]) == 1


def test_counted_back_a_real_place_is_better_than_none() -> None:
    assert count_back([None, 1]) > count_back([4, 1])
    assert count_back([3, 1, 2]) == (1, 2, 3)
