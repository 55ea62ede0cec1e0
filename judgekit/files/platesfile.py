"""[plates] of event.toml: collars, and the discs that lie at each bar.

Annotations are evaluated here, since the models are made of them.
"""

from typing import Annotated, Any

from pydantic import PlainValidator

from judgekit.core.errors import Problem
from judgekit.core.plates import Disc, Plates
from judgekit.core.quantity import Quantity
from judgekit.files.fields import mass_of
from judgekit.files.toml import Document, FileModel
from judgekit.files.wording import kind_of

_MOST_PAIRS = 20
_HEAVIEST_KG = 100


class PlatesModel(FileModel):
    """[plates]; its discs are read by `read_plates`, as their names are masses."""

    collar: Annotated[Quantity | None, PlainValidator(mass_of)] = None
    coloured: bool = False
    discs: dict[str, Any] | None = None


def read_plates(
    model: PlatesModel | None, document: Document, problems: list[Problem]
) -> Plates:
    """The collars and discs of an event; what is wrong goes to `problems`.

    Without the table, bars have no collars and there are enough discs of each kind.
    """
    if model is None:
        return Plates()
    discs: list[Disc] = []
    for name, pairs in (model.discs or {}).items():
        try:
            discs.append(_disc(name, pairs))
        except ValueError as error:
            what, _, right = str(error).partition("; ")
            problems.append(document.problem(("plates", "discs", name), what, right))
    return Plates(collar=model.collar, discs=tuple(discs), coloured=model.coloured)


def _disc(name: str, pairs: object) -> Disc:
    mass = mass_of(name)
    if not 0 < mass.amount <= _HEAVIEST_KG:
        raise ValueError("is no disc; it weighs above 0 kg and at most 100 kg")
    if isinstance(pairs, bool) or not isinstance(pairs, int):
        raise ValueError(  # noqa: TRY004 told like the others
            f"is {kind_of(pairs)}; write how many pairs there are, 2"
        )
    if not 0 <= pairs <= _MOST_PAIRS:
        raise ValueError(f"is {pairs} pairs; write a number from 0 to {_MOST_PAIRS}")
    return Disc(mass=mass, pairs=pairs)
