"""What is told in a line when an entry has been made, beyond what the Floor shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.checkentry import Check
from judgekit.core.decide import IN_REST
from judgekit.core.entry import (
    Early,
    Entry,
    Extra,
    Ignored,
    NameFault,
    PutBack,
    Scale,
    TakeBack,
)
from judgekit.core.lane import own_ms
from judgekit.core.looking import AFTER_HORN
from judgekit.core.reporting import set_on, stop_ms
from judgekit.core.watchentry import SetReported
from judgekit.ui.views import history
from judgekit.ui.views.checkwords import check_told
from judgekit.ui.views.naming import set_words

if TYPE_CHECKING:
    from collections.abc import Collection

    from judgekit.core.state import Lane


def telling(lane: Lane, entry: Entry, told: Collection[str]) -> str:
    """The line, or nothing; `told` are the reasons that were given at the press."""
    match entry.body:
        case Ignored(why=why) if why in told:
            return ""
        case Early() | Ignored():
            return f"{history.words(lane, entry).capitalize()}.{_instead(lane, entry)}"
        case NameFault(target=target) if not looking.is_newest_attempt(lane, target):
            return f"{history.words(lane, entry).capitalize()}."
        case TakeBack() | PutBack() | Extra(one_too_many=True):
            return f"{history.turned(lane, entry)}."
        case SetReported(n=n):
            return _reported(lane, entry, n)
        case Scale():
            return f"{history.words(lane, entry).capitalize()}."
        case Check() as check:
            return check_told(lane, check)
        case _:
            return history.early_words(lane, entry)


def _reported(lane: Lane, entry: Entry, n: int) -> str:
    """Which set it was, where that is not the one under way at that moment."""
    at, key = own_ms(lane, lane.when(entry) or 0), entry.set
    if key is None or not lane.plan.holds(key):
        return ""
    words = f"{set_words(lane.plan, key)}: {n}"
    if at == stop_ms(lane):
        return f"{words} by the {'stop' if lane.stops else 'freeze'}."
    return f"{words} reported." if key != set_on(lane, at) else ""


def _instead(lane: Lane, entry: Entry) -> str:
    """What would have been right, where a monitor counts the set at that moment."""
    body, at = entry.body, own_ms(lane, lane.when(entry) or 0)
    by_hand = not isinstance(body, Ignored) or body.why not in (AFTER_HORN, IN_REST)
    if by_hand or looking.monitor_set(lane, at) is None:
        return ""
    return " enter types what the monitor shows."
