"""Who looks on: an event's lanes as its books say they are, read as they grow.

It only ever reads, and of what it has read only what is new: a look at books in which
nothing was written costs a few questions to the file system. What is damaged is left
to `judgekit log verify`: nobody looks on to prove a log.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import Claim, Go, Is, Scale
from judgekit.core.errors import BookError, InputError
from judgekit.core.lane import empty, evolve, fold
from judgekit.core.runs import counting, day_entries, runs_of
from judgekit.core.setup import is_absent
from judgekit.core.values import dataclass
from judgekit.desk.transcribing import heat_start_ms
from judgekit.files.walkins import as_written
from judgekit.store import sqlite
from judgekit.store.collector import collector_still
from judgekit.store.folder import book_paths
from judgekit.store.reading import LaneRead, newest_of, with_second

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.core.people import HeatLane
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane
    from judgekit.desk.clock import Clock
    from judgekit.files.eventfolder import EventFolder

# A book that cannot be read in so many looks is told of.
_FAILS = 8
# What two files are known by, without opening them.
_Sign = tuple[tuple[int, int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Zero:
    """Where heat time zero lies: on the clock of a boot, and on the wall."""

    boot: str
    boot_ms: int
    wall_ms: int

    def heat_ms(self, boot: str, boot_now: int, wall_now: int) -> int:
        """Heat time at a moment; in another boot only the wall clock knows it."""
        return boot_now - self.boot_ms if boot == self.boot else wall_now - self.wall_ms


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatSeen:
    """A heat of the heat list: its lanes, and where its zero lies (None before go).

    `planned_ms` is the start as the heat list has it, `last_ms` the newest entry's time
    (0 if there is none), both in ms since 1970.
    """

    heat: str
    planned_ms: int
    lanes: tuple[LaneRead, ...]
    zero: Zero | None = None
    last_ms: int = 0

    def heat_ms(self, clock: Clock) -> int | None:
        """Heat time now, None before go."""
        if self.zero is None:
            return None
        return self.zero.heat_ms(clock.boot, clock.boot_ms(), clock.wall_ms())


class Onlooker:
    """Follows the books of an event, whoever writes them."""

    def __init__(self, folder: EventFolder) -> None:
        self._folder = folder
        self._books: dict[Path, _Book | None] = {}
        self._heats: dict[str, HeatSeen] = {}
        self._failing: dict[Path, tuple[int, str]] = {}
        # Claimed lanes that the lists did not have, and were read again for.
        self._sought: set[tuple[str, int]] = set()

    @property
    def heats(self) -> tuple[HeatSeen, ...]:
        """Every heat in the order of the starts, as it was at the last look."""
        names = self._folder.heat_names()
        return tuple(self._heats[name] for name in names if name in self._heats)

    @property
    def wrong(self) -> str:
        """Which book could not be read for a while; empty where none is such.

        One look says nothing: a book may just be made, or written anew.
        """
        found = (why for many, why in self._failing.values() if many >= _FAILS)
        return next(found, "")

    @collector_still()
    def look(self) -> bool:
        """Read what is new; whether anything is."""
        changed = set()
        for path in book_paths(self._folder.log):
            try:
                book = self._book(path)
                grown = book is not None and book.grown()
            except BookError as error:
                many, _ = self._failing.get(path, (0, ""))
                self._failing[path] = many + 1, str(error)
                continue
            self._failing.pop(path, None)
            if book is not None and grown:
                changed.add(book.heat)
        if not self._heats:
            changed |= {*self._folder.heat_names()}
        for heat in changed:
            self._read(heat)
        return bool(changed)

    def _book(self, path: Path) -> _Book | None:
        """The book of that file, or None for a copy; BookError if it cannot be read."""
        if path not in self._books:
            book = _Book(path)
            self._books[path] = book if path.stem == book.id else None
        return self._books[path]

    def _read(self, heat: str) -> None:
        books = [b for b in self._books.values() if b is not None and b.heat == heat]
        entries = {book.id: tuple(book.entries) for book in books}
        self._seek(heat, entries.values())
        rows = self._folder.lanes(heat)
        if not rows:
            return
        plans = {name: plan for book in books for name, plan in book.plans.items()}
        before = self._heats.get(heat)
        known = {lane.number: lane for lane in before.lanes} if before else {}
        lanes = tuple(
            lane
            for row in rows
            if (lane := self._lane(row, entries, plans, known.get(row.lane)))
        )
        self._heats[heat] = HeatSeen(
            heat=heat,
            planned_ms=heat_start_ms(self._folder, rows[0]),
            lanes=lanes,
            zero=_zero(lanes),
            last_ms=max((e.wall for own in entries.values() for e in own), default=0),
        )

    def _seek(self, heat: str, books: Iterable[Sequence[Entry]]) -> None:
        """Read the lists again, once, for lanes that came to the heat in its midst."""
        claimed = {
            (heat, entry.lane)
            for entries in books
            for entry in entries
            if isinstance(entry.body, Claim) and entry.lane is not None
        }
        listed = {(heat, row.lane) for row in self._folder.lanes(heat)}
        new = claimed - listed - self._sought
        if not new:
            return
        # One that somebody is in the midst of changing is read when a book grows next.
        with suppress(InputError, OSError):
            self._folder = as_written(self._folder)
            self._sought |= new

    def _lane(
        self,
        row: HeatLane,
        entries: Mapping[str, Sequence[Entry]],
        plans: Mapping[str, Plan],
        before: LaneRead | None,
    ) -> LaneRead | None:
        """A lane as it stands; one step on from `before` where nothing else is new."""
        about = {
            book: own
            for book, own in entries.items()
            if any(e.lane == row.lane for e in own)
        }
        runs = runs_of(about, row.lane)
        run = counting(runs)
        shown = run or newest_of(runs)
        sealed = looking.sealed_plan(shown.entries, row.lane) if shown else ""
        plan = plans.get(sealed) or self._planned(row, entries)
        if plan is None:
            return before
        lane = _carried_on(before, plan, shown.entries if shown else ())
        if not lane.started:
            lane = replace(lane, absent=is_absent(row, day_entries(entries)))
        return with_second(
            LaneRead(heat=row.heat, number=row.lane, runs=runs, run=run, lane=lane)
        )

    def _planned(
        self, row: HeatLane, entries: Mapping[str, Sequence[Entry]]
    ) -> Plan | None:
        """The lane's plan as the files have it; None where the day fits them no more.

        A coach may be in the middle of changing them.
        """
        try:
            return self._folder.plan_of(row, day_entries(entries))
        except InputError:
            return None


class _Book:
    """One book as far as it was read; a rescue writes it anew with all that it held."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._reader = sqlite.read(path)
        self.id, self.heat = self._reader.id, self._reader.heat
        self.entries: list[Entry] = []
        self.plans: dict[str, Plan] = {}
        # As the files were before the last look, and before the one before that.
        self._signs: tuple[_Sign, _Sign] = ((), ())

    def grown(self) -> bool:
        """Whether there are new entries since; they are read then, or BookError."""
        sign = _sign(self._path)
        # Files may change twice within one tick of their clock: what has just changed
        # is looked at once more.
        if self._signs == (sign, sign):
            return False
        new = self._reader.entries(after=len(self.entries))
        if any(isinstance(e.body, Go | Is | Scale) for e in new):
            self.plans = self._reader.plans()
        self.entries += new
        self._signs = (self._signs[1], sign)
        return bool(new)


