"""What a movement's target means in the part around it, and what it cannot be there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeVar

from judgekit.core.values import dataclass
from judgekit.core.workout import ByDivision, Unit
from judgekit.files.lines import KeyPath
from judgekit.files.wording import listed, quoted
from judgekit.files.workout_values import MAX

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.core.card import Card
    from judgekit.files.workout_values import Reader

T = TypeVar("T")

_RISING = ("rounds", "window", "window-until", "every")
_OPEN = ("window", "window-until", "every")


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """The part around a movement, by the key of its shape.

    `rounds` is how many rounds a list must cover: None for a window, whose last round
    repeats. `hold_s` is how long a hold lasts, 0 for as long as it can. `after` is how
    many movements of the round follow.
    """

    kind: str
    rounds: int | None = None
    in_turn: bool = False
    hold_s: int = 0
    after: int = 0

    @property
    def is_open(self) -> bool:
        """Whether the clock, and nothing else, can end a set of it."""
        return self.kind in _OPEN and (self.in_turn or not self.after)


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """A target as it was read, at the path of its movement."""

    path: KeyPath
    row: Mapping[str, object]
    unit: Unit
    amounts: ByDivision[tuple[int, ...]]

    @property
    def is_max(self) -> bool:
        """Whether any round of anybody is as many as can be done."""
        return any(0 in amounts for amounts in tables_of(self.amounts))


def tables_of(values: ByDivision[T]) -> Iterator[T]:
    """What is written for all, or for each division."""
    if values.same is not None:
        yield values.same
    yield from (own for _key, own in values.by_key)


def check_target(reader: Reader, target: Target, around: Around) -> None:
    """What a target cannot be in the part around it."""
    if target.is_max:
        _check_max(reader, target, around)
    if around.kind == "attempts" and target.unit != "reps":
        reader.wrong(
            (*target.path, target.unit),
            "stands in attempts, which are made of reps",
            "write reps, or a part of another shape",
        )
    if around.kind == "hold":
        reader.wrong(
            (*target.path, target.unit),
            "is given, but the part's hold says how long",
            "take it out",
        )


def _check_max(reader: Reader, target: Target, around: Around) -> None:
    at = (*target.path, target.unit)
    if around.kind and around.kind not in _OPEN:
        never = "rounds never end" if around.kind == "rounds" else "an attempt has none"
        reader.wrong(
            at,
            f'is "{MAX}", but here no horn ends it: {never}',
            'write a number, or a part with window = "3:00", window-until or every',
        )
    elif around.kind and not around.is_open:
        reader.wrong(
            at,
            f'is "{MAX}", so nobody comes to what follows it in the round',
            "make it the last movement, or write a number",
        )
    if "pieces" in target.row:
        reader.wrong(
            (*target.path, "pieces"), f'stands with "{MAX}"', "take one of them out"
        )


def rise_of(reader: Reader, target: Target, around: Around) -> int:
    """By how much the target grows from one round to the next."""
    if "rise" not in target.row:
        return 0
    at = (*target.path, "rise")
    rise = reader.whole(at, target.row["rise"])
    lists = any(len(own) > 1 for own in tables_of(target.amounts))
    if around.kind and (around.kind not in _RISING or around.rounds == 1):
        reader.wrong(at, "needs rounds to rise from one to the next", "take it out")
    elif target.is_max:
        reader.wrong(at, f'stands with "{MAX}"', "take one of them out")
    elif lists:
        what = "stands with a number for each round"
        reader.wrong(at, what, f"write one number in {target.unit}, or no rise")
    elif "pieces" in target.row:
        what = "stands with pieces, which do not rise"
        reader.wrong(at, what, "take one of them out")
    return rise or 0


def per_of(reader: Reader, target: Target) -> int:
    """How many units are one rep of the score."""
    if "unit" not in target.row:
        return 1
    at = (*target.path, "unit")
    per = reader.whole(at, target.row["unit"])
    smallest = min((min(own) for own in tables_of(target.amounts) if own), default=0)
    if target.unit == "reps":
        reader.wrong(
            at,
            "stands with reps, of which each is one",
            "take it out",
        )
    elif per and smallest and per > smallest:
        reader.wrong(
            at,
            f"is {per} {target.unit} for one rep of the score, more than the set of "
            f"{smallest}",
            "write a smaller one",
        )
    return per or 1


def held(around: Around) -> ByDivision[tuple[int, ...]]:
    """The target of a hold, in seconds; 0 for as long as it can."""
    return ByDivision(same=(around.hold_s,))


def check_counted(
    reader: Reader, path: KeyPath, unit: Unit | None, used: list[Card]
) -> None:
    """Every card of a movement must be counted in its unit."""
    for card in used:
        if unit and unit not in card.counts:
            reader.wrong(
                path,
                f"is asked for, but the card {quoted(card.id)} is not counted in "
                f"{unit}",
                f"it is counted in {' or '.join(card.counts)}",
            )


def check_holdable(reader: Reader, path: KeyPath, used: list[Card]) -> None:
    """The card of a hold must count seconds."""
    for card in used:
        if "seconds" not in card.counts:
            reader.wrong(
                path,
                f"is {quoted(card.id)}, which does not count seconds, so it is no hold",
                f"it is counted in {listed(card.counts)}",
            )
