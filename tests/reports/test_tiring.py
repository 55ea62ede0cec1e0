from __future__ import annotations

import json
import random
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.reports.layout import as_table
from judgekit.reports.tiring import (
    half_words,
    stretches,
    table_words,
    together_lines,
    when_data,
    when_table,
    when_words,
)
from judgekit.review.faults import rate
from judgekit.review.halves import Halves
from judgekit.review.tiring import Place, Tiring, tiring
from judgekit.review.trend import Ratio
from tests.review.made_rows import facts, simulated

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.review.tiring import Along


def of(missed: Callable[[int], float], along: Along = "rep", many: int = 16) -> Tiring:
    drawn = random.Random(3)  # noqa: S311 - the same athletes every time
    lanes = [simulated(facts(str(n)), drawn, missed) for n in range(many)]
    return tiring(lanes, along, random.Random(1))  # noqa: S311


def test_late_no_reps_are_told_with_both_rates_and_how_sure_that_is() -> None:
    found = of(lambda rep: 0.03 if rep < 9 else 0.12)
    one = found.doubling
    assert one is not None
    words = when_words(found)
    assert words.startswith("By rep of the set: no-reps come late: ")
    assert f"before rep {one.at}" in words
    assert f"from rep {one.at} on" in words
    assert f"at the earliest from rep {one.earliest}, at the latest from" in words
    assert "an estimate, each athlete held against their own rate" in words
    exact = replace(one, earliest=one.at, latest=one.at)
    assert "hardly anywhere else" in when_words(replace(found, doubling=exact))


def test_early_level_and_few_no_reps_are_told_as_such() -> None:
    assert "come early" in when_words(of(lambda rep: 0.2 if rep < 4 else 0.02))
    assert "nothing shows" in when_words(of(lambda _: 0.06))
    assert "too few to tell" in when_words(of(lambda _: 0.06, many=2))


def test_a_table_that_rises_though_nobody_does_says_what_that_may_mean() -> None:
    """Hard movements come late: all together rise, nobody does within their own."""

    def level(*counts: tuple[int, int]) -> Tiring:
        places = tuple(
            Place(at=at, rate=rate(*count), athletes=9)
            for at, count in enumerate(counts, 1)
        )
        found = replace(of(lambda _: 0.06), places=places, trend=None, halves=None)
        return replace(found, unsure="level", doubling=None)

    rises, falls = level((5, 200), (30, 200)), level((30, 200), (5, 200))
    assert table_words(rises).endswith(
        "All together they become more, which may only mean that movements or athletes "
        "with many no-reps come late."
    )
    assert table_words(falls).endswith("with many no-reps come early.")
    means = "which may only mean that movements or athletes with many no-reps come"
    assert together_lines([rises, replace(rises, along="minute"), falls]) == (
        f"By rep of the set and minute all together they become more, {means} late.",
        f"By rep of the set all together they become fewer, {means} early.",
    )
    assert "All together" not in table_words(level((9, 200), (10, 200)))
    assert together_lines([level((9, 200), (10, 200))]) == ()
    assert "All together" not in table_words(level((0, 200), (0, 200)))
    up, down = when_data([rises, falls])
    z, p = up["together_z"], up["together_p"]
    # Two rows: the square is Pearson's, 400 (5 * 170 - 30 * 195)^2 / (200^2 35 365).
    assert (z, p) == (4.4237, 0.0)
    assert down["together_z"] == -4.4237


def test_a_rise_whose_beginning_cannot_be_told_says_so() -> None:
    found = replace(of(lambda rep: 0.03 if rep < 9 else 0.12), doubling=None)
    assert "from where on cannot be told" in when_words(replace(found, unsure="vague"))


def test_the_second_half_is_told_with_its_range_or_that_nobody_can_tell() -> None:
    half = Halves(
        first=rate(10, 200),
        second=rate(30, 200),
        athletes=9,
        times=Ratio(times=2.96, low=1.53, high=5.9),
        odds=None,
        p=0.001,
    )
    assert half_words(half) == (
        "In the second half of a set a no-rep is 3.0 times as likely as in the first "
        "(likely 1.5 to 5.9 times), each athlete held against themselves."
    )
    cannot = (
        "Whether a no-rep is likelier in the second half of a set than in the first "
        "cannot be told yet."
    )
    assert half_words(replace(half, p=0.2)) == cannot
    assert half_words(replace(half, times=None)) == cannot
    found = of(lambda _: 0.06)
    assert when_words(replace(found, halves=half)).endswith(half_words(half))
    assert "half" not in when_words(replace(found, halves=replace(half, athletes=4)))
    assert "half" not in when_words(of(lambda _: 0.06, "round"))


def test_stretches_have_about_as_many_attempts_and_lose_none() -> None:
    places = [Place(at=n, rate=rate(1, 10), athletes=1) for n in range(1, 9)]
    assert stretches(places) == [
        (1, 2, rate(2, 20)),
        (3, 4, rate(2, 20)),
        (5, 6, rate(2, 20)),
        (7, 8, rate(2, 20)),
    ]
    assert stretches(places[:1]) == [(1, 1, rate(1, 10))]
    assert stretches([]) == []


def test_the_table_has_words_below_and_nothing_says_nothing() -> None:
    table = when_table([of(lambda _: 0.06), tiring([], "round", random.Random(1))])  # noqa: S311
    assert {row[0] for row in table.rows} == {"rep"}
    assert len(table.notes) == 1
    text = as_table(table)
    assert not any(word in text.lower() for word in ("nan", "inf", "none"))


def test_data_has_every_place_with_its_attempts() -> None:
    (data,) = when_data([of(lambda rep: 0.03 if rep < 9 else 0.12)])
    json.dumps(data, allow_nan=False)
    places = data["places"]
    assert isinstance(places, list)
    assert [place["at"] for place in places] == list(range(1, 16))
    assert all(place["attempts"] for place in places)
    assert isinstance(data["doubled"], dict)
    half = data["second_half"]
    assert isinstance(half, dict)
    assert half["times_low"] < half["times"] < half["times_high"]
    assert half["odds_ratio"] > half["times"]
