"""Official words after the heat: rulings, disputes, signatures, notes, in a book apart.

They claim no lane; they are put where they belong by the log's own order.
"""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

from judgekit.core.decide import decide
from judgekit.core.entry import Entry, Official
from judgekit.core.errors import BookError, InputError, Problem, Refusal
from judgekit.core.lane import evolve
from judgekit.core.press import Answering, Press, RuleAt
from judgekit.core.twojudges import counted_by_both
from judgekit.store import sqlite
from judgekit.store.folder import new_book_id
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.people import HeatLane
    from judgekit.desk.clock import Clock
    from judgekit.files.eventfolder import EventFolder
    from judgekit.files.tally import Tally
    from judgekit.store.reading import LaneRead


def is_official(tally: Tally) -> bool:
    """Whether a tally holds official words only, and so judges nothing."""
    return bool(tally.lines) and all(
        isinstance(line.act, Official | RuleAt | Answering) for line in tally.lines
    )


def rule_on(
    folder: EventFolder,
    row: HeatLane,
    tally: Tally,
    *,
    shown: str,
    clock: Clock,
    who: str = "",
) -> Path:
    """Write a tally's official lines about a lane that was judged; the book's file.

    They are said now, whatever time they name. Every refused line is one problem of
    the InputError, and then nothing is written.
    """
    log = folder.log
    read = _judged(folder, row)
    lane, beside = read.lane, read.beside
    # Said now, and after all that it is about, wherever the machine's clock stands.
    wall = max(clock.wall_ms(), *(entry.wall + 1 for entry in lane.entries))
    book_id = new_book_id(row.heat, (row.lane,), wall, secrets.token_hex(4))
    entries: list[Entry] = []
    problems: list[Problem] = []
    for line in tally.lines:
        press = Press(at=line.at, act=line.act, who=who or "head judge")
        # What a ruling may move is the count that holds, whoever has counted it.
        decided = decide(counted_by_both(lane, beside), press)
        if isinstance(decided, Refusal):
            problems.append(Problem(file=shown, line=line.line, what=decided.says))
            continue
        for draft in decided:
            entry = Entry(
                book=book_id,
                number=len(entries) + 1,
                lane=row.lane,
                at=draft.at,
                wall=wall,
                who=draft.who,
                set=draft.set,
                body=draft.body,
            )
            entries.append(entry)
            lane = evolve(lane, entry)
    if problems:
        raise InputError(problems)
    book = sqlite.create(
        log, book_id, event=folder.event.name, heat=row.heat, wall=wall
    )
    try:
        book.append(entries)
    finally:
        book.close()
    return log / f"{book_id}{sqlite.SUFFIX}"


def _judged(folder: EventFolder, row: HeatLane) -> LaneRead:
    rows = folder.lanes(row.heat)
    read = read_lanes(folder.log, row.heat, rows=rows, resolve=folder.plan_of)
    if read.wrong:
        raise BookError("\n".join(read.wrong))
    for lane in read.lanes:
        if lane.number == row.lane and lane.runs:
            return lane
    raise BookError(f"heat {row.heat}, lane {row.lane} was not judged yet")
