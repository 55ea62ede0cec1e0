"""Presses that a stop or freeze overtook: made before it, and heard of after it.

The head judge's freeze comes from another desk, and a lane may be named after STOP. A
press counts by its own time, so it is folded before the hold; the log keeps its order.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core.entry import (
    BackTo,
    Body,
    Counting,
    Entry,
    Freeze,
    GoOn,
    MoveOn,
    Stop,
    Unfreeze,
    Withdraw,
)
from judgekit.core.tryentry import Works
from judgekit.core.values import dataclass
from judgekit.core.watchentry import SetReported

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.hindsight import Foreknown
    from judgekit.core.state import Lane

# What points at another entry is said of the score and of what goes on alike.
_Overtaken = Counting | MoveOn | BackTo | Withdraw | Works
_HOLDS = (Stop, Freeze)
_ENDS: dict[type[Body], type[Body]] = {GoOn: Stop, Unfreeze: Freeze}


@dataclass(slots=True)
class _Held:
    """The holds in force, and the one that the score is frozen at."""

    first: Entry | None = None
    kinds: set[type[Body]] = field(default_factory=set)

    def take(self, entry: Entry) -> None:
        kind = type(entry.body)
        if kind in _HOLDS:
            self.first = self.first or entry
            self.kinds.add(kind)
        elif kind in _ENDS:
            self.kinds.discard(_ENDS[kind])
            self.first = self.first if self.kinds else None


def held_ms(lane: Lane) -> int | None:
    """Since when the score is frozen, on the lane's own clock; None if it is not."""
    held = _Held()
    for entry in lane.entries if lane.holds else ():
        held.take(entry)
    if held.first is None:
        return None
    return (lane.when(held.first) or 0) - lane.offset_ms - lane.start_shift_ms


def is_overtaken(lane: Lane, entry: Entry) -> bool:
    """Whether one more entry of a held lane was made before it was held."""
    since = held_ms(lane)
    own = (entry.at or 0) - lane.offset_ms - lane.start_shift_ms
    return since is not None and _is_before(entry.body, own, since)


def in_their_place(entries: Sequence[Entry], fore: Foreknown) -> Sequence[Entry]:
    """The entries to fold: each one that a hold overtook stands before that hold."""
    if not any(isinstance(entry.body, _HOLDS) for entry in entries):
        return entries
    placed: list[Entry] = []
    held, place = _Held(), 0
    for entry in entries:
        first = held.first
        if first and _is_before(entry.body, fore.when(entry), fore.when(first)):
            placed.insert(place, entry)
            place += 1
            continue
        held.take(entry)
        if held.first is entry:
            place = len(placed)
        placed.append(entry)
    return placed


def _is_before(body: Body, at: int, held_ms: int) -> bool:
    """What is reported at a stop's own time tells what was done by it."""
    reported = isinstance(body, SetReported)
    return isinstance(body, _Overtaken) and at < held_ms + reported
