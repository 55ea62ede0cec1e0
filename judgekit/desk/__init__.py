"""The desk: the one door through which entries reach a book."""

from judgekit.desk.clock import Clock, SystemClock
from judgekit.desk.door import Desk
from judgekit.desk.news import (
    Judged,
    Lost,
    News,
    Refused,
    Saved,
    Slow,
    Started,
    Told,
    Unsaved,
)
from judgekit.desk.others import COUNTDOWN_MS
from judgekit.desk.seat import Seat

__all__ = [
    "COUNTDOWN_MS",
    "Clock",
    "Desk",
    "Judged",
    "Lost",
    "News",
    "Refused",
    "Saved",
    "Seat",
    "Slow",
    "Started",
    "SystemClock",
    "Told",
    "Unsaved",
]
