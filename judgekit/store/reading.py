"""From an event's log to its lanes: books, runs, sealed plans, folded states.

What is damaged is named and left out; what two desks dispute is shown, unscored.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from judgekit.core.entry import Claim, Entry
from judgekit.core.lane import empty, fold
from judgekit.core.looking import read_up_to, sealed_plan
from judgekit.core.people import HeatLane
from judgekit.core.plan import Plan
from judgekit.core.runs import Run, counting, day_entries, runs_of
from judgekit.core.setup import is_absent
from judgekit.core.state import Lane
from judgekit.core.twojudges import lower_of, second_counting, second_lane
from judgekit.core.values import dataclass
from judgekit.store import chain
from judgekit.store.collector import collector_still
from judgekit.store.folder import BookCopy, Found, look

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.ruling import Ref

Resolve = Callable[[HeatLane, Sequence[Entry]], Plan]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneRead:
    """A lane as its log says it is.

    `run` is the one that counts; where none does, `lane` is the newest one's, shown
    but not scored (with no run at all it is a lane that waits). `log_code` is empty
    while nothing was read. Where two judges count, `second` is the lane as the second
    one has it, and `codes` has a code for each of the two.
    """

    heat: str
    number: int
    runs: tuple[Run, ...]
    run: Run | None
    lane: Lane
    second: Lane | None = None
    codes: tuple[str, ...] = ()

    @property
    def log_code(self) -> str:
        """What the lane was read up to: of every book that its score is made of."""
        return chain.code_of(self.codes)

    @property
    def beside(self) -> tuple[Entry, ...]:
        """The second judge's log, where two are to count and one has."""
        run = second_counting(self.runs) if self.lane.plan.team.judges > 1 else None
        return () if run is None else run.entries

    @property
    def counted(self) -> Lane:
        """The lane as it counts: of two judges' counts the lower one."""
        return self.lane if self.second is None else lower_of(self.lane, self.second)

    @property
    def scored(self) -> bool:
        """Whether the lane may be ranked: nothing was logged yet, or a run counts."""
        return self.run is not None or not self.runs


@dataclass(frozen=True, slots=True, kw_only=True)
class EventRead:
    """Lanes in the order of the heat list, and what is wrong with the log.

    `day` has each heat's own day entries, whichever of its books they stand in.
    """

    lanes: tuple[LaneRead, ...]
    wrong: tuple[str, ...]
    day: Mapping[str, tuple[Entry, ...]]


def read_lanes(
    log: Path,
    heat: str | None = None,
    *,
    rows: Sequence[HeatLane] = (),
    resolve: Resolve | None = None,
    past: bool = False,
) -> EventRead:
    """The lanes of a log, as `lanes_of` tells of what is found in it."""
    found = look(log, heat)
    return lanes_of(found, heat, rows=rows, resolve=resolve, past=past)


@collector_still()
def lanes_of(
    found: Found,
    heat: str | None = None,
    *,
    rows: Sequence[HeatLane] = (),
    resolve: Resolve | None = None,
    past: bool = False,
) -> EventRead:
    """The lanes of the heat list, or of one heat; then those only the log knows.

    `resolve` makes the plan of a lane that has none sealed yet, from its row and the
    heat's day entries; the InputError that it may raise is passed on. Without it the
    log alone is read. For what is `past` and no score any more, a damaged book is read
    as far as it holds, and a lane that never started is none.
    """
    wrong = [str(one) for one in (*found.damaged, *found.forks)]
    books: dict[str, list[BookCopy]] = {}
    for copy in (*found.copies, *(_standing(found) if past else ())):
        books.setdefault(copy.heat, []).append(copy)
    heats = {name: _Books(copies) for name, copies in books.items()}
    listed: list[HeatLane] = []
    lanes: list[LaneRead] = []
    if resolve is not None:
        listed = [row for row in rows if heat in (None, row.heat)]
        lanes = [
            _listed(row, heats.get(row.heat) or _Books(()), resolve) for row in listed
        ]
    known = {(row.heat, row.lane) for row in listed}
    for name, of_heat in sorted(heats.items()):
        for number in of_heat.claimed():
            if (name, number) in known:
                continue
            lane = of_heat.read(name, number, None)
            if lane is None and not past:
                wrong.append(
                    f"heat {name}, lane {number} is in the log, but neither in "
                    "heats.csv nor started"
                )
            elif lane is not None:
                lanes.append(lane)
    day = {name: of_heat.day for name, of_heat in heats.items()}
    return EventRead(lanes=tuple(lanes), wrong=tuple(wrong), day=day)


