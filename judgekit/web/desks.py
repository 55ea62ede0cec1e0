"""The table of what is served: each row a screen, by the command that draws it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.files.eventfolder import EventFolder


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """One screen in the list: `arguments` are those of `judgekit` that draw it.

    `pin` names the PIN that opens it, empty for none. Only one browser has an `alone`
    one open: the newest. `pads` says whether it is worked with a finger. `over` are the
    arguments that carry on from a desk that still has it open.
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

    @property
    def arguments_over(self) -> tuple[str, ...]:
        """The arguments that carry on from a desk that still has it open."""
        name, *rest = self.arguments
        return name, *self.over, *rest


def pin_of(lane: int) -> str:
    """The name of a lane's PIN: the judge there has the same one in every heat."""
    return f"lane {lane}"


def served(folder: EventFolder, heats: Iterable[str] = ()) -> tuple[Served, ...]:
    """All that is served of an event, or its lanes of some heats alone."""
    wanted = tuple(heats) or folder.heat_names()
    event = str(folder.folder.resolve())
    rows = [row for heat in folder.heat_names() for row in folder.lanes(heat)]
    lanes = [
        Served(
            id=f"lane-{number}",
            group=f"Heat {row.heat}",
            name=f"Lane {row.lane}",
            about=f"number {row.bib}",
            arguments=_floor(event, row.heat, row.lane),
            pin=pin_of(row.lane),
            alone=True,
            pads=True,
            over=("--take-over",),
        )
        for number, row in enumerate(rows, 1)
        if row.heat in wanted
    ]
    return (*_to_look_at(event), *lanes)


def _floor(event: str, heat: str, lane: int) -> tuple[str, ...]:
    # Names from files come behind their option as one word, whatever they begin with.
    return "floor", f"--heat={heat}", f"--lane={lane}", "--", event


def _to_look_at(event: str) -> tuple[Served, ...]:
    """What is only read: for the television."""
    return (
        Served(
            id="standings",
            group="To look at",
            name="Standings",
            about="kept up to date, for the television",
            arguments=("standings", "--screen", "--", event),
        ),
    )
