"""The measures of a card: what the trade usually loads, how high and how far."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from judgekit.core.card import Measure
from judgekit.core.quantity import pair
from judgekit.files.fields import length_of, mass_of
from judgekit.files.wording import kind_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.core.errors import Problem
    from judgekit.core.quantity import Quantity
    from judgekit.files.lines import KeyPath
    from judgekit.files.models import MeasureModel
    from judgekit.files.toml import Document

EVERYBODY = "all"
_MOST_UNITS = 2


def read_measures(
    document: Document, rows: Iterable[MeasureModel], problems: list[Problem]
) -> tuple[Measure, ...]:
    """The measures that are right; what is wrong with others goes to `problems`."""
    found: list[Measure] = []
    for at, row in enumerate(rows):
        path: KeyPath = ("measure", at, "value")
        by_key = dict(_by_key(document, row, path, problems))
        found.append(
            Measure(
                id=row.id, kind=row.kind, says=row.says, by_key=tuple(by_key.items())
            )
        )
    return tuple(found)


def _by_key(
    document: Document, row: MeasureModel, path: KeyPath, problems: list[Problem]
) -> Iterator[tuple[str, Quantity]]:
    given = row.value if isinstance(row.value, Mapping) else {EVERYBODY: row.value}
    if not given:
        right = 'write { men = "24 in", women = "20 in" }'
        problems.append(document.problem(path, "is empty", right))
    for key, value in given.items():
        place = (*path, key) if isinstance(row.value, Mapping) else path
        try:
            yield key, _quantity(row, value)
        except ValueError as error:
            what, _, right = str(error).partition("; ")
            problems.append(document.problem(place, what, right))


def _quantity(row: MeasureModel, value: object) -> Quantity:
    """One quantity, or a thing marked in both units; else ValueError for a coach."""
    values = value if isinstance(value, list) else [value]
    read = mass_of if row.kind == "load" else length_of
    found = [read(one) for one in values]
    if not 1 <= len(found) <= _MOST_UNITS:
        raise ValueError(
            f'is {kind_of(value)}; write one value, or both units: ["9 kg", "20 lb"]'
        )
    if not all(quantity.amount for quantity in found):
        raise ValueError("is nought; a measure is above zero")
    return found[0] if len(found) == 1 else pair(*found)
