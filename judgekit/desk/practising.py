"""A desk for a rehearsal: the same door, and a book that is nobody's score."""

from __future__ import annotations

import os
import platform
import secrets
from typing import TYPE_CHECKING

from judgekit.core.entry import Claim, Session
from judgekit.core.lane import empty
from judgekit.desk.door import Desk
from judgekit.desk.room import Room
from judgekit.desk.seat import Seat
from judgekit.store import sqlite
from judgekit.store.folder import new_book_id

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.plan import Plan
    from judgekit.desk.clock import Clock


def open_practice(folder: Path, plan: Plan, judge: str, clock: Clock) -> Desk:
    """A desk that is not started, with a new book in the practice folder."""
    wall = clock.wall_ms()
    book = sqlite.create(
        folder,
        new_book_id(plan.heat, (plan.lane,), wall, secrets.token_hex(4)),
        event=plan.event,
        heat=plan.heat,
        wall=wall,
    )
    seat = Seat(
        heat=plan.heat,
        lanes={plan.lane: empty(plan)},
        resolve=lambda _number, _day: plan,
        who=judge,
        room=Room(folder),
    )
    desk = Desk(seat, book, clock)
    started = Session(start=True, host=platform.node(), process=os.getpid())
    claim = Claim(judge=judge, source="practice")
    try:
        desk.begin([(None, started), (plan.lane, claim)])
    except BaseException:
        book.close()
        raise
    return desk
