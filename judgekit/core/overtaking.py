"""Presses that a stop or freeze overtook: made before it, and heard of after it.

The head judge's freeze comes from another desk, and a lane may be named after STOP. A
press counts by its own time, so it is folded before the hold; the log keeps its order.
That is a hold that `sorts`. One of an older book does not: its score stands as it was
read then, and `holding.py` counts the judgements that it overtook.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core.entry import (
    Accept,
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
from judgekit.core.kinds import kinds_in
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
    """The holds in force, and the one that the score is frozen at.

    Nothing has its place before a hold any more once somebody has `signed` under it.
    """

    first: Entry | None = None
    kinds: set[type[Body]] = field(default_factory=set)
    signed: bool = False

    def take(self, entry: Entry) -> None:
        kind = type(entry.body)
        if kind in _HOLDS:
            self.first = self.first or entry
            self.kinds.add(kind)
        elif kind in _ENDS:
            self.kinds.discard(_ENDS[kind])
            self.first = self.first if self.kinds else None
        self.signed = self.first is not None and (self.signed or kind is Accept)

    def sorting(self) -> Entry | None:
        """The hold that what was made earlier still has its place before."""
        first = None if self.signed else self.first
        sorts = first and isinstance(first.body, Stop | Freeze) and first.body.sorts
        return first if sorts else None


def _held(lane: Lane) -> _Held:
    held = _Held()
    for entry in lane.entries if lane.holds else ():
        held.take(entry)
    return held


def held_ms(lane: Lane) -> int | None:
    """Since when the score is frozen, on the lane's own clock; None if it is not."""
    first = _held(lane).first
    if first is None:
        return None
    return (lane.when(first) or 0) - lane.offset_ms - lane.start_shift_ms


def is_overtaken(lane: Lane, entry: Entry) -> bool:
    """Whether one more entry of a held lane was made before it was held."""
    hold = _held(lane).sorting()
    if hold is None:
        return False
    return _is_before(entry.body, entry.at or 0, lane.when(hold) or 0)


def in_their_place(entries: Sequence[Entry], fore: Foreknown) -> Sequence[Entry]:
    """The entries to fold: each one that a hold overtook stands before that hold."""
    if kinds_in(entries).isdisjoint(_HOLDS):
        return entries
    placed: list[Entry] = []
    held, place = _Held(), 0
    for entry in entries:
        hold = held.sorting()
        if hold and _is_before(entry.body, fore.when(entry), fore.when(hold)):
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
