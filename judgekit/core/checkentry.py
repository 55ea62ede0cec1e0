"""Entries of the lane check: what was answered before go, and what was left open."""

from __future__ import annotations

from typing import ClassVar, Literal

from judgekit.core.values import dataclass

Answer = Literal["as planned", "measured", "refused", "not as planned"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One item of the lane check, answered.

    `planned` is what should be there, as it was shown. `value` is what was measured,
    as written; "refused" is one that misses. `why` says what is not as planned, and
    `by` which official agreed to that: then it is settled.
    """

    kind: ClassVar[str] = "check"
    item: str
    answer: Answer
    planned: str = ""
    value: str = ""
    why: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unchecked:
    """The lane went, or was about to, with these items open, and why."""

    kind: ClassVar[str] = "unchecked"
    items: tuple[str, ...]
    why: str
