"""When a lane was held by a stop or a freeze, on the lane's own clock."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from judgekit.core.entry import Freeze, GoOn, Stop, Unfreeze
from judgekit.core.lane import own_ms

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from judgekit.core.state import Lane

HoldKind = Literal["stop", "freeze"]
_BEGUN_BY: Mapping[type, HoldKind] = {Stop: "stop", Freeze: "freeze"}
_ENDED_BY: Mapping[type, HoldKind] = {GoOn: "stop", Unfreeze: "freeze"}


class Held(NamedTuple):
    """From when until when a lane was held; None where it never went on."""

    kind: HoldKind
    begin: int
    end: int | None


class HeldFor(NamedTuple):
    """How long something was held, and by what."""

    kind: HoldKind
    ms: int


def holds_of(lane: Lane) -> tuple[Held, ...]:
    """Every hold as it began; a second stop while stopped is none of its own."""
    return tuple(sorted(_holds(lane), key=lambda held: held.begin))


def _holds(lane: Lane) -> Iterator[Held]:
    begun: dict[HoldKind, int] = {}
    for entry in lane.entries:
        kind = type(entry.body)
        at = lane.when(entry) if kind in _BEGUN_BY or kind in _ENDED_BY else None
        if at is None:
            continue
        if begins := _BEGUN_BY.get(kind):
            begun.setdefault(begins, own_ms(lane, at))
        ends = _ENDED_BY.get(kind)
        if ends in begun:
            yield Held(ends, begun.pop(ends), own_ms(lane, at))
    for held, begin in begun.items():
        yield Held(held, begin, None)


def held_within(holds: Iterable[Held], begin: int, end: int) -> tuple[HeldFor, ...]:
    """How long each hold lasted between two moments, those that lie there."""
    found = (
        HeldFor(
            one.kind,
            min(end, end if one.end is None else one.end) - max(begin, one.begin),
        )
        for one in holds
    )
    return tuple(one for one in found if one.ms > 0)
