"""A workout as its coach wrote it: parts, rounds, movements, rests, cap and score."""

from __future__ import annotations

from typing import Generic, Literal, TypeVar

from judgekit.core.quantity import Quantity
from judgekit.core.values import dataclass

ScoredBy = Literal["time", "reps"]
RestRule = Literal["excluded", "included"]
CapRule = Literal["below", "second-per-rep"]
Unit = Literal["reps", "calories", "metres", "seconds"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class ByDivision(Generic[T]):
    """One value for all (`same`), or one for each division id or standard."""

    same: T | None = None
    by_key: tuple[tuple[str, T], ...] = ()

    def value_for(self, division: str, standard: str) -> T | None:
        """The value for a division: its own id first, then its standard."""
        if not self.by_key:
            return self.same
        table = dict(self.by_key)
        return table.get(division, table.get(standard))


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One movement of a part: its card, and its target in each round.

    `amounts` holds one whole number for all rounds or one for each round, counted
    in `unit`. `pieces` is how the coach advises to break up each round's set;
    `watch` names at most two faults of the day.
    """

    card: ByDivision[str]
    unit: Unit
    amounts: ByDivision[tuple[int, ...]]
    load: ByDivision[tuple[Quantity, ...]] | None = None
    height: ByDivision[Quantity] | None = None
    pieces: tuple[tuple[int, ...], ...] = ()
    watch: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounds:
    """A part done for a number of rounds."""

    rounds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A part done for as many rounds and reps as fit in `length_ms`."""

    length_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRest:
    """Rest for `length_ms` from the athlete's own end of the part before."""

    length_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockRest:
    """Rest until the running clock shows `until_ms`."""

    until_ms: int


Shape = Rounds | Window | OwnRest | ClockRest


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a workout; a rest has no movements."""

    id: str
    shape: Shape
    movements: tuple[Movement, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterPart:
    """Tie-break: the time at which a part was done."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LastFullRound:
    """Tie-break: the time at which the last full round was done."""


TieBreak = AfterPart | LastFullRound


@dataclass(frozen=True, slots=True, kw_only=True)
class Workout:
    """A whole workout; times in ms; `settings` pairs "card.setting" with a value."""

    id: str
    name: str
    revision: int
    score: ScoredBy
    parts: tuple[Part, ...]
    aim: str = ""
    rest: RestRule = "excluded"
    cap_ms: ByDivision[int] | None = None
    capped: CapRule = "below"
    precision_ms: int = 1000
    tiebreaks: tuple[TieBreak, ...] = ()
    settings: tuple[tuple[str, str], ...] = ()
