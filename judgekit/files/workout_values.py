"""Values of a workout that may be one, one for each round, or a table by division."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import field
from fractions import Fraction
from typing import TYPE_CHECKING, TypeVar

from judgekit.core import quantity
from judgekit.core.errors import Problem
from judgekit.core.people import Division
from judgekit.core.values import dataclass
from judgekit.core.workout import ByDivision
from judgekit.files.fields import duration_of, length_of, mass_of
from judgekit.files.toml import Document
from judgekit.files.wording import kind_of, listed, one_of, quoted, shown_value

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.quantity import Quantity
    from judgekit.files.lines import KeyPath

T = TypeVar("T")

_MOST = 100_000
# As many as can be done.
MAX = "max"
# Markings of one thing in two units differ by rounding: 10 kg and 25 lb, by 13 %.
_PAIR_APART = Fraction(15, 100)
_PAIR = 2


@dataclass(slots=True, kw_only=True)
class Reader:
    """Reads values out of one document; what is wrong gathers in `problems`.

    Each method takes the path of a value and the value, and gives None where the
    value cannot be used, with the reason among the problems. `rounds` is how many
    rounds a list must cover; None for a window, whose last round repeats.
    """

    document: Document
    divisions: Sequence[Division]
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, path: KeyPath, what: str, right: str = "") -> None:
        """Adds a problem."""
        self.problems.append(self.document.problem(path, what, right))

    def by_division(
        self, path: KeyPath, value: object, read: Callable[[KeyPath, object], T | None]
    ) -> ByDivision[T] | None:
        """One value for all, or a table with a value for every division."""
        if not isinstance(value, dict):
            one = read(path, value)
            return None if one is None else ByDivision(same=one)
        complete = self._covers_divisions(path, list(value))
        pairs = [(key, read((*path, key), item)) for key, item in value.items()]
        found = tuple((key, item) for key, item in pairs if item is not None)
        return (
            ByDivision(by_key=found) if complete and len(found) == len(pairs) else None
        )

    def _covers_divisions(self, path: KeyPath, keys: list[str]) -> bool:
        known = {d.id: None for d in self.divisions}
        known.update((d.standard, None) for d in self.divisions)
        unknown = [key for key in keys if self.divisions and key not in known]
        for key in unknown:
            self.wrong((*path, key), "is no division or standard", one_of(key, known))
        without = [
            d.id for d in self.divisions if d.id not in keys and d.standard not in keys
        ]
        if without:
            self.wrong(
                path,
                f"has no value for {listed(without)}",
                "add one for each division, by its id or its standard",
            )
        if not keys:
            self.wrong(path, "is an empty table", "write one value, or one for each")
        return bool(keys) and not unknown and not without

    def whole(self, path: KeyPath, value: object) -> int | None:
        """A whole number from 1 to 100000."""
        if isinstance(value, bool):
            self.wrong(
                path, f"is {shown_value(value)}, which is not a number", "write one"
            )
        elif isinstance(value, float) and not math.isfinite(value):
            self.wrong(path, "is inf or nan", "write a whole number")
        elif isinstance(value, float):
            self.wrong(path, f"is {value:g} with a decimal point", "write it without")
        elif not isinstance(value, int):
            self.wrong(path, f"is {kind_of(value)}", "write a whole number")
        elif not 1 <= value <= _MOST:
            self.wrong(path, f"is {value}", f"it must be from 1 to {_MOST}")
        else:
            return value
        return None

    def amount(self, path: KeyPath, value: object) -> int | None:
        """A whole number, or 0 for "max": as many as can be done."""
        if value == MAX:
            return 0
        if isinstance(value, str):
            what = f"is {kind_of(value)}"
            self.wrong(path, what, f'write a whole number, or "{MAX}"')
            return None
        return self.whole(path, value)

    def amounts(
        self, path: KeyPath, value: object, rounds: int | None
    ) -> tuple[int, ...] | None:
        """One amount, or one for each round."""
        if not isinstance(value, list):
            one = self.amount(path, value)
            return None if one is None else (one,)
        return self._each_round(path, value, rounds, self.amount)

    def loads(
        self, path: KeyPath, value: object, rounds: int | None
    ) -> tuple[Quantity, ...] | None:
        """One load, one thing marked in two units, or a load for each round."""
        if not isinstance(value, list) or _is_pair(value):
            one = self.load(path, value)
            return None if one is None else (one,)
        return self._each_round(path, value, rounds, self.load)

    def load(self, path: KeyPath, value: object) -> Quantity | None:
        """One load."""
        return self._measure(path, value, mass_of)

    def height(self, path: KeyPath, value: object) -> Quantity | None:
        """One height."""
        return self._measure(path, value, length_of)

    def duration(self, path: KeyPath, value: object) -> int | None:
        """One time, in ms."""
        try:
            return duration_of(value)
        except ValueError as error:
            self._wrong_value(path, error)
            return None

    def _each_round(
        self,
        path: KeyPath,
        items: list[object],
        rounds: int | None,
        read: Callable[[KeyPath, object], T | None],
    ) -> tuple[T, ...] | None:
        fits = bool(items) and rounds in (None, len(items))
        if not fits:
            want = "at least one" if rounds is None else f"one for each of {rounds}"
            self.wrong(
                path,
                f"has {len(items)} {'value' if len(items) == 1 else 'values'}",
                f"write one value for all rounds, or {want}",
            )
        found = [read((*path, at), item) for at, item in enumerate(items)]
        whole = tuple(item for item in found if item is not None)
        return whole if fits and len(whole) == len(found) else None

    def _measure(
        self, path: KeyPath, value: object, parse: Callable[[object], Quantity]
    ) -> Quantity | None:
        try:
            if isinstance(value, list):
                return _pair_of(value, parse)
            return _above_zero(parse(value))
        except ValueError as error:
            self._wrong_value(path, error)
            return None

    def _wrong_value(self, path: KeyPath, error: ValueError) -> None:
        what, _, right = str(error).partition("; ")
        self.wrong(path, what, right)


def _above_zero(measured: Quantity) -> Quantity:
    if not measured.amount:
        raise ValueError(f"is {quoted(measured.written)}; it must be above zero")
    return measured


def _is_pair(items: list[object]) -> bool:
    """Whether a list marks one thing in two units, rather than two rounds."""
    if len(items) != _PAIR:
        return False
    try:
        first, second = (quantity.parse(str(item)) for item in items)
    except ValueError:
        return False
    return first.unit != second.unit


def _pair_of(items: list[object], parse: Callable[[object], Quantity]) -> Quantity:
    if not _is_pair(items):
        raise ValueError(
            "is a list, but not one thing marked in two units; write one value, "
            "or both markings"
        )
    first, second = (_above_zero(parse(item)) for item in items)
    if abs(first.amount - second.amount) > _PAIR_APART * first.amount:
        raise ValueError(
            f"holds {quoted(first.written)} and {quoted(second.written)}, too far "
            "apart for one thing marked twice; for two rounds write both in one unit"
        )
    return quantity.pair(first, second)
