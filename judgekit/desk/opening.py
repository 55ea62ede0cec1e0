"""Sitting down at a desk: which book is carried on, taken over, or begun."""

from __future__ import annotations

import os
import platform
import secrets
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import Claim, Entry, Session
from judgekit.core.errors import BookError
from judgekit.core.lane import empty, fold
from judgekit.core.lanecheck import checks_in
from judgekit.core.recalls import AFTER_RECALL, standing_after_recall
from judgekit.core.ruling import Ref
from judgekit.core.runs import Run, counting, day_entries
from judgekit.desk.checks import LogRead, check_disk, check_free, read_log
from judgekit.desk.door import Desk
from judgekit.desk.files import Files, row_of
from judgekit.desk.following import Follower
from judgekit.desk.room import Room
from judgekit.desk.seat import Seat
from judgekit.desk.wish import Wish as Wish  # noqa: PLC0414, TC001 - who opens wishes
from judgekit.store import sqlite
from judgekit.store.book import read_header
from judgekit.store.collector import collector_still
from judgekit.store.folder import BookCopy, book_paths, new_book_id
from judgekit.store.lift import FORMAT
from judgekit.store.reading import plan_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.entry import Body, Source
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane
    from judgekit.desk.clock import Clock
    from judgekit.files.eventfolder import EventFolder
    from judgekit.store.sqlite import SqliteBook


# Percent of the work on a long log that are done once its books are read, its own
# book is taken in hand, and its lanes are folded.
_READ, _TAKEN, _FOLDED = 40, 65, 95


@collector_still()
def open_desk(
    folder: EventFolder,
    wish: Wish,
    clock: Clock,
    tell: Callable[[int], None] = lambda _: None,
) -> tuple[Desk, Follower]:
    """A desk for these lanes, its first entries written, and its follower.

    `tell` is called now and then with how many percent of the work are done.
    Opening exactly the lanes that an unlocked book claims carries that book on; any
    other choice begins a book that takes over from the old ones. Raises BookHeld if
    another desk has the book open, InputError if the heat has no such lane, BookError
    if the disk or the log cannot be trusted.
    """
    log = folder.log
    shared = check_disk(log, trust=wish.trust_disk)
    paths = book_paths(log)
    found = read_log(log, wish.heat, wish.lanes)
    tell(_READ)
    _check_not_judged(found, wish)
    if wish.again:
        _check_nobody_sits_there(found, wish)
    own = None if wish.take_over else _own_book(found, wish)
    book: SqliteBook | None = None
    if own is not None:
        # Only the holder of the lock knows that what it read is all there is.
        book = sqlite.reopen(own.path)
        if (book.last, book_paths(log)) != (own.last, paths):
            found = read_log(log, wish.heat, wish.lanes)
    tell(_TAKEN)
    if shared:
        found = replace(found, why=(shared, *found.why))
    try:
        return _opened(folder, wish, clock, found, book, tell)
    except BaseException:
        if book is not None:
            book.close()
        raise


def _opened(
    folder: EventFolder,
    wish: Wish,
    clock: Clock,
    found: LogRead,
    book: SqliteBook | None,
    tell: Callable[[int], None],
) -> tuple[Desk, Follower]:
    copies = found.copies
    rows = {n: row_of(folder, wish.heat, n) for n in wish.lanes}
    day = day_entries(_books(copies))
    files = Files(folder, wish.heat)
    judge = wish.judge or rows[wish.lanes[0]].judge
    runs = {} if wish.again else _runs(found, wish)
    states = {
        n: _state(n, runs.get(n), copies, files.plan_of(n, day)) for n in wish.lanes
    }
    tell(_FOLDED)
    bodies: list[tuple[int | None, Body]] = [(None, _session(found.why))]
    past = tuple(e for c in copies if book and c.id == book.id for e in c.entries)
    if book is None:
        book = _begin(folder, wish, clock)
        bodies += [(n, _claim(runs.get(n), wish, judge)) for n in sorted(wish.lanes)]
    book.keep_reserve()
    room = Room(folder.log)
    seat = Seat(
        heat=wish.heat,
        lanes=states,
        resolve=files.plan_of,
        who=judge,
        bib_in=files.bib_in,
        day=day,
        past=past,
        hash_of=lambda ref: _hash_in(copies, ref),
        second=wish.second,
        room=room,
        notes=(*found.notes, *room.at_opening(clock.boot_ms())),
        times={n: _time_of(n, runs.get(n), found, wish) for n in wish.lanes},
        gear=folder.gear,
        checks=checks_in(e for c in copies for e in c.entries),
    )
    desk = Desk(seat, book, clock)
    try:
        desk.begin(bodies)
    except BaseException:
        book.close()
        raise
    return desk, Follower(desk, folder.log)


def _time_of(
    number: int, run: Run | None, found: LogRead, wish: Wish
) -> tuple[int, str]:
    """Which time the lane will do its work, and why once more."""
    if run is not None:
        return (run.number + 1, AFTER_RECALL) if run.recalled else (run.number, run.why)
    before = found.runs[number] if wish.again else ()
    return 1 + sum(one.source == _source(wish) for one in before), wish.again


