"""[overall] of event.toml: how the whole contest is ranked.

Annotations are evaluated here, since the models are made of them.
"""

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

from pydantic import Field

from judgekit.core import quantity
from judgekit.core.errors import Problem
from judgekit.core.points import (
    Formula,
    Levels,
    Method,
    NoHeat,
    Overall,
    Substituted,
    TiedPoints,
)
from judgekit.files.toml import Document, FileModel
from judgekit.files.wording import kind_of, quoted

_MOST = 1_000_000
_NUMBER = re.compile(r"\d{1,7}(?:\.\d{1,9})?", re.ASCII)
_LEVEL = 2
_FORMULA = ("a", "b", "c")


class OverallModel(FileModel):
    """[overall]; numbers are read by `read_overall`, which keeps them exact."""

    method: Method = "places"
    table: list[Any] | None = None
    ties: TiedPoints = "equal"
    substituted: Substituted = "together"
    no_heat: NoHeat = "last"
    weights: dict[str, Any] = Field(default_factory=dict, max_length=99)
    results: dict[str, Any] = Field(default_factory=dict, max_length=99)


def read_overall(
    model: OverallModel | None, document: Document, problems: list[Problem]
) -> Overall:
    """How the event ranks its whole contest; what is wrong goes to `problems`."""
    if model is None:
        return Overall()
    reading = _Reading(document, problems)
    table = [reading.number(("table", at), v) for at, v in enumerate(model.table or ())]
    weights = {
        name: reading.weight(("weights", name), value)
        for name, value in model.weights.items()
    }
    results = {
        name: reading.rule(("results", name), value)
        for name, value in model.results.items()
    }
    _check_fits(model, reading)
    return Overall(
        method=model.method,
        table=tuple(table),
        tied=model.ties,
        weights=tuple(weights.items()),
        by_result=tuple((n, rule) for n, rule in results.items() if rule is not None),
        substituted=model.substituted,
        no_heat=model.no_heat,
    )


class _Reading:
    """Values of the table; what is wrong is added to the file's problems."""

    def __init__(self, document: Document, problems: list[Problem]) -> None:
        self._document = document
        self._problems = problems

    def wrong(self, path: tuple[str | int, ...], what: str, right: str) -> None:
        where = ("overall", *path)
        self._problems.append(self._document.problem(where, what, right))

    def number(self, path: tuple[str | int, ...], value: object) -> Fraction:
        try:
            return Fraction(_exact(value))
        except ValueError as error:
            self.wrong(path, str(error), "write points such as 100 or 97.5")
            return Fraction()

    def weight(self, path: tuple[str | int, ...], value: object) -> Fraction:
        found = self.number(path, value)
        if not found:
            self.wrong(path, "is no weight", "write 2 for a workout that counts double")
        return found

    def rule(
        self, path: tuple[str | int, ...], value: object
    ) -> Formula | Levels | None:
        """A formula { a, b, c, more-is-better } or a list of [result, points]."""
        try:
            if isinstance(value, list):
                return _levels(value)
            return _formula(value)
        except ValueError as error:
            right = (
                "write { a = 10, b = 60, c = 1.5 }, or a list of a result and its "
                'points, [["20", 100], ["15", 75]]'
            )
            self.wrong(path, str(error), right)
            return None


def _check_fits(model: OverallModel, reading: _Reading) -> None:
    """Each method has what it needs, and nothing that it would not read."""
    if (model.method == "table") != (model.table is not None):
        needs = (
            "has no table" if model.table is None else "has a table it does not read"
        )
        right = 'write method = "table" and table = [100, 94, 88] together'
        reading.wrong(("method",), needs, right)
    if (model.method == "results") != bool(model.results):
        needs = (
            "has no results" if not model.results else "has results it does not read"
        )
        right = 'write method = "results" and [overall.results] together'
        reading.wrong(("method",), needs, right)


def _exact(value: object) -> Decimal:
    """A number as it was written, from 0 on."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"is {kind_of(value)}, no number")  # noqa: TRY004
    number = Decimal(repr(value))
    if not 0 <= number <= _MOST:
        raise ValueError(f"is {value}, out of range")
    return number


def _formula(value: object) -> Formula:
    if not isinstance(value, dict):
        raise ValueError(f"is {kind_of(value)}")  # noqa: TRY004 told like the others
    unknown = sorted(set(value) - {*_FORMULA, "more-is-better"})
    missing = [name for name in _FORMULA if name not in value]
    if unknown or missing:
        word = f"has {quoted(unknown[0])}" if unknown else f"has no {missing[0]}"
        raise ValueError(f"{word}, so it is no formula")
    rising = value.get("more-is-better", False)
    if not isinstance(rising, bool):
        raise ValueError("has a more-is-better other than true or false")  # noqa: TRY004
    a, b, c = (_exact(value[name]) for name in _FORMULA)
    return Formula(a=a, b=b, c=c, rising=rising)


def _levels(rows: list[object]) -> Levels:
    found = [_level(row) for row in rows]
    kinds = {is_time for _, _, is_time in found}
    if len(kinds) != 1:
        raise ValueError("has no levels, or times among other results")
    levels = tuple((result, points) for result, points, _ in found)
    ordered = sorted(levels, reverse=kinds == {True})
    points = [value for _, value in ordered]
    if points != sorted(points) or len({r for r, _ in levels}) < len(levels):
        raise ValueError("has a better result with fewer points, or one result twice")
    return Levels(rows=levels, rising=kinds == {False})


def _level(row: object) -> tuple[Fraction, Fraction, bool]:
    """A result ("13:22", "20" or "62.5 kg"), its points, and whether it is a time."""
    if not isinstance(row, list) or len(row) != _LEVEL or not isinstance(row[0], str):
        raise ValueError('has a row that is not a result and its points, ["20", 100]')
    text, points = row[0].strip(), Fraction(_exact(row[1]))
    if _NUMBER.fullmatch(text):
        return Fraction(text), points, False
    try:
        return Fraction(quantity.parse_duration(text), 1000), points, True
    except ValueError:
        return quantity.parse_as(text, "mass").amount, points, False
