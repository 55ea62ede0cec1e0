"""The parts of a workout: their shapes, their names, their order on the clock."""

from __future__ import annotations

from string import ascii_uppercase
from typing import TYPE_CHECKING

from judgekit.core.quantity import show_time
from judgekit.core.values import dataclass
from judgekit.core.workout import (
    ClockRest,
    Movement,
    OwnRest,
    Part,
    Rounds,
    Shape,
    Window,
)
from judgekit.files.fields import duration_of
from judgekit.files.lines import KeyPath
from judgekit.files.wording import nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.files.workout_movements import MovementReader
    from judgekit.files.workout_values import Reader

_SHAPES = ("rounds", "window", "rest", "rest-until")
_WORK = ("rounds", "window")
_LATER = {
    "every": "intervals that start every so often",
    "attempts": "attempts at a load",
    "hold": "holds",
}
_LATER_ONLY_WITH = {"times": "every", "within": "attempts", "score": "placing"}
_MOST_ROUNDS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRead:
    """One part as far as it could be read; `kind` is empty where it has no one shape.

    `shape` is None where its value cannot be used.
    """

    path: KeyPath
    kind: str
    id: str
    shape: Shape | None
    movements: tuple[Movement, ...]

    @property
    def works(self) -> bool:
        """Whether the athlete works in it."""
        return self.kind in _WORK


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
    kinds = [_kind(reader, path, row) for path, row in rows]
    ids = _ids(reader, rows, kinds)
    parts = [
        PartRead(
            path=path,
            kind=kind,
            id=part_id,
            shape=_shape(kind, row),
            movements=_movements(reader, path, row, kind, movements),
        )
        for (path, row), kind, part_id in zip(rows, kinds, ids, strict=True)
    ]
    _check_order(reader, parts)
    return parts


def parts_of(read: Sequence[PartRead]) -> tuple[Part, ...]:
    """The core's parts, once nothing was wrong with them."""
    return tuple(
        Part(id=part.id, shape=part.shape, movements=part.movements)
        for part in read
        if part.shape is not None
    )


def check_clock(reader: Reader, parts: Sequence[PartRead], cap_ms: int) -> None:
    """Rests until a time must lie ahead, and the cap after the start of all work.

    `cap_ms` is the shortest cap, 0 for none. The clock is known from below alone:
    work takes its time, windows and rests are as long as they say.
    """
    clock = 0
    for part in parts:
        if part.works and cap_ms and clock >= cap_ms:
            reader.wrong(
                part.path,
                f"starts at {show_time(clock)} or later, when the cap of "
                f"{show_time(cap_ms)} is over",
                "make the cap longer or the parts before it shorter",
            )
        match part.shape:
            case Window() | OwnRest():
                clock += part.shape.length_ms
            case ClockRest() if part.shape.until_ms <= clock:
                reader.wrong(
                    (*part.path, "rest-until"),
                    f"is {show_time(part.shape.until_ms)}, but the parts before it "
                    f"take at least {show_time(clock)}",
                    "write a later time",
                )
            case ClockRest():
                clock = part.shape.until_ms
            case _:
                pass


def _kind(reader: Reader, path: KeyPath, row: Mapping[str, object]) -> str:
    """The one shape a part has, or was meant to have, or an empty text."""
    later = [key for key in _LATER if key in row]
    for key in later:
        reader.wrong(
            (*path, key),
            f"is for {_LATER[key]}, which this version does not judge yet",
            "it judges parts with rounds or a window, and rests",
        )
    for key, owner in _LATER_ONLY_WITH.items():
        if key in row and owner not in later:
            reader.wrong(
                (*path, key),
                f"goes with {quoted(owner)}, which this version does not judge yet",
                "take it out",
            )
    given = [key for key in _SHAPES if key in row]
    if len(given) == 1 and not later:
        return given[0]
    meant = [near for key in row if (near := nearest(key, _SHAPES))]
    if meant and not given and not later:
        return meant[0]  # the unknown key is named, with the right one
    if not later:
        reader.wrong(
            path,
            f"has {' and '.join(given)}" if given else "says neither work nor rest",
            f"write exactly one of {', '.join(_SHAPES)}",
        )
    return ""


def _shape(kind: str, row: Mapping[str, object]) -> Shape | None:
    """The shape, None where its value is wrong (the file's model says why)."""
    value = row.get(kind)
    if kind == "rounds":
        whole = value if isinstance(value, int) and value is not True else 0
        return Rounds(rounds=whole) if 1 <= whole <= _MOST_ROUNDS else None
    try:
        ms = duration_of(value)
    except ValueError:
        return None
    shapes: Mapping[str, Shape] = {
        "window": Window(length_ms=ms),
        "rest": OwnRest(length_ms=ms),
        "rest-until": ClockRest(until_ms=ms),
    }
    return shapes.get(kind)


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
        own if isinstance(own, str) else next(letters if kind in _WORK else rests)
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
    reader: Reader,
    path: KeyPath,
    row: Mapping[str, object],
    kind: str,
    movements: MovementReader,
) -> tuple[Movement, ...]:
    value = row.get("movement", [])
    rows = value if isinstance(value, list) else []
    if kind in _WORK and value == []:
        reader.wrong(path, "has no movement", "add a [[part.movement]]")
    if kind and kind not in _WORK and rows:
        reader.wrong(
            (*path, "movement"), "stands in a rest", "move it to a part of its own"
        )
    shape = _shape(kind, row)
    rounds = shape.rounds if isinstance(shape, Rounds) else None
    read = [
        movements.movement((*path, "movement", at), movement, rounds)
        for at, movement in enumerate(rows)
        if isinstance(movement, dict)
    ]
    return tuple(movement for movement in read if movement is not None)


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
        elif parts[at - 1].kind in ("rest", "rest-until"):
            reader.wrong(
                part.path, "is a rest after a rest", "make one of the two longer"
            )
