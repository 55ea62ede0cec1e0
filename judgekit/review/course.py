"""How faults that come again went over the months of a season.

A month without the movement between two others counts as the time it is. Only months
in which it was tried are told.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.review.differences import Count, Difference, chance_alone, difference
from judgekit.review.many import adjusted
from judgekit.review.season import Fault, Month
from judgekit.review.sessions import BELIEVED
from judgekit.review.trend import Level, Trend, trend

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

LEAST_MONTHS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A fault over its months; `by` is the last one less the one before it.

    There is no `trend` with fewer than three months, nor where none can be. The chance
    of both is raised for how many faults are compared; `p` is that of `by`.
    """

    of: Fault
    months: tuple[Month, ...]
    trend: Trend | None
    by: Difference
    p: float

    @property
    def moves(self) -> bool:
        """Whether it surely rises or falls over the months."""
        return self.trend is not None and self.trend.p <= BELIEVED

    @property
    def changed(self) -> bool:
        """Whether the last month surely differs from the one before."""
        return self.p <= BELIEVED and self.by.is_clear


def courses(months: Iterable[Month]) -> tuple[Course, ...]:
    """Of each fault that was held in two months or more, in the order given."""
    found = []
    for of, every in groupby(months, key=lambda one: one.of):
        course = _course(of, [one for one in every if one.rate.attempts])
        found += [course] if course is not None else []
    return _raised(found)


def _course(of: Fault, months: Sequence[Month]) -> Course | None:
    counts = [Count(one.rate.no_reps, one.rate.attempts or 0) for one in months]
    if len(counts) < 2:  # noqa: PLR2004 - a last month, and one before it
        return None
    then, now = counts[-2:]
    by = difference(now, then)
    if by is None:
        return None
    levels = [
        Level(_number(one.month), *count)
        for one, count in zip(months, counts, strict=True)
    ]
    return Course(
        of=of,
        months=tuple(months),
        trend=trend(levels) if len(levels) >= LEAST_MONTHS else None,
        by=by,
        p=chance_alone(now, then),
    )


def _raised(found: Sequence[Course]) -> tuple[Course, ...]:
    """The same, with chances as they are where so many are compared."""
    changes = adjusted([one.p for one in found])
    trends = iter(adjusted([one.trend.p for one in found if one.trend is not None]))
    return tuple(
        replace(
            one,
            p=p,
            trend=None if one.trend is None else replace(one.trend, p=next(trends)),
        )
        for one, p in zip(found, changes, strict=True)
    )


def _number(month: str) -> int:
    """Months counted on through the years."""
    year, of_year = month.split("-")
    return int(year) * 12 + int(of_year)