def _own_book(found: LogRead, wish: Wish) -> BookCopy | None:
    """The book that can be carried on, or None if another has to be begun."""
    for lane in wish.lanes:
        check_free(found, lane)
    own = _same_lanes(found, wish)
    return None if own is None or own.id in found.damaged else own


def check_not_judged(log: Path, wish: Wish) -> None:
    """The same before any screen is shown, where the log has a tally of the lane."""
    if not (wish.again or wish.second):
        _check_not_judged(read_log(log, wish.heat, wish.lanes), wish)


def _check_not_judged(found: LogRead, wish: Wish) -> None:
    """A lane that a tally tells of is judged already: another try needs its reason."""
    if wish.again or wish.second:
        return
    for number in wish.lanes:
        run = counting(found.runs[number])
        if run is not None and run.source == "transcribed":
            raise BookError(
                f"heat {wish.heat}, lane {number} is judged already, from a tally; "
                "to judge it once more give the reason with --again"
            )


def _check_nobody_sits_there(found: LogRead, wish: Wish) -> None:
    """Another try never begins behind the back of a judge who is still counting."""
    for number in wish.lanes:
        for run in found.runs[number]:
            if run.source != _source(wish):
                continue
            book = run.claims[-1].book
            home = next(copy.home for copy in found.copies if copy.id == book)
            sqlite.take_lock(home, 0.0).release()


def _books(copies: Sequence[BookCopy]) -> Mapping[str, tuple[Entry, ...]]:
    return {copy.id: copy.entries for copy in copies}


def _source(wish: Wish) -> Source:
    return "second" if wish.second else "live"


def _same_lanes(found: LogRead, wish: Wish) -> BookCopy | None:
    """The newest book that claims exactly these lanes and was not taken over since.

    One of an older format is only read; a new book carries on from it.
    """
    if wish.again:
        return None
    runs = _runs(found, wish)
    covered = {
        ref.book
        for copy in found.copies
        for entry in copy.entries
        if isinstance(entry.body, Claim)
        for ref in entry.body.covers
        if ref.book != copy.id
    }
    fitting: list[tuple[int, BookCopy]] = []
    for copy in found.copies:
        claims = [e for e in copy.entries if isinstance(e.body, Claim)]
        lanes = {e.lane for e in claims}
        sources = {e.body.source for e in claims if isinstance(e.body, Claim)}
        fits = lanes == set(wish.lanes) and sources == {_source(wish)}
        fits = fits and all(run.claims[-1].book == copy.id for run in runs.values())
        fits = fits and read_header(copy.stored.header).format == FORMAT
        if fits and copy.id not in covered:
            fitting.append((claims[0].wall, copy))
    newest = max(fitting, key=lambda pair: (pair[0], pair[1].id), default=None)
    return None if newest is None else newest[1]


def _runs(found: LogRead, wish: Wish) -> dict[int, Run]:
    """The run of each lane that this desk carries on."""
    carried: dict[int, Run] = {}
    for number in wish.lanes:
        runs = found.runs[number]
        if wish.second:
            mine = [run for run in runs if run.source == "second"]
            run = mine[-1] if mine else None
        else:
            live = [run for run in runs if run.source == "live"]
            run = counting(live) or (live[-1] if live else None)
        if run is not None:
            carried[number] = run
    return carried


def _state(
    number: int, run: Run | None, copies: Sequence[BookCopy], today: Plan
) -> Lane:
    if run is None:
        return empty(today)
    if run.recalled:
        return fold(today, standing_after_recall(run.entries, number))
    return fold(plan_of(number, run, copies) or today, run.entries)


def _hash_in(copies: Sequence[BookCopy], ref: Ref) -> str:
    for copy in copies:
        if copy.id == ref.book:
            return copy.hash_at(ref.number)
    raise BookError(f"the log {ref.book} is not in this folder")


def _claim(run: Run | None, wish: Wish, judge: str) -> Claim:
    covers: dict[str, int] = {}
    for entry in run.entries if run is not None else ():
        covers[entry.book] = max(entry.number, covers.get(entry.book, 0))
    claimed = {c.book for c in run.claims} if run is not None else set()
    return Claim(
        judge=judge,
        why=wish.again,
        covers=tuple(Ref(b, n) for b, n in covers.items() if b in claimed),
        source=_source(wish),
    )


def _begin(folder: EventFolder, wish: Wish, clock: Clock) -> SqliteBook:
    log = folder.log
    wall = clock.wall_ms()
    book_id = new_book_id(wish.heat, wish.lanes, wall, secrets.token_hex(4))
    return sqlite.create(
        log, book_id, event=folder.event.name, heat=wish.heat, wall=wall
    )


def _session(why: Sequence[str]) -> Session:
    return Session(
        start=True, host=platform.node(), process=os.getpid(), why="; ".join(why)
    )
