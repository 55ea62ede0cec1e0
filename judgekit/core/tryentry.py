"""Entries of single tries: loads said, bars checked, holds, and who of a team works."""

from __future__ import annotations

from typing import ClassVar

from judgekit.core.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """The load said for an attempt (the entry's round), or the bar checked for it."""

    kind: ClassVar[str] = "bar"
    load: str
    confirmed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldOn:
    """A hold begins."""

    kind: ClassVar[str] = "hold-on"


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldOff:
    """A hold ends, by a fault or as the athlete lets go."""

    kind: ClassVar[str] = "hold-off"
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Works:
    """Which member of the team works from now on."""

    kind: ClassVar[str] = "works"
    bib: str
