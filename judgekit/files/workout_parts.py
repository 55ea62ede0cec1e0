"""The parts of a workout: their shapes, their names, their order."""

from __future__ import annotations

from dataclasses import replace
from string import ascii_uppercase
from typing import TYPE_CHECKING, TypeVar, get_args

from judgekit.core.values import dataclass
from judgekit.core.workout import (
    Attempts,
    Every,
    Movement,
    OneHold,
    Part,
    Rounds,
    ScoredBy,
    Shape,
    Take,
)
from judgekit.files.lines import KeyPath
from judgekit.files.wording import quoted
from judgekit.files.workout_shapes import RESTS, WORK, kind_of_part, shape_of
from judgekit.files.workout_targets import Around

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.files.workout_movements import MovementReader
    from judgekit.files.workout_values import Reader

PART_SCORES: tuple[ScoredBy, ...] = ("time", "reps", "load", "reading")
_TAKES: tuple[Take, ...] = get_args(Take)

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRead:
    """One part as far as it could be read; `kind` is empty where it has no one shape.

    `shape` is None where its value cannot be used, `score` and `take` where the part
    says none.
    """

    path: KeyPath
    kind: str
    id: str
    shape: Shape | None
    movements: tuple[Movement, ...]
    score: ScoredBy | None = None
    take: Take | None = None
    scored: bool = True

    @property
    def works(self) -> bool:
        """Whether the athlete works in it."""
        return self.kind in WORK


def read_parts(
    reader: Reader, table: Mapping[str, object], movements: MovementReader
) -> list[PartRead]:
    """Every part of the file; what is wrong gathers in the reader."""
    value = table.get("part")
    rows: list[tuple[KeyPath, Mapping[str, object]]] = [
        (("part", at), row)
        for at, row in enumerate(value if isinstance(value, list) else [])
        if isinstance(row, dict)
    ]
    kinds = [kind_of_part(reader, path, row) for path, row in rows]
    ids = _ids(reader, rows, kinds)
    parts = []
    for (path, row), kind, part_id in zip(rows, kinds, ids, strict=True):
        shape = shape_of(reader, path, row, kind)
        parts.append(
            PartRead(
                path=path,
                kind=kind,
                id=part_id,
                shape=shape,
                movements=_movements(movements, path, row, _around(kind, shape)),
                score=_one_of(row.get("score"), PART_SCORES),
                take=_one_of(row.get("take"), _TAKES),
                scored=row.get("scored") is not False,
            )
        )
    _check_order(reader, parts)
    return parts


def parts_of(
    read: Sequence[PartRead], scores: Mapping[str, ScoredBy]
) -> tuple[Part, ...]:
    """The core's parts, once nothing was wrong; `scores` has those with their own."""
    return tuple(
        Part(
            id=part.id,
            shape=part.shape,
            movements=part.movements,
            score=scores.get(part.id),
            take=part.take or "sum",
            scored=part.scored,
        )
        for part in read
        if part.shape is not None
    )


def _one_of(value: object, known: tuple[T, ...]) -> T | None:
    return next((word for word in known if word == value), None)


def _around(kind: str, shape: Shape | None) -> Around:
    match shape:
        case Rounds():
            return Around(kind=kind, rounds=shape.rounds)
        case Every():
            return Around(kind=kind, rounds=shape.times, in_turn=shape.in_turn)
        case Attempts():
            return Around(kind=kind, rounds=shape.attempts or None)
        case OneHold():
            return Around(kind=kind, rounds=1, hold_s=shape.most_ms // 1000)
        case _:
            return Around(kind=kind)


def _ids(
    reader: Reader,
    rows: Sequence[tuple[KeyPath, Mapping[str, object]]],
    kinds: Sequence[str],
) -> list[str]:
    """Each part's own id, or the next letter for work and a number for a rest."""
    given = [row.get("id") for _path, row in rows]
    for at, (path, _row) in enumerate(rows):
        if given[at] is not None and given[at] in given[:at]:
            reader.wrong(
                (*path, "id"),
                f"is {quoted(given[at])}, which another part has already",
                "give each its own",
            )
    letters = (name for name in _letters() if name not in given)
    rests = (name for name in _rest_names() if name not in given)
    return [
        own if isinstance(own, str) else next(letters if kind in WORK else rests)
        for own, kind in zip(given, kinds, strict=True)
    ]


def _letters() -> Iterator[str]:
    for first in ("", *ascii_uppercase):
        for second in ascii_uppercase:
            yield first + second


def _rest_names() -> Iterator[str]:
    number = 0
    while True:
        number += 1
        yield f"rest-{number}"


def _movements(
    movements: MovementReader,
    path: KeyPath,
    row: Mapping[str, object],
    around: Around,
) -> tuple[Movement, ...]:
    value = row.get("movement", [])
    rows = value if isinstance(value, list) else []
    _check_number(movements.reader, path, rows, around)
    if around.kind in WORK and value == []:
        movements.reader.wrong(path, "has no movement", "add a [[part.movement]]")
    read = [
        movements.movement(
            (*path, "movement", at), movement, replace(around, after=len(rows) - at - 1)
        )
        for at, movement in enumerate(rows)
        if isinstance(movement, dict)
    ]
    return tuple(movement for movement in read if movement is not None)


def _check_number(
    reader: Reader, path: KeyPath, rows: Sequence[object], around: Around
) -> None:
    """How many movements a shape may have."""
    number, at = len(rows), (*path, "movement")
    if around.kind in RESTS and rows:
        reader.wrong(at, "stands in a rest", "move it to a part of its own")
    if around.kind == "hold" and number > 1:
        reader.wrong(at, f"is there {number} times", "a hold is one movement alone")
    if not around.in_turn:
        return
    if number == 1:
        reader.wrong(
            (*path, "in-turn"),
            "needs movements that take turns, and there is one",
            "take it out, or add a [[part.movement]]",
        )
    elif around.rounds and number > around.rounds:
        reader.wrong(
            (*path, "times"),
            f"is {around.rounds}, so not all of {number} movements get their turn",
            f"write at least {number}",
        )


def _check_order(reader: Reader, parts: Sequence[PartRead]) -> None:
    """A rest lies between two parts of work."""
    for at, part in enumerate(parts):
        if part.works or not part.kind:
            continue
        if at in (0, len(parts) - 1):
            place = "first" if at == 0 else "last"
            reader.wrong(
                part.path, f"is a rest and comes {place}", "rest lies between two parts"
            )
        elif parts[at - 1].kind in RESTS:
            reader.wrong(
                part.path, "is a rest after a rest", "make one of the two longer"
            )
