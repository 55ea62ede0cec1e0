"""One lane on a line of time: when which movement was worked on, rep by rep.

Places are hundredths of the picture's width with two decimals at most, so that any
page can draw it; a terminal draws it with letters.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.entry import Freeze, GoOn, Stop, Unfreeze
from judgekit.core.lane import own_ms
from judgekit.core.quantity import show_time
from judgekit.core.values import dataclass
from judgekit.reports.layout import cell_width, visible

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from judgekit.core.plan import SetKey
    from judgekit.core.state import Lane
    from judgekit.review.attempts import AttemptRow, LaneRows, SetRow

# Ticks of the axis that people count in, in ms; the first that gives few enough.
_STEPS = tuple(s * 1000 for s in (10, 30, 60, 120, 180, 300, 600, 900, 1800, 3600))
_MOST_TICKS = 5
_WIDE = 100
_LEGEND = "= work on it, x no-rep"
_HELD_LEGEND = ", # work was held"
_NARROWEST = 20
_STOP, _FREEZE = "STOP", "frozen"


class Held(NamedTuple):
    """What held the work back, from when until when (None: it never went on)."""

    name: str
    since: int
    until: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One set: where it begins and how wide it is."""

    left: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One movement: its sets, the places of its good reps and of its no-reps.

    Of what held the work back, `is_hold`, the bands are the times it did.
    """

    name: str
    bands: tuple[Band, ...]
    reps: tuple[float, ...]
    missed: tuple[float, ...]
    is_hold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A mark of the axis: where, and which time it is there."""

    at: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Strips in the order of the work, above one axis; `says` tells it in words."""

    strips: tuple[Strip, ...]
    ticks: tuple[Tick, ...]
    says: str


def picture(
    rows: LaneRows,
    attempts: Sequence[AttemptRow],
    holds: Sequence[Held],
    sets: Collection[SetKey],
) -> Picture | None:
    """A picture with some sets and attempts of a lane, along all of its time.

    None where nothing of it has a time.
    """
    every = [row for row in rows.sets if row.first is not None]
    end = max((_end(row) for row in every), default=0)
    timed = [row for row in every if row.set.key in sets]
    if not end or not timed:
        return None
    names = list(dict.fromkeys(row.set.movement for row in timed))
    return Picture(
        strips=(
            *(_strip(name, timed, attempts, end) for name in names),
            *_hold_strips(holds, end),
        ),
        ticks=_ticks(end),
        says=_in_words(names, attempts, end),
    )


def held_times(lane: Lane) -> tuple[Held, ...]:
    """When stops and freezes held the work of a lane, on its own clock."""
    found: list[Held] = []
    begun: dict[str, int] = {}
    for entry in lane.entries:
        at = lane.when(entry)
        if at is None:
            continue
        ms = own_ms(lane, at)
        match entry.body:
            case Stop():
                begun.setdefault(_STOP, ms)
            case Freeze():
                begun.setdefault(_FREEZE, ms)
            case GoOn():
                found += _ended(begun, _STOP, ms)
            case Unfreeze():
                found += _ended(begun, _FREEZE, ms)
            case _:
                pass
    return (*found, *(Held(name, since, None) for name, since in begun.items()))


def _ended(begun: dict[str, int], name: str, until: int) -> Iterator[Held]:
    if name in begun:
        yield Held(name, begun.pop(name), until)


def _hold_strips(holds: Iterable[Held], end: int) -> Iterator[Strip]:
    """A strip for stops, and one for freezes."""
    found: dict[str, list[Band]] = {}
    for one in holds:
        until = end if one.until is None else min(end, one.until)
        if one.since < until:
            width = _place(until - one.since, end)
            band = Band(left=_place(one.since, end), width=width)
            found.setdefault(one.name, []).append(band)
    for name, bands in found.items():
        yield Strip(name=name, bands=tuple(bands), reps=(), missed=(), is_hold=True)


def _end(row: SetRow) -> int:
    return max(row.done or 0, row.last or 0)


def _strip(
    name: str, sets: Iterable[SetRow], attempts: Iterable[AttemptRow], end: int
) -> Strip:
    own = [row for row in attempts if row.set.movement == name and row.at <= end]
    bands = [
        Band(left=_place(row.opened, end), width=_place(_end(row) - row.opened, end))
        for row in sets
        if row.set.movement == name and _end(row) > row.opened
    ]
    # Where attempts were only counted nobody knows when each was.
    each = [row for row in own if row.watched == "judged" and row.set.rated]
    return Strip(
        name=name,
        bands=tuple(bands),
        reps=tuple(_place(row.at, end) for row in each if row.good),
        missed=tuple(_place(row.at, end) for row in own if not row.good),
    )


def _place(ms: int, end: int) -> float:
    return round(_WIDE * max(0, ms) / end, 2)


def _ticks(end: int) -> tuple[Tick, ...]:
    step = next((s for s in _STEPS if end / s <= _MOST_TICKS), _STEPS[-1])
    return tuple(
        Tick(at=_place(ms, end), says=show_time(ms)) for ms in range(0, end + 1, step)
    )


def _in_words(names: Sequence[str], attempts: Iterable[AttemptRow], end: int) -> str:
    missed = [show_time(row.at) for row in attempts if not row.good]
    at = f"; no-reps at {', '.join(missed)}" if missed else "; no no-rep"
    return f"{', '.join(names)} from 0:00 to {show_time(end)}{at}"


def drawn(shown: Picture, width: int) -> tuple[str, ...]:
    """The picture in letters, within so many cells, readable without colour."""
    names = [visible(strip.name) for strip in shown.strips]
    lead = max(cell_width(name) for name in names) + 2
    room = max(_NARROWEST, width - lead)
    lines = [
        f"{name}{' ' * (lead - cell_width(name))}{_line(strip, room)}"
        for name, strip in zip(names, shown.strips, strict=True)
    ]
    axis = [" "] * room
    for tick in shown.ticks:
        place = min(_cell(tick.at, room), room - len(tick.says))
        if all(cell == " " for cell in axis[max(0, place - 1) : place + 1]):
            axis[place : place + len(tick.says)] = tick.says
    held = _HELD_LEGEND if any(strip.is_hold for strip in shown.strips) else ""
    return (*lines, " " * lead + "".join(axis).rstrip(), " " * lead + _LEGEND + held)


def _line(strip: Strip, room: int) -> str:
    cells = [" "] * room
    for band in strip.bands:
        first, last = _cell(band.left, room), _cell(band.left + band.width, room)
        cells[first : last + 1] = ("#" if strip.is_hold else "=") * (last + 1 - first)
    for place in strip.missed:
        cells[_cell(place, room)] = "x"
    return "".join(cells).rstrip()


def _cell(place: float, room: int) -> int:
    return min(room - 1, int(place / _WIDE * room))
