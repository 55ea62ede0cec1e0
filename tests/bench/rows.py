"""Rows of the bench: what is compared, in which unit, and how good it should be."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from tests.bench.arithmetic import Measured, Verdict, compare, steady, verdict

if TYPE_CHECKING:
    from collections.abc import Iterator

LEAST_ROUNDS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How this run measures: where it may write, and whether it only takes a look."""

    folder: Path
    quick: bool = False
    kills: int = 2000
    seed: int = 1
    chance: random.Random = field(default_factory=lambda: random.Random(1))  # noqa: S311 - order, not secrets

    def rounds(self, many: int = LEAST_ROUNDS) -> int:
        """How many rounds: never under five, except for a look."""
        return 2 if self.quick else max(many, LEAST_ROUNDS)

    def some(self, many: int) -> int:
        """How many times within a round."""
        return max(1, many // 4) if self.quick else many


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One comparison. `goals` says for each percentile the most the ratio may be.

    Times are measured in seconds (memory in bytes); `scale` makes them the `unit`.
    `label` names what each time already is, where it is no single time.
    """

    name: str
    says: str
    unit: str = "ms"
    scale: float = 1e3
    goals: Mapping[str, float | None]
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the table; what does not apply is None or empty."""

    row: str
    says: str
    stat: str
    unit: str
    product: float
    floor: float | None = None
    ratio: float | None = None
    goal: str = ""
    again: float | None = None
    verdict: Verdict = ""


def growth_line(row: str, says: str, power: float, most: float) -> Line:
    """By which power something grows, and the most that it may be."""
    return Line(
        row=row,
        says=says,
        stat="power",
        unit="",
        product=power,
        goal=f"<= {most:g}",
        verdict="ok" if power <= most else "MISSED",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Rows that are measured together; `measure` is told which of them are wanted."""

    names: tuple[str, ...]
    measure: Callable[[Sequence[str], Setting], Iterable[Line]]


def lines(row: Row, measured: Measured) -> Iterator[Line]:
    """A row's lines, one for each percentile that it reports."""
    is_steady = steady(measured)
    for stat, goal in row.goals.items():
        found = compare(measured, stat)
        yield Line(
            row=row.name,
            says=row.says,
            stat=row.label or stat,
            unit=row.unit,
            product=found.product * row.scale,
            floor=found.floor * row.scale,
            ratio=found.ratio,
            goal="" if goal is None else f"<= {goal:g}",
            again=found.again,
            verdict=verdict(found.ratio, goal, is_steady=is_steady),
        )


def shuffled(names: Iterable[str], chance: random.Random) -> list[str]:
    """The contenders in another order, so that none always follows the same one."""
    order = list(names)
    chance.shuffle(order)
    return order


def in_rounds(
    measures: Mapping[str, Callable[[], float]],
    rounds: int,
    each: int,
    chance: random.Random,
) -> dict[str, tuple[tuple[float, ...], ...]]:
    """Each contender measured `each` times in every round, shuffled with the others."""
    found: dict[str, list[tuple[float, ...]]] = {name: [] for name in measures}
    for _ in range(rounds):
        times: dict[str, list[float]] = {name: [] for name in measures}
        for _ in range(each):
            for name in shuffled(measures, chance):
                times[name].append(measures[name]())
        for name, values in times.items():
            found[name].append(tuple(values))
    return {name: tuple(values) for name, values in found.items()}
