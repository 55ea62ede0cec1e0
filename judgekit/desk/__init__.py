"""The desk: the one door through which entries reach a book.

The desk itself is imported when it is first asked for: a Floor shows the lane before
it has one, and the libraries of the log take as long to import as all of the screen.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from judgekit.desk.clock import Clock, SystemClock
from judgekit.desk.coming import Coming
from judgekit.desk.news import (
    Joined,
    Judged,
    Lost,
    News,
    Reading,
    Ready,
    Refused,
    Saved,
    Slow,
    Started,
    Told,
    Unsaved,
)

if TYPE_CHECKING:
    from judgekit.desk.door import Desk
    from judgekit.desk.seat import Seat

__all__ = [
    "Clock",
    "Coming",
    "Desk",
    "Joined",
    "Judged",
    "Lost",
    "News",
    "Reading",
    "Ready",
    "Refused",
    "Saved",
    "Seat",
    "Slow",
    "Started",
    "SystemClock",
    "Told",
    "Unsaved",
]
_LATER = {"Desk": "door", "Seat": "seat"}


def __getattr__(name: str) -> object:
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_LATER[name]}"), name)
