"""What a ruling of the head judge does: exactly one of these effects.

Each `effect` is our own word and part of the stored format.
"""

from __future__ import annotations

from typing import ClassVar, Literal, NamedTuple

from judgekit.core.plan import SetKey
from judgekit.core.values import dataclass

StatusWord = Literal[
    "did not start",
    "did not finish",
    "withdrawn",
    "disqualified",
    "cut",
    "guest",
    "no result",
    "as counted",
]


class Ref(NamedTuple):
    """An entry named: its book, and its number there."""

    book: str
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RepsInSet:
    """Reps added to, or taken off, one set."""

    effect: ClassVar[str] = "reps"
    set: SetKey
    by: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeBy:
    """Time added to the score (a penalty), or taken off."""

    effect: ClassVar[str] = "time"
    by_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StartBy:
    """The start moved later (+) or earlier (-): every heat time and split follows."""

    effect: ClassVar[str] = "start"
    by_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Credit:
    """Time given back, for example for equipment that failed."""

    effect: ClassVar[str] = "credit"
    ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Percent:
    """The score made worse by a percentage."""

    effect: ClassVar[str] = "percent"
    percent: int


@dataclass(frozen=True, slots=True, kw_only=True)
class VoidAttempt:
    """A counted attempt that does not count after all."""

    effect: ClassVar[str] = "void"
    target: Ref


@dataclass(frozen=True, slots=True, kw_only=True)
class RestoreAttempt:
    """A no-rep or voided attempt that counts after all."""

    effect: ClassVar[str] = "restore"
    target: Ref


@dataclass(frozen=True, slots=True, kw_only=True)
class StatusIs:
    """A status set by the head judge; "as counted" lifts an earlier one."""

    effect: ClassVar[str] = "status"
    status: StatusWord


@dataclass(frozen=True, slots=True, kw_only=True)
class Stands:
    """Nothing changes: what is disputed stands as it was judged."""

    effect: ClassVar[str] = "stands"


@dataclass(frozen=True, slots=True, kw_only=True)
class RunCounts:
    """Which run of the lane counts, from 1."""

    effect: ClassVar[str] = "run"
    run: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Reopen:
    """An accepted scorecard may be changed again."""

    effect: ClassVar[str] = "reopen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Close:
    """A scorecard is closed without signatures, or after a reopening."""

    effect: ClassVar[str] = "close"


Effect = (
    RepsInSet
    | TimeBy
    | StartBy
    | Credit
    | Percent
    | VoidAttempt
    | RestoreAttempt
    | StatusIs
    | Stands
    | RunCounts
    | Reopen
    | Close
)
