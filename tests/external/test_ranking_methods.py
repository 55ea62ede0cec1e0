"""Standard competition ranking against a published list and scipy.

Rosetta Code, "Ranking methods": the scores 44 42 42 41 41 41 39, best first. With two
separate ties they part our ranks from dense ones (1 2 2 3 3 3 4).
"""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import rankdata

from judgekit.core.ranking import ranked


def ranks(scores: list[int]) -> list[int | None]:
    """The rank of each score, in the order given, more being better."""
    numbered = list(enumerate(scores))
    places = {
        p.row: p.rank
        for p in ranked(numbered, key=lambda r: -r[1], tie_order=lambda r: r[0])
    }
    return [places[row] for row in numbered]


def test_the_published_list_gets_its_standard_ranks() -> None:
    assert ranks([44, 42, 42, 41, 41, 41, 39]) == [1, 2, 2, 4, 4, 4, 7]


@given(st.lists(st.integers(-20, 20), max_size=40))
def test_agrees_with_scipy(scores: list[int]) -> None:
    expected = rankdata([-score for score in scores], method="min")
    assert ranks(scores) == [int(rank) for rank in expected]


def test_the_published_list_in_all_of_its_five_ways() -> None:
    """Which of them we are: the first; the fractional one where tied places are shared.

    Ranks computed by scipy from the published definitions.
    """
    scores = [-44, -42, -42, -41, -41, -41, -39]
    ways = {
        "min": [1, 2, 2, 4, 4, 4, 7],
        "max": [1, 3, 3, 6, 6, 6, 7],
        "dense": [1, 2, 2, 3, 3, 3, 4],
        "ordinal": [1, 2, 3, 4, 5, 6, 7],
        "average": [1, 2.5, 2.5, 5, 5, 5, 7],
    }
    for method, expected in ways.items():
        assert list(rankdata(scores, method=method)) == expected
    ours = ranks([-score for score in scores])
    assert [method for method, found in ways.items() if found == ours] == ["min"]
