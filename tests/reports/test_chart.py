from __future__ import annotations

import pytest

from judgekit.reports.chart import (
    Rates,
    Split,
    Splits,
    bars_of,
    drawn_chart,
    rates_chart,
    splits_chart,
)
from judgekit.review.faults import rate

PARTS = ("one piece", "two", "three or more")


def rates(*rows: tuple[str, int, int]) -> Rates:
    chart = rates_chart("x", [(label, rate(hits, of)) for label, hits, of in rows])
    assert chart is not None
    return chart


def splits(*rows: tuple[str, tuple[int, ...]]) -> Splits:
    chart = splits_chart(
        "x", "sets", PARTS, [Split(label=label, parts=parts) for label, parts in rows]
    )
    assert chart is not None
    return chart


@pytest.mark.parametrize(
    ("hits", "tries", "end"),
    # Wilson's intervals end at 11.6, 14.9, 65.8 and 100 %.
    [(14, 196, 15), (3, 49, 20), (1, 3, 80), (1, 1, 100), (0, 2000, 5)],
)
def test_the_axis_holds_every_interval_and_ends_at_a_round_number(
    hits: int, tries: int, end: int
) -> None:
    chart = rates(("A", hits, tries))
    assert chart.end == end
    low, middle, high = chart.rows[0].ends
    assert 0 <= low <= middle <= high <= end


def test_without_a_rate_there_is_no_chart() -> None:
    assert rates_chart("x", [("A", rate(2, None)), ("B", rate(0, 0))]) is None
    assert splits_chart("x", "sets", PARTS, [Split(label="A", parts=(0, 0))]) is None


def test_letters_draw_rate_and_range_and_say_the_numbers() -> None:
    first, second, axis, key = drawn_chart(
        rates(("Push-up", 14, 196), ("李雷", 5, 100)), 70
    )
    # In 42 cells up to 15 %: Wilson's ends of 14 in 196 are 4.30 and 11.63 %.
    line = f"{' ' * 12}{'-' * 8}o{'-' * 12}{' ' * 9}"
    assert first == f"Push-up  {line}  7.1 % (14 of 196)"
    # A wide letter takes two cells: both lines begin their bars in the same one.
    # Wilson's ends of 5 in 100 are 2.15 and 11.18 %.
    line = f"{' ' * 6}{'-' * 8}o{'-' * 17}{' ' * 10}"
    assert second == f"李雷     {line}  5.0 % (5 of 100)"
    assert axis.split() == ["0", "%", "15", "%"]
    assert key.strip() == "o the rate, --- where it likely lies"


def test_parts_fill_the_whole_each_with_its_own_sign() -> None:
    chart = splits(("A", (2, 1, 1)), ("B", (0, 0, 7)), ("C", (5, 0, 0)))
    assert [row.says for row in chart.rows] == [
        *("2, 1, 1 of 4", "0, 0, 7 of 7", "5, 0, 0 of 5")
    ]
    a, b, c, axis, key = drawn_chart(chart, 39)
    assert a == f"A  {'=' * 11}{'-' * 5}{'.' * 6}  2, 1, 1 of 4"
    assert (b.count("."), c.count("=")) == (22, 22)
    assert axis.split() == ["0", "%", "100", "%"]
    assert key.strip() == "= one piece, - two, . three or more"


def test_along_the_work_where_each_rate_likely_lies_is_said_too() -> None:
    """No table beside that picture has it."""
    along = rates_chart("x", [("1", rate(14, 196))], "round")
    assert along is not None
    first, *_ = drawn_chart(along, 80)
    assert first.endswith("  7.1 % (14 of 196), likely 4.3 to 11.6 %")


def test_bars_have_a_range_for_each_row_that_has_a_rate_and_one_axis() -> None:
    bars = bars_of([rate(14, 196), rate(2, None), rate(0, 46)], rate(14, 242))
    assert bars is not None
    first, none, third = bars.ranges
    assert first == pytest.approx((4.302, 7.143, 11.631), abs=0.001)
    assert none is None
    assert third == pytest.approx((0, 0, 7.707), abs=0.001)
    assert bars.end == 15
    assert bars.whole == pytest.approx(5.785, abs=0.001)
    assert bars.key.endswith("; dashed: all together, 5.8 %.")
    assert bars_of([rate(2, None), rate(0, 0)]) is None
    alone = bars_of([rate(1, 3)], rate(0, 0))
    assert alone is not None
    assert (alone.whole, "dashed" in alone.key) == (None, False)
