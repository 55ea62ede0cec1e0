"""people.csv and heats.csv: read whole or not at all, every problem named by its row.

A row's number is the line on which it begins, the header being row 1. The apostrophe
that `csv_text` puts before a would-be formula is taken off again.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection
from difflib import get_close_matches
from typing import TYPE_CHECKING, TypeVar, get_args

from judgekit.core import quantity
from judgekit.core.errors import InputError, Problem
from judgekit.core.measuring import REACH_SPAN, USUAL_REACH
from judgekit.core.people import Athlete, HeatLane, ShowAs
from judgekit.core.values import dataclass
from judgekit.files.cleaning import clean, quoted
from judgekit.files.csvtext import from_csv_text
from judgekit.files.order import bib_order as bib_order  # noqa: PLC0414 - asked of here
from judgekit.files.sheet import Columns, Row, Sheet, read_sheet

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from pathlib import Path

    from judgekit.core.people import Division, Event
    from judgekit.core.quantity import Dimension, Quantity

PEOPLE = Columns(
    required=("bib", "name", "division"),
    optional=("id", "reach", "body-mass", "team", "show", "private"),
)
HEATS = Columns(
    required=("heat", "start", "workout", "lane", "bib", "judge"), optional=("date",)
)

_SHORT, _NAME, _LONG = 20, 40, 500
_WHOLE = 10_000
_NEAR = 0.5
# No person has another mass: whatever lies outside has a slipped unit.
_BODY_MASS = ("10 kg", "400 kg")
_SHOWN_AS: dict[str, ShowAs] = {str(word): word for word in get_args(ShowAs)}

_AMBIGUOUS = re.compile(r"\d,\d{3}(?!\d)")
_LANE = re.compile(r"0?[1-9]|[1-9]\d", re.ASCII)
_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?", re.ASCII)
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)

T = TypeVar("T")


def read_people(
    path: Path, shown: str, divisions: Sequence[Division] | None
) -> tuple[tuple[Athlete, ...], tuple[Problem, ...]]:
    """The athletes in the file's order, and advice.

    A file with a header and no rows is an event without athletes yet. Without
    `divisions` (event.toml was unreadable) they are not checked. Raises InputError
    with every problem, advice included.
    """
    sheet = read_sheet(path, shown, PEOPLE)
    athletes = [_athlete(_Cells(sheet, row), divisions) for row in sheet.rows]
    lines = [row.line for row in sheet.rows]
    bibs = [athlete.bib for athlete in athletes]
    for bib, first, line in _twice(zip(bibs, lines, strict=True)):
        sheet.wrong(
            line,
            f"rows {first} and {line} both have bib {quoted(bib)}",
            "give each its own",
        )
    _check_teams(athletes, lines, sheet)
    _advise_alike(dict(zip(bibs, lines, strict=True)), sheet)
    return tuple(athletes), _advice(sheet)


def entrants_in(path: Path, for_teams: Collection[str] = ()) -> Entrants | None:
    """The bibs and teams of a people.csv whose other cells may be wrong.

    None where rows cannot be told apart, so that nobody knows which bibs there are.
    """
    sheet = read_sheet(path, "", PEOPLE)
    if any(not problem.advice for problem in sheet.problems):
        return None
    rows = [_Cells(sheet, row) for row in sheet.rows]
    teams = dict.fromkeys(cells.team() for cells in rows)
    return Entrants(
        bibs=tuple(cells.bib() for cells in rows),
        teams=tuple(team for team in teams if team),
        for_teams=for_teams,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Entrants:
    """Who may stand in a lane: athletes by their bibs, or teams by their names.

    `for_teams` are the workouts that teams do.
    """

    bibs: Collection[str]
    teams: Collection[str] = ()
    for_teams: Collection[str] = ()


def read_heats(
    path: Path,
    shown: str,
    *,
    event: Event | None,
    entrants: Entrants | None,
    workouts: Collection[str] | None,
) -> tuple[tuple[HeatLane, ...], tuple[Problem, ...]]:
    """The lanes in the file's order, and advice.

    A file with a header and no rows is an event without heats yet. What is None was
    unreadable and is not checked against. Raises InputError with every problem,
    advice included.
    """
    sheet = read_sheet(path, shown, HEATS)
    lanes = []
    for row in sheet.rows:
        cells = _Cells(sheet, row)
        lane = _heat_lane(cells, event.date if event else "")
        lanes.append((lane, row.line))
        _check_entrant(cells, lane, entrants)
        cells.check("workout", lane.workout, workouts)
        if event and event.judges:
            cells.check("judge", lane.judge, [judge.id for judge in event.judges])
    _check_lanes(lanes, sheet)
    return tuple(lane for lane, _ in lanes), _advice(sheet)


@dataclass(frozen=True, slots=True)
class _Cells:
    """One row's cells, checked one by one; what is wrong goes to the sheet."""

    sheet: Sheet
    row: Row

    def wrong(self, what: str, right: str = "") -> None:
        self.sheet.wrong(self.row.line, what, right)

    def text(self, name: str, limit: int) -> str:
        whole = clean(from_csv_text(self.row.cells.get(name, "")), _WHOLE)
        cut = clean(whole, limit)
        if cut != whole:
            self.sheet.advise(self.row.line, f"{name} is cut to {limit} letters")
        return cut

    def needed(self, name: str, limit: int) -> str:
        text = self.text(name, limit)
        if not text:
            self.wrong(f"{name} is empty", "fill it in")
        return text

    def bib(self) -> str:
        """Never cut: two long bibs must not become one."""
        bib = self.needed("bib", _WHOLE)
        if len(bib) > _SHORT:
            self.wrong(f"the bib is longer than {_SHORT} letters", "shorten it")
        return bib

    def team(self) -> str:
        """Never cut, as it stands for its members in a lane."""
        team = self.text("team", _WHOLE)
        if len(team) > _SHORT:
            self.wrong(f"the team is longer than {_SHORT} letters", "shorten it")
        return team

    def quantity(
        self, name: str, dimension: Dimension, span: tuple[str, str]
    ) -> Quantity | None:
        text = self.text(name, _NAME)
        if not text:
            return None
        try:
            amount = quantity.parse_as(self._with_full_stop(text), dimension)
        except ValueError as error:
            self.wrong(f"{name}: {error}", f'write it like "{span[1]}"')
            return None
        low, high = (quantity.parse(end).amount for end in span)
        if not low <= amount.amount <= high:
            self.wrong(
                f"{name} {text} is not between {span[0]} and {span[1]}",
                "check the number and its unit",
            )
        return amount

    def reach(self) -> Quantity | None:
        """How high the athlete's fingertips are; an unusual height is asked about."""
        reach = self.quantity("reach", "length", REACH_SPAN)
        least, low, high, most = (
            quantity.parse(end).amount
            for end in (REACH_SPAN[0], *USUAL_REACH, REACH_SPAN[1])
        )
        if reach is not None and (
            least <= reach.amount < low or high < reach.amount <= most
        ):
            self.sheet.advise(
                self.row.line,
                f"a reach of {quantity.shown(reach)} is outside what nearly all grown "
                f"people have, {USUAL_REACH[0]} to {USUAL_REACH[1]}",
                "check the number and its unit, or measure again",
            )
        return reach

    def _with_full_stop(self, text: str) -> str:
        """A decimal comma is read only where commas do not part the cells."""
        if _AMBIGUOUS.search(text) or ("," in text and "." in text):
            raise ValueError(f'"{text}" can be read as two different numbers')
        return text if self.sheet.delimiter == "," else text.replace(",", ".")

    def show(self) -> ShowAs:
        word = self.text("show", _SHORT).casefold()
        if word and word not in _SHOWN_AS:
            self.wrong(f'show cannot be "{word}"', "use name, initials or number")
        return _SHOWN_AS.get(word, "name")

    def lane(self) -> int:
        """The lane's number; 0 where the cell holds none."""
        text = self.needed("lane", _SHORT)
        if _LANE.fullmatch(text):
            return int(text)
        if text:
            self.wrong(f'lane "{text}" is not a whole number', "use 1 to 99")
        return 0

    def start_ms(self) -> int:
        """The clock time in ms since midnight; -1 where the cell holds none."""
        text = self.needed("start", _SHORT)
        clock = _CLOCK.fullmatch(text)
        if clock:
            hours, minutes, seconds = (int(number or 0) for number in clock.groups())
            return ((hours * 60 + minutes) * 60 + seconds) * 1000
        if text:
            self.wrong(
                f'start "{text}" is not a time of day', "write it like 09:30 or 14:05"
            )
        return -1

    def date(self, default: str) -> str:
        text = self.text("date", _SHORT)
        if text and not is_date(text):
            self.wrong(f'date "{text}" is not a date', "write it like 2027-05-08")
        return text or default

    def check(self, name: str, word: str, known: Collection[str] | None) -> None:
        """Names an unknown word, and the nearest known one."""
        if word and known is not None and word not in known:
            self.wrong(f"there is no {name} {quoted(word)}", _nearest(word, known))


