"""Rates as people read them, and as cells: never a rate without its attempts."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.reports.layout import Cell, Column, Table

if TYPE_CHECKING:
    from judgekit.review.faults import Rate

DECIMALS = 4
FEW = "few"
NOT_COUNTED = "not counted"

# A rate in data: between 0 and 1, empty without attempts.
COUNTS = (
    Column(name="Attempts", key="attempts", align="right"),
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Rate", key="rate", align="right"),
    Column(name="Low", key="low", align="right"),
    Column(name="High", key="high", align="right"),
)
# Beside them in data: a fault's no-reps and the good reps are not all attempts.
GOOD = Column(name="Good", key="good", align="right")
# The same for people, in as few cells as can be.
SEEN = (
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Rate", key="rate", align="right"),
    Column(name="Likely", key="likely", align="right"),
)
REMARK = Column(name="", key="remark")


def percent(part: float) -> str:
    """A part of one, in per cent."""
    return f"{part:.1%}".replace("%", " %")


def percents(rate: Rate) -> tuple[Cell, ...]:
    """Attempts, no-reps, rate, low and high, in per cent."""
    return (
        rate.attempts,
        rate.no_reps,
        *(
            None if part is None else percent(part)
            for part in (rate.rate, rate.low, rate.high)
        ),
    )


def numbers(rate: Rate) -> tuple[Cell, ...]:
    """The same between 0 and 1."""
    return (
        rate.attempts,
        rate.no_reps,
        *(rounded(part) for part in (rate.rate, rate.low, rate.high)),
    )


def rounded(part: float | None) -> float | None:
    """A number of data, without digits that mean nothing."""
    return None if part is None else round(part, DECIMALS)


def out_of(rate: Rate) -> str:
    """No-reps out of attempts: "3 of 49"."""
    if rate.attempts is None:
        return f"{rate.no_reps} of ?"
    return f"{rate.no_reps} of {rate.attempts}"


def attempts_words(rate: Rate) -> str:
    """The same in words: "3 of 49 attempts"."""
    return f"{out_of(rate)} attempt{'' if rate.attempts == 1 else 's'}"


def likely(rate: Rate) -> str | None:
    """Between which two the rate lies with 95 of 100: "2.1 to 16.5 %"."""
    if rate.low is None or rate.high is None:
        return None
    return f"{rate.low * 100:.1f} to {percent(rate.high)}"


def is_told(rate: Rate) -> bool:
    """Whether there is anything to say of it: attempts, or a no-rep without them."""
    return bool(rate.attempts or rate.no_reps)


def athletes_words(athletes: int, of_athletes: int) -> str | None:
    """How many athletes, out of how many: "3 of 12"; nothing where nobody tried."""
    return f"{athletes} of {of_athletes}" if of_athletes else None


def seen(rate: Rate) -> tuple[Cell, ...]:
    """A rate for people: out of how many, the rate, and where it likely lies."""
    return (
        out_of(rate) if is_told(rate) else None,
        None if rate.rate is None else percent(rate.rate),
        likely(rate),
    )


def remark(rate: Rate) -> str:
    """What to mind about a rate, if anything."""
    if rate.attempts is None:
        return NOT_COUNTED if rate.no_reps else ""
    return FEW if rate.is_small else ""


def without(table: Table, columns: set[Column]) -> Table:
    """The table without some of its columns."""
    kept = [place for place, c in enumerate(table.columns) if c not in columns]
    return replace(
        table,
        columns=tuple(table.columns[place] for place in kept),
        rows=tuple(tuple(row[place] for place in kept) for row in table.rows),
    )


def without_empty(table: Table, column: Column) -> Table:
    """The table without a column that says nothing in any row."""
    place = table.columns.index(column)
    says = any(row[place] for row in table.rows)
    return table if says else without(table, {column})


def points(*parts: float) -> list[str]:
    """Differences of rates in points of 100, with their signs."""
    return [f"{part * 100:+z.1f}".replace("+0.0", "0.0") for part in parts]


def change_words(by: float, low: float, high: float) -> str:
    """A difference with its interval: "-12.0 points, likely -20.1 to -3.2"."""
    shown, least, most = points(by, low, high)
    return f"{shown} points, likely {least} to {most}"
