"""A tally into a book: decided whole in memory first, the same bytes every time."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from judgekit.core import looking
from judgekit.core.checkitems import items
from judgekit.core.decide import decide
from judgekit.core.entry import Accept, Claim, Entry, Go, Is, Scale, Source, Time
from judgekit.core.errors import BookError, InputError, Problem, Refusal
from judgekit.core.lane import empty, evolve, fold
from judgekit.core.lanecheck import TRANSCRIBED, LaneCheck, checks_in
from judgekit.core.people import HeatLane
from judgekit.core.press import Act, Draft, Press
from judgekit.core.ruling import Ref
from judgekit.core.runs import day_entries, runs_of
from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.core.writing import lacking
from judgekit.store import sqlite
from judgekit.store.codec import encode_plan, plan_hash
from judgekit.store.folder import read_all, transcribed_book_id

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.core.plan import Plan
    from judgekit.core.runs import Run
    from judgekit.files.eventfolder import EventFolder
    from judgekit.files.tally import Tally


@dataclass(frozen=True, slots=True, kw_only=True)
class Transcript:
    """What a tally became: entries and sealed plans, not yet in a book."""

    book: str
    heat: HeatLane
    entries: tuple[Entry, ...]
    plans: tuple[bytes, ...]
    lane: Lane
    wall: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """A run to carry on: what it holds, and which of its books claim the lane."""

    number: int
    entries: tuple[Entry, ...]
    claimed: frozenset[str]
    lane: Lane

    @property
    def at(self) -> int:
        """The heat time that it has come to."""
        return max([0, *(self.lane.when(e) or 0 for e in self.entries)])

    @property
    def covers(self) -> tuple[Ref, ...]:
        """The last number of each book that is taken over."""
        last: dict[str, int] = {}
        for entry in self.entries:
            if entry.book in self.claimed:
                last[entry.book] = max(entry.number, last.get(entry.book, 0))
        return tuple(Ref(book, number) for book, number in last.items())


def plan_today(folder: EventFolder, row: HeatLane) -> Plan:
    """What a lane is to do, with what the day has changed: substitutes and scales."""
    copies = read_all(folder.log, row.heat)
    return folder.plan_of(row, day_entries({copy.id: copy.entries for copy in copies}))


def transcribe(  # noqa: PLR0913 - whose tally it is, and why
    folder: EventFolder,
    row: HeatLane,
    tally: Tally,
    data: bytes,
    *,
    shown: str,
    again: str = "",
    second: bool = False,
) -> Path:
    """Write a lane's tally into a book of its own; returns the book's file.

    Every refused line is one problem of the InputError, and then there is no book. A
    lane that has entries already needs a reason for another run; those of the `second`
    of two judges are apart.
    """
    log = folder.log
    copies = read_all(log, row.heat)
    books = {copy.id: copy.entries for copy in copies}
    runs = runs_of(books, row.lane)
    if not again and any((run.source == "second") == second for run in runs):
        of = " of the second judge" if second else ""
        raise BookError(
            f"heat {row.heat}, lane {row.lane} has entries{of} already; "
            "give a reason for another run with --again"
        )
    if second:
        _check_second(folder, row, runs)
    script = read_tally(
        folder,
        row,
        tally,
        data,
        shown=shown,
        again=again,
        run=len(runs) + 1,
        day=day_entries(books),
        source="second" if second else "transcribed",
    )
    write(folder, script)
    return log / f"{script.book}{sqlite.SUFFIX}"


def _check_second(folder: EventFolder, row: HeatLane, runs: Sequence[Run]) -> None:
    """Only where two count a lane is there a second one, who is not the first."""
    where = f"heat {row.heat}, lane {row.lane}"
    if plan_today(folder, row).team.judges == 1:
        raise BookError(
            f"{where} is counted by one judge; where two are to count, the workout "
            "says judges = 2"
        )
    if any(run.judge == row.judge for run in runs if run.source != "second"):
        raise BookError(
            f"{row.judge} judged {where} already; the second of two judges is another"
        )


def write(folder: EventFolder, script: Transcript) -> None:
    """A transcript into a book of its own."""
    book = sqlite.create(
        folder.log,
        script.book,
        event=folder.event.name,
        heat=script.heat.heat,
        wall=script.wall,
    )
    try:
        book.append(script.entries, script.plans)
    finally:
        book.close()


def read_tally(  # noqa: PLR0913 - what makes the book the same every time
    folder: EventFolder,
    row: HeatLane,
    tally: Tally,
    data: bytes,
    *,
    shown: str,
    again: str = "",
    run: int = 1,
    day: Sequence[Entry] = (),
    carried: Carried | None = None,
    source: Source = "transcribed",
) -> Transcript:
    """Decide a whole tally in memory: nothing is written, every refusal is told.

    It begins a run, or carries one on.
    """
    covers = () if carried is None else carried.covers
    book_id = transcribed_book_id(
        folder.event.name, row.heat, row.lane, data, run, covers
    )
    playing = _Playing(folder, row, book_id, day, carried)
    playing.problems += tally.problems
    claim = Claim(
        judge=row.judge,
        why=again,
        covers=covers,
        source=source,
    )
    playing.add(None, Draft(at=None, set=None, body=claim))
    for line in tally.lines:
        if tally.on_paper and isinstance(line.act, Accept):
            if playing.problems:
                # What is signed is not there whole.
                continue
            playing.call_time()
        refused = playing.press(line.at, line.act)
        if refused is not None:
            playing.problems.append(
                Problem(file=shown, line=line.line, what=refused.says)
            )
    if tally.on_paper and not playing.problems:
        playing.call_time()
        last = max(line.line for line in tally.lines)
        playing.problems += [
            Problem(file=shown, line=last, what="the paper lacks a time", right=right)
            for right in lacking(playing.lane)
        ]
    if playing.problems:
        raise InputError(sorted(playing.problems, key=lambda one: one.line))
    return Transcript(
        book=book_id,
        heat=row,
        entries=tuple(playing.entries),
        plans=tuple(playing.sealed),
        lane=playing.lane,
        wall=playing.zero,
    )


def heat_start_ms(folder: EventFolder, row: HeatLane) -> int:
    """The wall clock at the heat's start in the event's zone, UTC ms since 1970."""
    midnight = datetime.fromisoformat(row.date)
    local = midnight + timedelta(milliseconds=row.start_ms)
    moment = local.replace(tzinfo=ZoneInfo(folder.event.zone))
    return round(moment.timestamp() * 1000)


class _Playing:
    """One tally under way."""

    def __init__(
        self,
        folder: EventFolder,
        row: HeatLane,
        book: str,
        day: Sequence[Entry],
        carried: Carried | None,
    ) -> None:
        self._folder = folder
        self._row = row
        self._book = book
        self._day = list(day)
        self.zero = heat_start_ms(folder, row)
        self.entries: list[Entry] = []
        self.sealed: list[bytes] = []
        self.problems: list[Problem] = []
        self._before = carried.entries if carried is not None else ()
        if carried is None:
            self.lane = empty(self._resolved(self._day))
        else:
            # What is said now comes after all that it carries on.
            self.zero = max(self.zero, *(e.wall + 1 for e in self._before))
            self.lane = carried.lane

    def _resolved(self, day: Sequence[Entry]) -> Plan:
        return self._folder.plan_of(self._row, day)

    def press(self, at: int, act: Act) -> Refusal | None:
        """One line of the tally."""
        if isinstance(act, Go):
            self._leave_open()
        when = at if self.lane.started or isinstance(act, Go) else None
        if isinstance(act, Go):
            act = self._go(act)
        decided = decide(self.lane, Press(at=when, act=act, who=self._row.judge))
        if isinstance(decided, Refusal):
            return decided
        try:
            for draft in decided:
                self.add(at, draft)
        except InputError as error:
            return Refusal(says=error.problems[0].what)
        return None

    def call_time(self) -> None:
        """The clock has ended what paper does not say to be over."""
        end = looking.end_ms(self.lane)
        if end is not None and not looking.is_over(self.lane):
            self.press(end + self.lane.offset_ms, Time())

    def _leave_open(self) -> None:
        """What nobody checked on paper is left open for a reason of its own."""
        gear = self._folder.gear
        if gear is None or self.lane.started:
            return
        now = checks_in(self.lane.entries)
        check = LaneCheck(items=items(self.lane.plan, now, gear), now=now)
        left = check.going(TRANSCRIBED)
        if left is not None:
            self.add(None, Draft(at=None, set=None, body=left))

    def _go(self, act: Go) -> Go:
        data = encode_plan(self.lane.plan)
        self.sealed.append(data)
        return Go(
            boot="",
            boot_ms=0,
            zero_ms=self.zero,
            plans=((self._row.lane, plan_hash(data)),),
            offset_ms=act.offset_ms,
        )

    def add(self, at: int | None, draft: Draft) -> None:
        """An entry, and the lane after it."""
        entry = self._entry(at, draft)
        if isinstance(draft.body, Is | Scale):
            entry = self._change_of_day(entry, draft.body)
        self.entries.append(entry)
        self.lane = evolve(self.lane, entry)

    def _entry(self, at: int | None, draft: Draft) -> Entry:
        late = isinstance(draft.body, Go) and draft.body.offset_ms > 0
        heat_wide = isinstance(draft.body, Go) and not late
        return Entry(
            book=self._book,
            number=len(self.entries) + 1,
            lane=None if heat_wide else self._row.lane,
            at=draft.at,
            wall=self.zero + (at or 0),
            who=draft.who or self._row.judge,
            set=draft.set,
            body=draft.body,
        )

    def _change_of_day(self, entry: Entry, body: Is | Scale) -> Entry:
        plan = self._resolved([*self._day, entry])
        self._day.append(entry)
        if self.lane.started:
            plan = replace(plan, watching=self.lane.plan.watching)
        self.lane = fold(plan, (*self._before, *self.entries))
        if not self.lane.started:
            return entry
        data = encode_plan(plan)
        self.sealed.append(data)
        return replace(entry, body=replace(body, plan=plan_hash(data)))