def is_date(text: str) -> bool:
    """Whether the text is a date of the calendar, as YYYY-MM-DD."""
    if not _DATE.fullmatch(text):
        return False
    try:
        dt.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _nearest(word: str, known: Iterable[str]) -> str:
    """Advice on what may have been meant: the nearest known word, or all of them."""
    words = sorted(set(known), key=bib_order)
    if not words:
        return "none is written yet"
    alike = [other for other in words if bib_order(other)[0] == bib_order(word)[0]]
    near = alike or get_close_matches(word, words, 1, _NEAR)
    if near:
        return f"the nearest is {quoted(near[0])}"
    more = " ..." if words[_SHORT:] else ""
    return f"use one of {', '.join(clean(w, _NAME) for w in words[:_SHORT])}{more}"


def _athlete(cells: _Cells, divisions: Sequence[Division] | None) -> Athlete:
    """One athlete; where a cell is wrong, the sheet says so and the value is void."""
    division = cells.needed("division", _NAME)
    known = None if divisions is None else [division.id for division in divisions]
    cells.check("division", division, known)
    return Athlete(
        bib=cells.bib(),
        name=cells.needed("name", _NAME),
        division=division,
        person=cells.text("id", _NAME),
        reach=cells.reach(),
        body_mass=cells.quantity("body-mass", "mass", _BODY_MASS),
        team=cells.team(),
        show=cells.show(),
        private=cells.text("private", _LONG),
    )


