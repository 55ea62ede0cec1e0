"""What one athlete does instead today, said before go: a book apart holds the choice.

It claims no lane. A desk that has the lane open hears of it, and go seals the plan
that it makes; once the lane has started, what is done there is fixed.
"""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

from judgekit.core.entry import Entry, Is, Scale
from judgekit.core.errors import BookError, InputError, JudgekitError
from judgekit.core.runs import day_entries
from judgekit.store import sqlite
from judgekit.store.folder import new_book_id, read_all
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.people import HeatLane
    from judgekit.core.plan import Plan
    from judgekit.desk.clock import Clock
    from judgekit.files.eventfolder import EventFolder


class ScaleError(JudgekitError):
    """A choice that cannot stand."""


def scale_lane(
    folder: EventFolder, row: HeatLane, scale: Scale, *, clock: Clock, who: str
) -> Plan:
    """Write what the lane's athlete does instead; the plan that this makes.

    Raises ScaleError, and writes nothing, where the lane has started, where the
    workout does not hold the movement or its card does not know the substitute.
    """
    copies = read_all(folder.log, row.heat)
    _check_waiting(folder, row)
    day = day_entries({copy.id: copy.entries for copy in copies})
    _check(folder, row, scale, day)
    # The latest word counts, so this one comes after all that it may replace.
    wall = max(clock.wall_ms(), *(entry.wall + 1 for entry in day), 0)
    book_id = new_book_id(row.heat, (row.lane,), wall, secrets.token_hex(4))
    entry = Entry(
        book=book_id,
        number=1,
        lane=row.lane,
        at=None,
        wall=wall,
        who=who,
        set=None,
        body=scale,
    )
    plan = _resolved(folder, row, [*day, entry])
    book = sqlite.create(
        folder.log, book_id, event=folder.event.name, heat=row.heat, wall=wall
    )
    try:
        book.append([entry])
    finally:
        book.close()
    return plan


def _check_waiting(folder: EventFolder, row: HeatLane) -> None:
    """ScaleError once the lane has started, unless everybody was called back."""
    rows = folder.lanes(row.heat)
    read = read_lanes(folder.log, row.heat, rows=rows, resolve=folder.plan_of)
    if read.wrong:
        raise BookError("\n".join(read.wrong))
    lane = next(one.lane for one in read.lanes if one.number == row.lane)
    if lane.started and not lane.recalled:
        raise ScaleError(
            f"heat {row.heat}, lane {row.lane} has started: what is done there was "
            "fixed at the start"
        )


def _check(
    folder: EventFolder, row: HeatLane, scale: Scale, day: Sequence[Entry]
) -> None:
    """The movement stands in the workout, and its card knows the substitute."""
    written = _resolved(folder, row, [e for e in day if isinstance(e.body, Is)])
    known = list(dict.fromkeys(m.card for p in written.parts for m in p.movements))
    if scale.card not in known:
        raise ScaleError(
            f'{written.workout_name} has no "{scale.card}" for bib {written.bib}; '
            f"it has {', '.join(known)}"
        )
    options = [s.card for s in folder.cards[scale.card].substitutes]
    if scale.substitute not in ("", scale.card, *options):
        there = ", ".join(options) or "none"
        raise ScaleError(
            f'"{scale.substitute}" is no substitute on the card {scale.card}; '
            f"it has {there}, and cards/{scale.card}.toml in the event can add one"
        )


def _resolved(folder: EventFolder, row: HeatLane, day: Sequence[Entry]) -> Plan:
    try:
        return folder.plan_of(row, day)
    except InputError as error:
        raise ScaleError(error.problems[0].what) from error
