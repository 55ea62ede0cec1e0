"""The table of what is served: each row a screen, by the command that draws it."""

from __future__ import annotations

import re
from dataclasses import replace
from hashlib import sha256
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.people import HeatLane
    from judgekit.files.eventfolder import EventFolder

HEAD_PIN = "head judge"
_JUDGE = "one judge has them all"
# A heat whose name is more than that is named in addresses by a digest of it.
_PLAIN = re.compile(r"[A-Za-z0-9]{1,20}")
_DIGEST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """One screen in the list: `arguments` are those of `judgekit` that draw it.

    `pin` names the PIN that opens it, empty for none. Only one browser has an `alone`
    one open: the newest. `pads` says whether it is worked with a finger. `over` are the
    arguments that carry on from a desk that still has it open. What judges has a `heat`
    and `lanes`, and a `judge` where the lists name one.
    """

    id: str
    group: str
    name: str
    about: str
    arguments: tuple[str, ...]
    pin: str = ""
    alone: bool = False
    pads: bool = False
    over: tuple[str, ...] = ()
    heat: str = ""
    lanes: tuple[int, ...] = ()
    judge: str = ""

    @property
    def arguments_over(self) -> tuple[str, ...]:
        """The arguments that carry on from a desk that still has it open."""
        name, *rest = self.arguments
        return name, *self.over, *rest


def pin_of(lanes: Sequence[int]) -> str:
    """The name of the PIN of a desk with these lanes: the same one in every heat."""
    return f"lane{'s' if len(lanes) > 1 else ''} {_listed(lanes)}"


def with_lanes(desk: Served, lanes: Sequence[int]) -> Served:
    """The same desk, called as before, with those lanes."""
    name, heat, _, *rest = desk.arguments
    arguments = (name, heat, _lane_option(lanes), *rest)
    return replace(desk, arguments=arguments, lanes=tuple(lanes))


def served(folder: EventFolder, heats: Iterable[str] = ()) -> tuple[Served, ...]:
    """All that is served of an event, or its lanes of some heats alone."""
    wanted = tuple(heats) or folder.heat_names()
    event = str(folder.folder.resolve())
    found = [*_to_look_at(event)]
    if folder.heats:
        found.append(_head(event))
    for heat in folder.heat_names():
        if heat in wanted:
            found += _floors(event, folder, folder.lanes(heat))
    return tuple(found)


def _floors(event: str, folder: EventFolder, rows: Sequence[HeatLane]) -> list[Served]:
    """The desks of a heat: of each judge who has several lanes, then of each lane."""
    by_judge: dict[str, list[HeatLane]] = {}
    for row in rows:
        by_judge.setdefault(row.judge, []).append(row)
    several = [mine for mine in by_judge.values() if len(mine) > 1]
    return [
        *(_floor(event, "lanes", mine, _JUDGE) for mine in several),
        *(_floor(event, "lane", [row], _who(folder, row)) for row in rows),
    ]


def _who(folder: EventFolder, row: HeatLane) -> str:
    """Whose lane it is."""
    is_team = folder.workouts[row.workout].team is not None
    return f"{'team' if is_team else 'number'} {row.bib}"


def _floor(event: str, kind: str, rows: Sequence[HeatLane], about: str) -> Served:
    """A desk, called by its heat and first lane alone.

    So a page that is open is still the same one when the server starts again, and when
    lanes are added to this heat or another.
    """
    heat, lanes = rows[0].heat, sorted(row.lane for row in rows)
    pin = pin_of(lanes)
    return Served(
        id=f"{kind}-{_in_address(heat)}-{lanes[0]}",
        group=f"Heat {heat}",
        name=pin.capitalize(),
        about=about,
        # A file's name comes behind its option as one word, whatever it begins with.
        arguments=("floor", f"--heat={heat}", _lane_option(lanes), "--", event),
        pin=pin,
        alone=True,
        pads=True,
        over=("--take-over",),
        heat=heat,
        lanes=tuple(lanes),
        judge=rows[0].judge,
    )


def _in_address(heat: str) -> str:
    if _PLAIN.fullmatch(heat):
        return heat
    return f"_{sha256(heat.encode()).hexdigest()[:_DIGEST]}"


def _lane_option(lanes: Sequence[int]) -> str:
    return f"--lane={_listed(lanes)}"


def _listed(lanes: Sequence[int]) -> str:
    """Lanes in few signs: "4", "1-12", "1,2,5"."""
    first, last = lanes[0], lanes[-1]
    if len(lanes) > 1 and list(lanes) == list(range(first, last + 1)):
        return f"{first}-{last}"
    return ",".join(map(str, lanes))


def _head(event: str) -> Served:
    """What the head judge writes at: orders and rulings."""
    return Served(
        id="head",
        group="Head judge",
        name="All lanes",
        about="freeze, recall, rule",
        arguments=("head", "--", event),
        pin=HEAD_PIN,
        alone=True,
        pads=True,
    )


def _to_look_at(event: str) -> tuple[Served, ...]:
    """What is only read: for the television."""
    return (
        Served(
            id="board",
            group="To look at",
            name="Board",
            about="the heat that goes on, for the television",
            arguments=("board", "--", event),
        ),
        Served(
            id="standings",
            group="To look at",
            name="Standings",
            about="kept up to date, for the television",
            arguments=("standings", "--screen", "--", event),
        ),
    )