def _check_entrant(cells: _Cells, lane: HeatLane, entrants: Entrants | None) -> None:
    if entrants is None:
        return
    if lane.workout in entrants.for_teams:
        cells.check("team", lane.bib, entrants.teams)
    else:
        cells.check("bib", lane.bib, entrants.bibs)


def _check_teams(
    athletes: Sequence[Athlete], lines: Sequence[int], sheet: Sheet
) -> None:
    """A team stands in a lane by its name, so that must be nobody's bib."""
    bibs = {athlete.bib for athlete in athletes}
    told: set[str] = set()
    for athlete, line in zip(athletes, lines, strict=True):
        if athlete.team and athlete.team in bibs - told:
            told.add(athlete.team)
            sheet.wrong(
                line,
                f"the team {quoted(athlete.team)} is called like a bib",
                "give it another name",
            )


def _heat_lane(cells: _Cells, date: str) -> HeatLane:
    """One lane; where a cell is wrong, the sheet says so and the value is void."""
    return HeatLane(
        heat=cells.needed("heat", _NAME),
        date=cells.date(date),
        start_ms=cells.start_ms(),
        workout=cells.needed("workout", _NAME),
        lane=cells.lane(),
        bib=cells.bib(),
        judge=cells.text("judge", _NAME),
    )


def _check_lanes(lanes: Sequence[tuple[HeatLane, int]], sheet: Sheet) -> None:
    in_lane = (((lane.heat, lane.lane), line) for lane, line in lanes if lane.lane)
    for (heat, number), first, line in _twice(in_lane):
        sheet.wrong(
            line,
            f"rows {first} and {line} both put someone in heat {heat}, lane {number}",
            "give one of them another lane",
        )
    in_heat = (((lane.heat, lane.bib), line) for lane, line in lanes if lane.bib)
    for (heat, bib), first, line in _twice(in_heat):
        sheet.wrong(
            line,
            f"rows {first} and {line} both put bib {quoted(bib)} in heat {heat}",
            "take one of them out",
        )
    for what, values in (
        ("workout", [(lane.heat, lane.workout, line) for lane, line in lanes]),
        ("start", [(lane.heat, lane.start_ms, line) for lane, line in lanes]),
        ("date", [(lane.heat, lane.date, line) for lane, line in lanes]),
    ):
        _check_agree(what, values, sheet)


def _check_agree(
    what: str, values: Sequence[tuple[str, str | int, int]], sheet: Sheet
) -> None:
    """All rows of a heat say the same; empty and unreadable values say nothing."""
    said: dict[str, tuple[str | int, int]] = {}
    for heat, value, line in values:
        if value in ("", -1):
            continue
        first, first_line = said.setdefault(heat, (value, line))
        if value != first:
            sheet.wrong(
                line,
                f"rows {first_line} and {line} give heat {heat} another {what} each",
                f"a heat has one {what}",
            )


def _twice(rows: Iterable[tuple[T, int]]) -> Iterator[tuple[T, int, int]]:
    """Each repeated key with the row that had it first, and the repeating row."""
    seen: dict[T, int] = {}
    for key, line in rows:
        first = seen.setdefault(key, line)
        if key and first != line:
            yield key, first, line


def _advise_alike(bibs: dict[str, int], sheet: Sheet) -> None:
    """Bibs that differ but sound the same over a microphone: "7" and "007"."""
    groups: dict[object, tuple[str, int]] = {}
    for bib, line in bibs.items():
        first, first_line = groups.setdefault(bib_order(bib)[0], (bib, line))
        if first != bib:
            sheet.advise(
                line,
                f"bibs {quoted(first)} (row {first_line}) and {quoted(bib)} "
                f"(row {line}) are two athletes",
                "change one if that is not meant",
            )


def _advice(sheet: Sheet) -> tuple[Problem, ...]:
    """The sheet's advice; InputError with everything if anything is wrong."""
    found = sorted(sheet.problems, key=lambda problem: problem.line)
    if any(not problem.advice for problem in found):
        raise InputError(found)
    return tuple(found)
