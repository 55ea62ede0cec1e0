"""Results told after class: joined by name, all decided before any is in the log.

A lane in which nothing was judged or reported is carried on. One that was needs another
run with its reason; like a tally it counts instead of a live one only by a ruling.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import Go, Is, Scale
from judgekit.core.errors import BookError, InputError, Problem
from judgekit.core.lane import fold
from judgekit.core.likenames import plain
from judgekit.core.people import HeatLane
from judgekit.core.plan import Plan
from judgekit.core.press import TakeBackOne
from judgekit.core.quantity import show_time
from judgekit.core.runs import Run, counting, day_entries, runs_of
from judgekit.core.setup import is_absent
from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.desk.transcribing import Carried, Transcript, read_tally, write
from judgekit.files.cleaning import quoted
from judgekit.files.resultlines import ResultLine, read_line, said_lines
from judgekit.files.resulttext import read_result
from judgekit.files.tally import Tally, TallyLine
from judgekit.files.tally_words import LineError
from judgekit.store import sqlite
from judgekit.store.folder import read_all
from judgekit.store.reading import plan_of, read_lanes

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.core.press import Act
    from judgekit.files.eventfolder import EventFolder
    from judgekit.store.folder import BookCopy
    from judgekit.store.reading import LaneRead


class _LineProblem(Exception):  # noqa: N818 - one line of the input, told with others
    def __init__(self, what: str, right: str = "") -> None:
        self.what = what
        self.right = right
        super().__init__(what)


def record(
    folder: EventFolder,
    heat: str,
    lines: Iterable[str],
    *,
    shown: str,
    again: str = "",
) -> tuple[Recorded, ...]:
    """Write every result into the log; what became of each.

    InputError names each line that cannot stand, and then nothing is written.
    """
    recording = _Recording(folder, heat, again)
    made: list[Transcript] = []
    problems: list[Problem] = []
    for number, text in said_lines(lines):
        try:
            made.append(recording.decided(number, text))
        except _LineProblem as wrong:
            what = f"{quoted(text)}: {wrong.what}"
            problems.append(
                Problem(file=shown, line=number, what=what, right=wrong.right)
            )
    if problems:
        raise InputError(problems)
    for one in made:
        write(folder, one)
    return _recorded(folder, heat, made)


def _recorded(
    folder: EventFolder, heat: str, made: Sequence[Transcript]
) -> tuple[Recorded, ...]:
    """Which of the results count, by the log as it is now."""
    read = read_lanes(folder.log, heat, rows=folder.heats, resolve=folder.plan_of)
    lanes = {lane.number: lane for lane in read.lanes}
    return tuple(_one_recorded(one, lanes[one.lane.plan.lane]) for one in made)


def _one_recorded(made: Transcript, read: LaneRead) -> Recorded:
    own = next((run for run in read.runs if _holds(run, made.book)), None)
    counts = own is None or read.run is None or read.run.number == own.number
    return Recorded(
        lane=made.lane,
        run=own.number if own is not None else 0,
        counting=None if counts else read.lane,
    )


def _holds(run: Run, book: str) -> bool:
    return any(claim.book == book for claim in run.claims)


def last_ms(lane: Lane) -> int | None:
    """When something was last judged or reported in a lane; None if never."""
    work = lane.work
    tried = [one.at for one in work.attempts]
    return max([*tried, *(said.at for said in work.reported)], default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """A result that was written down, as run `run` of its lane.

    `counting` is the lane as somebody judged it, which is the score all the same until
    a ruling says otherwise; None where the result counts.
    """

    lane: Lane
    run: int
    counting: Lane | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """A lane of the heat, who stands in it, and what its log holds so far."""

    row: HeatLane
    plan: Plan
    runs: tuple[Run, ...]

    @property
    def told(self) -> str:
        return f"{self.plan.bib} {self.plan.name}"


class _Recording:
    """The lines of one heat, decided one after the other; nothing is written here."""

    def __init__(self, folder: EventFolder, heat: str, again: str) -> None:
        self._folder = folder
        self._again = again
        self._copies = read_all(folder.log, heat)
        books: Mapping[str, tuple[Entry, ...]] = {c.id: c.entries for c in self._copies}
        self._day = day_entries(books)
        self._places = [
            _Place(
                row=row,
                plan=folder.plan_of(row, self._day),
                runs=runs_of(books, row.lane),
            )
            for row in folder.lanes(heat)
        ]
        self._told: dict[int, int] = {}

    def decided(self, number: int, text: str) -> Transcript:
        """What one line becomes."""
        try:
            line = read_line(text)
        except LineError as wrong:
            raise _LineProblem(str(wrong)) from wrong
        place = self._place_of(line.who)
        row = place.row
        if row.lane in self._told:
            before = self._told[row.lane]
            raise _LineProblem(f"{place.told} stands in line {before} already")
        self._told[row.lane] = number
        if is_absent(row, self._day):
            raise _LineProblem(f"{place.told} is marked absent")
        carried = self._carried(place)
        plan = place.plan if carried is None else carried.lane.plan
        scales = [self._scale(row, name) for name in line.instead]
        try:
            result = read_result(line.result, plan)
        except LineError as wrong:
            raise _LineProblem(str(wrong)) from wrong
        acts: list[Act] = [*scales, Go(boot="", boot_ms=0, zero_ms=0), result]
        if carried is not None:
            acts = [*_undoing(carried.lane), *scales, result]
        return self._transcript(line, place, carried, acts)

    def _transcript(
        self,
        line: ResultLine,
        place: _Place,
        carried: Carried | None,
        acts: Sequence[Act],
    ) -> Transcript:
        at = carried.at if carried is not None else 0
        tally = Tally(lines=tuple(TallyLine(line=1, at=at, act=act) for act in acts))
        run = len(place.runs) + 1 if carried is None else carried.number
        try:
            return read_tally(
                self._folder,
                place.row,
                tally,
                line.text.encode(),
                shown="",
                again=self._again,
                run=run,
                day=self._day,
                carried=carried,
            )
        except InputError as error:
            first = error.problems[0]
            raise _LineProblem(first.what, first.right) from error

    # --- who ------------------------------------------------------------------------

    def _place_of(self, who: str) -> _Place:
        """The one lane that is meant: by bib, whole name, or a name's beginning."""
        for means in (_has_bib, _has_name, _has_name_alike, _begins_alike):
            found = [place for place in self._places if means(place.plan, who)]
            if len(found) == 1:
                return found[0]
            if found:
                there = ", ".join(place.told for place in found)
                raise _LineProblem(
                    f"{quoted(who)} may be {there}", "write the bib or more of the name"
                )
        there = ", ".join(place.told for place in self._places)
        raise _LineProblem(f"nobody in this heat is {quoted(who)}", f"there is {there}")

    # --- what was there before --------------------------------------------------------

    def _carried(self, place: _Place) -> Carried | None:
        """The run to carry on, or None for a new one; a problem where that is not free.

        What was judged, or reported set by set, stays as it is.
        """
        run = counting(place.runs)
        if not place.runs:
            return None
        lane = None if run is None else self._lane(place, run)
        if run is None or lane is None:
            raise _LineProblem("its log is not scored", "a ruling says what counts")
        fresh = not (lane.work.attempts or lane.work.reported)
        if not self._again and (not fresh or lane.work.given is not None):
            raise _has_one_already(place, run, lane)
        if not fresh:
            return None
        self._check_free(run)
        if not lane.started:
            # Whoever sat down there never gave the go.
            return None
        return Carried(
            number=run.number,
            entries=run.entries,
            claimed=frozenset(claim.book for claim in run.claims),
            lane=lane,
        )

    def _lane(self, place: _Place, run: Run) -> Lane:
        plan = plan_of(place.row.lane, run, self._copies) or place.plan
        return fold(plan, run.entries)

    def _check_free(self, run: Run) -> None:
        """Nobody takes a lane from a desk that is open."""
        home = _home_of(run, self._copies)
        try:
            sqlite.take_lock(home, 0.0).release()
        except BookError as error:
            raise _LineProblem(str(error), "close that desk first (q)") from error

    # --- what is done -----------------------------------------------------------------

    def _scale(self, row: HeatLane, name: str) -> Scale:
        """The one movement of the workout that has such a substitute on its card."""
        who = [entry for entry in self._day if isinstance(entry.body, Is)]
        plan = self._folder.plan_of(row, who)
        used = dict.fromkeys(m.card for part in plan.parts for m in part.movements)
        options = {
            (card, option.card): self._folder.cards[option.card].name
            for card in used
            for option in self._folder.cards[card].substitutes
        }
        found = [
            pair
            for pair, said in options.items()
            if plain(name) in (pair[1], plain(said))
        ]
        if len(found) != 1:
            there = ", ".join(sorted({said.casefold() for said in options.values()}))
            what = "stands in for more than one movement" if found else "is none"
            raise _LineProblem(
                f"{quoted(name)} {what} of the substitutes here",
                f"they are {there or 'none'}" if not found else "use judgekit scale",
            )
        ((card, substitute),) = found
        return Scale(card=card, substitute=substitute)