def _standing(found: Found) -> list[BookCopy]:
    """What stands of damaged books that nobody carried on from."""
    known = {copy.id for copy in found.copies}
    standing = {
        one.standing.id: one.standing
        for one in found.damaged
        if one.standing is not None and one.standing.id not in known
    }
    return list(standing.values())


def plan_of(number: int, run: Run, copies: Sequence[BookCopy]) -> Plan | None:
    """The lane's newest sealed plan in a run, or None before go."""
    sealed = sealed_plan(run.entries, number)
    return next((c.plans[sealed] for c in copies if sealed in c.plans), None)


def newest_of(runs: Sequence[Run]) -> Run | None:
    """The run that is shown where none counts: the newest that is to score."""
    scoring = [one for one in runs if one.source != "second"] or list(runs)
    return scoring[-1] if scoring else None


def with_second(read: LaneRead) -> LaneRead:
    """The same with the lane as the second judge has it, where two are to count."""
    beside = read.beside
    return replace(read, second=second_lane(read.lane, beside)) if beside else read


def _listed(row: HeatLane, books: _Books, resolve: Resolve) -> LaneRead:
    read = books.read(row.heat, row.lane, None)
    if read is not None:
        return read
    lane = replace(empty(resolve(row, books.day)), absent=is_absent(row, books.day))
    again = books.read(row.heat, row.lane, lane)
    return again or LaneRead(
        heat=row.heat, number=row.lane, runs=(), run=None, lane=lane
    )


class _Books:
    """The books of one heat."""

    def __init__(self, copies: Sequence[BookCopy]) -> None:
        self._copies = copies
        self.entries = {copy.id: copy.entries for copy in copies}
        self._lanes = {copy.id: {e.lane for e in copy.entries} for copy in copies}

    @cached_property
    def day(self) -> tuple[Entry, ...]:
        """What was said on the day; gone through once, however many lanes wait."""
        return day_entries(self.entries)

    def _about(self, number: int) -> dict[str, Sequence[Entry]]:
        """The books that say anything of a lane; the others would only take time."""
        return {
            book: entries
            for book, entries in self.entries.items()
            if number in self._lanes[book]
        }

    def claimed(self) -> list[int]:
        """The lanes that anybody ever claimed."""
        return sorted(
            {
                entry.lane
                for entries in self.entries.values()
                for entry in entries
                if isinstance(entry.body, Claim) and entry.lane is not None
            }
        )

    def read(self, heat: str, number: int, waiting: Lane | None) -> LaneRead | None:
        """A lane by its runs, or None if there are none or its plan is not known.

        `waiting` is the lane before its first entry, for a run without a sealed plan.
        """
        runs = runs_of(self._about(number), number)
        run = counting(runs)
        shown = run or newest_of(runs)
        if shown is None:
            return None
        plan = plan_of(number, shown, self._copies) or (
            waiting.plan if waiting else None
        )
        if plan is None:
            return None
        lane = fold(plan, shown.entries)
        read = with_second(
            LaneRead(heat=heat, number=number, runs=runs, run=run, lane=lane)
        )
        return replace(read, codes=self._codes(read))

    def _codes(self, read: LaneRead) -> tuple[str, ...]:
        """A code of each judge; what officials wrote of both is in the first one's."""
        first = read_up_to(read.lane)
        known = {ref.book for ref in first}
        second = () if read.second is None else read_up_to(read.second)
        others = [ref for ref in second if ref.book not in known]
        return tuple(self._code(refs) for refs in (first, others) if refs)

    def _code(self, refs: Sequence[Ref]) -> str:
        copies = {copy.id: copy for copy in self._copies}
        return chain.code_of(
            [
                chain.piece(ref.number, copies[ref.book].hash_at(ref.number))
                for ref in refs
            ]
        )
