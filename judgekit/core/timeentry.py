"""Time is called: for a lane, or for everybody."""

from __future__ import annotations

from typing import ClassVar

from judgekit.core.ruling import Ref
from judgekit.core.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Time:
    """Time is called: what is not finished by now is not finished."""

    kind: ClassVar[str] = "time"
    copies: Ref | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassOver(Time):
    """Time is called for everybody: the work ends as a cap ends it."""

    kind: ClassVar[str] = "class-over"