def _has_one_already(place: _Place, run: Run, lane: Lane) -> _LineProblem:
    until = last_ms(lane)
    if run.source != "live" or until is None:
        return _LineProblem(
            "this lane has its result already", "--again REASON writes it once more"
        )
    how = "judged" if lane.work.attempts else "reported set by set"
    return _LineProblem(
        f"{place.told} was {how} until {show_time(until)}",
        "--again REASON writes this beside it, to count only by a ruling",
    )


def _undoing(lane: Lane) -> list[Act]:
    """What is said first where the lane has another result.

    It names that one by its time: a look may have been closed since.
    """
    given = lane.work.given
    if given is None:
        return []
    told = next(entry for entry in lane.entries if entry.ref == given.ref)
    return [TakeBackOne(at=lane.when(told))]


def _home_of(run: Run, copies: Sequence[BookCopy]) -> Path:
    book = run.claims[-1].book
    return next(copy.home for copy in copies if copy.id == book)


def _has_bib(plan: Plan, who: str) -> bool:
    return plan.bib == who


def _has_name(plan: Plan, who: str) -> bool:
    return plan.name.casefold() == who.casefold()


def _has_name_alike(plan: Plan, who: str) -> bool:
    wanted = plain(who)
    return bool(wanted) and plain(plan.name) == wanted


def _begins_alike(plan: Plan, who: str) -> bool:
    """Whether it is the beginning of a name, or of one of its words."""
    name, wanted = plain(plan.name), plain(who)
    # Of an accent alone nothing is left, and nothing begins every name.
    return bool(wanted) and f" {wanted}" in f" {name}"
