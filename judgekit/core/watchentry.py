"""Entries of other ways of watching: sets as reported, looks, and whole results."""

from __future__ import annotations

from typing import ClassVar, Literal

from judgekit.core.values import dataclass

# What a result is counted in; a time is whole ms.
ResultUnit = Literal[
    "ms", "reps", "calories", "metres", "seconds", "segments", "rounds", "load"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetReported:
    """The athlete says that `n` units of the entry's set are done, all together."""

    kind: ClassVar[str] = "set-reported"
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A coach begins to watch rep by rep: what follows is seen, and counts nothing."""

    kind: ClassVar[str] = "look"


@dataclass(frozen=True, slots=True, kw_only=True)
class LookEnd:
    """The look is over: `seen` attempts were watched, with or without a press each."""

    kind: ClassVar[str] = "look-end"
    seen: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """The athlete's own score of the whole workout, as reported.

    `amount` is in `unit`; reps may be told as whole `rounds` and `amount` more, and
    intervals kept as `rounds` alone. A load stands in `load`, as it was said.
    """

    kind: ClassVar[str] = "result"
    unit: ResultUnit
    amount: int = 0
    rounds: int = 0
    load: str = ""
