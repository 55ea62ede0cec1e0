from __future__ import annotations

import pytest

from judgekit.reports.chart import Bar, drawn_chart, rates_chart, shares_chart
from judgekit.review.faults import rate


def test_rates_stand_above_an_axis_that_holds_every_interval() -> None:
    chart = rates_chart("Faults", [("A", rate(14, 196)), ("B", rate(0, 46))])
    assert chart is not None
    # Wilson's interval of 14 in 196 is 4.30 to 11.63 %; the axis ends at 20 %.
    assert chart.bars[0] == Bar(
        label="A", at=35.71, low=21.51, high=58.16, says="7.1 % (14 of 196)"
    )
    assert chart.bars[1].at == 0
    assert [(mark.at, mark.says) for mark in chart.axis] == [
        (0, "0 %"),
        (20, "4 %"),
        (40, "8 %"),
        (60, "12 %"),
        (80, "16 %"),
        (100, "20 %"),
    ]


@pytest.mark.parametrize(("hits", "tries"), [(0, 1), (1, 1), (200, 200), (3, 4)])
def test_no_bar_leaves_the_chart(hits: int, tries: int) -> None:
    chart = rates_chart("x", [("A", rate(hits, tries))])
    assert chart is not None
    (bar,) = chart.bars
    assert bar.low is not None
    assert bar.high is not None
    assert 0 <= bar.low <= bar.at <= bar.high <= 100


def test_without_a_rate_there_is_no_chart() -> None:
    assert rates_chart("x", [("A", rate(2, None)), ("B", rate(0, 0))]) is None
    assert shares_chart("x", [("A", 0, 0)]) is None


def test_letters_draw_rate_and_range_and_say_the_numbers() -> None:
    chart = rates_chart("x", [("Push-up", rate(14, 196)), ("李雷", rate(5, 100))])
    assert chart is not None
    first, second, axis, key = drawn_chart(chart, 70)
    assert (
        first
        == "Push-up           -----o----------                   7.1 % (14 of 196)"
    )
    # A wide letter takes two cells: both lines begin their bars in the same one.
    assert (
        second
        == "李雷         ------o-------------                    5.0 % (5 of 100)"
    )
    assert axis.split() == ["0", "%", "20", "%"]
    assert key.strip() == "o the rate, --- where it likely lies"


def test_a_share_is_a_bar_from_nothing() -> None:
    chart = shares_chart("x", [("A", 3, 4), ("B", 0, 4)])
    assert chart is not None
    assert [(bar.at, bar.low, bar.says) for bar in chart.bars] == [
        (75, None, "3 of 4"),
        (0, None, "0 of 4"),
    ]
    lines = drawn_chart(chart, 40)
    assert (lines[0].count("="), lines[1].count("=")) == (22, 0)
