"""How faults that come again went: over all months, and in the last one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.ratewords import out_of, points, rounded
from judgekit.reports.seasonnames import fault_cells
from judgekit.review.course import LEAST_MONTHS, Course, courses

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.reports.seasonnames import Names
    from judgekit.review.season import Month

_COURSE = (
    "Over the months: it rises or falls where chance alone would hardly do it "
    f"(Cochran-Armitage's test, from {LEAST_MONTHS} months on). Change: the last month "
    "(now) less the one before (then), in points of 100; likely: where it lies with "
    "95 of 100 (Newcombe's interval). Fewer or more is said as rarely (Fisher's exact "
    "test), and all of it given how many faults are compared (Benjamini and Hochberg)."
)
_CANNOT = "cannot tell"
_COURSES = (
    Column(name="Movement", key="movement"),
    Column(name="Fault", key="fault"),
    Column(name="Watched", key="watched"),
    Column(name="Over the months", key="course"),
    Column(name="Last month", key="last"),
    Column(name="Now", key="now", align="right"),
    Column(name="Month before", key="before"),
    Column(name="Then", key="then", align="right"),
    Column(name="Change", key="change", align="right"),
    Column(name="Likely", key="likely", align="right"),
    Column(name="Fewer or more", key="says"),
)


def course_table(names: Names, months: Sequence[Month]) -> Table:
    """How faults that come again went: over all months, and in the last one."""
    return Table(
        title="How it went",
        columns=_COURSES,
        rows=tuple(_course(names, one) for one in courses(months)),
        notes=(_COURSE,),
    )


def _course(names: Names, one: Course) -> tuple[Cell, ...]:
    then, now = one.months[-2:]
    by, low, high = points(one.by.by, one.by.low, one.by.high)
    return (
        *fault_cells(names, one.of, people=True),
        one.of.watched,
        _course_word(one),
        now.month,
        out_of(now.rate),
        then.month,
        out_of(then.rate),
        by,
        f"{low} to {high}",
        _change_word(one),
    )


def _course_word(one: Course) -> str:
    if one.trend is None or not one.moves:
        return _CANNOT
    return "rises" if one.trend.z > 0 else "falls"


def _change_word(one: Course) -> str:
    if not one.changed:
        return _CANNOT
    return "more" if one.by.low > 0 else "fewer"


def course_data(names: Names, one: Course) -> dict[str, object]:
    movement, fault = fault_cells(names, one.of, people=False)
    return {
        "movement": movement,
        "fault": fault,
        "watched": one.of.watched,
        "months": len(one.months),
        "trend_z": rounded(one.trend.z) if one.trend else None,
        "trend_p": rounded(one.trend.p) if one.trend else None,
        "course": _course_word(one),
        "last": one.months[-1].month,
        "before": one.months[-2].month,
        "difference": rounded(one.by.by),
        "difference_low": rounded(one.by.low),
        "difference_high": rounded(one.by.high),
        "p_adjusted": rounded(one.p),
        "says": _change_word(one),
    }
