"""The head judge's desk: orders to the heat's other desks, and rulings on its lanes.

It claims no lane and counts nothing. Its book stands beside the others: an order is
obeyed by each desk that hears it (see `hearing.py`), a ruling is read with the lane.
"""

from __future__ import annotations

import secrets
from contextlib import suppress
from typing import TYPE_CHECKING

from judgekit.core.decide import decide
from judgekit.core.entry import Entry, Freeze, Recall, Unfreeze
from judgekit.core.errors import BookError, Refusal
from judgekit.core.press import Draft, Press
from judgekit.store import sqlite
from judgekit.store.folder import new_book_id

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.pointing import Decided
    from judgekit.core.press import Act
    from judgekit.core.state import Lane
    from judgekit.desk.clock import Clock
    from judgekit.desk.onlooker import HeatSeen
    from judgekit.files.eventfolder import EventFolder
    from judgekit.store.sqlite import SqliteBook

Order = Freeze | Unfreeze | Recall


class HeadDesk:
    """What the head judge says of one event; used by one thread."""

    def __init__(
        self, folder: EventFolder, clock: Clock, who: str = "head judge"
    ) -> None:
        self._folder = folder
        self._clock = clock
        self._who = who
        self._books: dict[str, SqliteBook] = {}

    def order(self, heat: HeatSeen, body: Order, lane: int | None = None) -> str:
        """Tell all desks of a heat, or that of one lane; why it cannot be, or empty."""
        at = heat.heat_ms(self._clock)
        if at is None:
            return f"Heat {heat.heat} has not started."
        lanes = [lane] if lane is not None else _meant(heat, body)
        draft = Draft(at=at, set=None, body=body)
        return self._write(heat, [(number, draft) for number in lanes])

    def rule(self, heat: HeatSeen, number: int, act: Act) -> str:
        """Say something official of a lane; why it cannot be, or empty."""
        lane = next(one.counted for one in heat.lanes if one.number == number)
        press = Press(at=heat.heat_ms(self._clock), act=act, who=self._who)
        decided = decided_on(lane, press)
        if isinstance(decided, Refusal):
            return decided.says
        return self._write(heat, [(number, draft) for draft in decided])

    def close(self) -> None:
        """Let go of the books."""
        for book in self._books.values():
            with suppress(BookError):
                book.close()
        self._books.clear()

    def _write(self, heat: HeatSeen, said: Sequence[tuple[int | None, Draft]]) -> str:
        # Said now, and after all that it is about, wherever the machine's clock stands.
        wall = max(self._clock.wall_ms(), heat.last_ms + 1)
        try:
            book = self._book(heat.heat, wall)
            book.append(
                [
                    Entry(
                        book=book.id,
                        number=number,
                        lane=lane,
                        at=draft.at,
                        wall=wall,
                        who=self._who,
                        set=draft.set,
                        body=draft.body,
                    )
                    for number, (lane, draft) in enumerate(said, book.last + 1)
                ]
            )
        except (BookError, OSError) as error:
            return f"NOT SAVED: {error}"
        return ""

    def _book(self, heat: str, wall: int) -> SqliteBook:
        if heat not in self._books:
            self._books[heat] = sqlite.create(
                self._folder.log,
                new_book_id(heat, (), wall, secrets.token_hex(4)),
                event=self._folder.event.name,
                heat=heat,
                wall=wall,
            )
        return self._books[heat]


def _meant(heat: HeatSeen, body: Order) -> list[int | None]:
    """Whom an order to all is for: where some lanes are frozen already, each it moves.

    A desk takes an order to all as one to its first lane, and would refuse it there.
    """
    if isinstance(body, Recall):
        return [None]
    frozen = {
        read.number
        for read in heat.lanes
        if any(hold.kind == "freeze" for hold in read.lane.holds)
    }
    freezes = isinstance(body, Freeze)
    meant = [r.number for r in heat.lanes if (r.number in frozen) != freezes]
    return [*meant] if meant and len(meant) < len(heat.lanes) else [None]


def decided_on(lane: Lane, press: Press) -> Decided:
    """What official words about a lane come to, or why they cannot be said."""
    if not lane.entries:
        return Refusal(says="This lane was not judged yet.")
    return decide(lane, press)