def _sign(path: Path) -> _Sign:
    """When a book's files were written last, how long they are, and which they are."""
    found = []
    for one in (path, path.with_name(f"{path.name}-wal")):
        try:
            stat = one.stat()
        except OSError:
            found.append((0, 0, 0))
        else:
            found.append((stat.st_mtime_ns, stat.st_size, stat.st_ino))
    return tuple(found)


def _carried_on(before: LaneRead | None, plan: Plan, entries: Sequence[Entry]) -> Lane:
    """The lane that the entries make, in single steps from how it was where it can."""
    if before is not None and before.lane.plan == plan:
        lane = before.lane
        many = len(lane.entries)
        if lane.entries == tuple(entries[:many]) and many:
            for entry in entries[many:]:
                lane = evolve(lane, entry)
            return lane
    return fold(plan, entries) if entries else empty(plan)


def _zero(lanes: Sequence[LaneRead]) -> Zero | None:
    """The newest zero of a heat's lanes; none for who was called back since.

    A tally has the planned start, and says nothing where a desk knows the real one.
    """
    found = [
        (bool(go.body.boot), go.wall, go.ref, go.body, read.lane)
        for read in lanes
        if not read.lane.recalled
        for go in looking.heat_gos(read.lane)[-1:]
        if isinstance(go.body, Go)
    ]
    if not found:
        return None
    *_, go, lane = max(found, key=lambda one: one[:3])
    return Zero(
        boot=go.boot,
        boot_ms=go.boot_ms - lane.zero_moved_ms,
        wall_ms=go.zero_ms - lane.zero_moved_ms,
    )
