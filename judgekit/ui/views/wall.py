"""What stands on a wall in large letters: sheets, each with a heading and its rows."""

from __future__ import annotations

from collections.abc import Callable

from judgekit.core.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Lines with a word before them; `label` is empty where they need none."""

    label: str = ""
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What stands together under one heading; `of` is the workout it belongs to."""

    of: str
    heading: str
    rows: tuple[Said, ...]


# What gives newer sheets, or None where there is no news.
Again = Callable[[], tuple[Sheet, ...] | None]
