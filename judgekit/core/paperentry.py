"""Entries of a lane kept on paper: totals, and the few times that stand beside them.

Every rep was watched, but nothing says when: an entry of a set has no time at all.
"""

from __future__ import annotations

from typing import ClassVar

from judgekit.core.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSet:
    """`n` units of the entry's set were good; `load` is what was written beside it."""

    kind: ClassVar[str] = "paper-set"
    n: int
    load: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperNoReps:
    """`n` no-reps of the movement in the entry's set, for one fault or for none told.

    With `any_round` they were made in rounds of the part that nobody wrote down.
    """

    kind: ClassVar[str] = "paper-no-reps"
    n: int
    fault: str = ""
    any_round: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperTime:
    """What the clock showed, as the entry's own time, when something was done.

    That is the rep of that number, else the round of the part, else the part; with
    none of them the work.
    """

    kind: ClassVar[str] = "paper-time"
    part: int = 0
    round: int = 0
    rep: int = 0


OfPaper = PaperSet | PaperNoReps | PaperTime
