"""After the heat: faults with their likely ranges, when they come, and in time."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Literal, NamedTuple, get_args

from judgekit.core.values import dataclass
from judgekit.reports.faults import total_words
from judgekit.reports.frequencies import NOTHING, Named, person_words
from judgekit.reports.names import NO_REASON, OFF_CARD
from judgekit.reports.ratewords import NOT_COUNTED, out_of, percent
from judgekit.reports.tiring import when_words
from judgekit.review.frequencies import Person, frequencies
from judgekit.review.tiring import ALONG, Tiring, tiring
from judgekit.ui.text import cut, width_of, wrapped
from judgekit.ui.views.bars import (
    ASCII,
    BLOCKS,
    axis,
    bar,
    time_axis,
    time_line,
    top_of,
)
from judgekit.ui.views.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.review.attempts import AttemptRow, LaneRows
    from judgekit.review.faults import Rate
    from judgekit.review.frequencies import Frequency, Key
    from judgekit.ui.views.bars import Marks

Look = Literal["faults", "when", "time"]
LOOKS: tuple[Look, ...] = get_args(Look)
GROUPS: tuple[tuple[Key, ...], ...] = (
    ("movement", "fault"),
    ("movement",),
    ("athlete",),
    ("athlete", "fault"),
    ("division",),
    ("part",),
    ("round",),
    ("judge",),
    ("workout",),
    ("heat",),
)
_COUNTS, _RATE, _WHO, _FEW = 10, 7, 8, 3
_LEAST_LABEL, _MOST_LABEL, _LEAST_BAR = 12, 36, 20
_MANY_LINES = 9
_SEED = 1
_NO_SIGN = "?"
_HEADS = ("no-reps", "rate", "athletes")
_FEW_WORDS = "few: under 20 attempts, or a likely range wider than 20 points"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is looked at: grouped how, along what, and whose (empty: everybody's)."""

    look: Look = "faults"
    group: int = 0
    along: int = 0
    bib: str = ""

    def turned(self, by: int) -> Asked:
        """Grouped another way, or along something else; a time line has one way."""
        if self.look == "when":
            return replace(self, along=(self.along + by) % len(ALONG))
        if self.look == "faults":
            return replace(self, group=(self.group + by) % len(GROUPS))
        return self

    def next_look(self) -> Asked:
        """Looked at in the next way."""
        at = (LOOKS.index(self.look) + 1) % len(LOOKS)
        return replace(self, look=LOOKS[at])


class Reviewed:
    """An event's rows; what takes long to reckon is reckoned once."""

    def __init__(
        self,
        event: str,
        lanes: Sequence[LaneRows],
        judges: Mapping[str, str],
        *,
        ascii_only: bool = False,
    ) -> None:
        self.event = event
        self.judges = judges
        self.marks: Marks = ASCII if ascii_only else BLOCKS
        self._lanes = tuple(lanes)
        self._tiring: dict[tuple[int, str], Tiring] = {}

    @cached_property
    def people(self) -> Mapping[str, Person]:
        """Whoever tried something, by bib."""
        found = frequencies(self._lanes, ("athlete",)).people
        return {person.bib: person for person in found.values()}

    def lanes(self, bib: str) -> tuple[LaneRows, ...]:
        """All lanes, or what one athlete tried."""
        if not bib:
            return self._lanes
        own = (
            replace(
                lane,
                attempts=tuple(
                    row for row in lane.attempts if bib in (row.by, lane.facts.plan.bib)
                ),
            )
            for lane in self._lanes
        )
        return tuple(lane for lane in own if lane.attempts)

    def tiring(self, asked: Asked) -> Tiring:
        """When in the work no-reps come; the same draws each time."""
        key = (asked.along, asked.bib)
        if key not in self._tiring:
            chance = random.Random(_SEED)  # noqa: S311 - draws, not secrets
            found = tiring(self.lanes(asked.bib), ALONG[asked.along], chance)
            self._tiring[key] = found
        return self._tiring[key]


def title(of: Reviewed, asked: Asked) -> str:
    """What is shown, and whose."""
    what = {
        "faults": f"faults by {' and '.join(GROUPS[asked.group])}",
        "when": f"no-reps by {ALONG[asked.along]}",
        "time": "no-reps on a time line",
    }[asked.look]
    person = of.people.get(asked.bib)
    whose = f", {person_words(person)}" if person is not None else ""
    return f"{of.event}: {what}{whose}"


def review_lines(of: Reviewed, asked: Asked, columns: int) -> tuple[SheetLine, ...]:
    """All lines of what is asked for, each as wide as the screen at most."""
    made = {"faults": _faults, "when": _when, "time": _times}[asked.look]
    return tuple(made(of, asked, columns))


# --- rates with bars -----------------------------------------------------------------


class _Row(NamedTuple):
    """One bar: what it is of, its rate, and how many athletes that is."""

    label: str
    rate: Rate
    who: str


def _faults(of: Reviewed, asked: Asked, columns: int) -> Iterator[SheetLine]:
    found = frequencies(of.lanes(asked.bib), GROUPS[asked.group])
    if not found.rows:
        words = total_words(found.total) if found.total.attempts else NOTHING
        yield SheetLine("plain", words)
        return
    named = Named(found=found, judges=of.judges)
    rows = [
        _Row(_label(named, row), row.rate, f"{row.athletes} of {row.of_athletes}")
        for row in found.rows
    ]
    yield from _table(", ".join(found.by), rows, of.marks, columns)
    yield SheetLine("plain", "")
    for text in wrapped(total_words(found.total), columns, _MANY_LINES):
        yield SheetLine("soft", text)


def _label(named: Named, row: Frequency) -> str:
    label = ", ".join(named.shown(row, place) for place in range(len(row.of)))
    return label if row.watched == "judged" else f"{label} ({row.watched})"


def _when(of: Reviewed, asked: Asked, columns: int) -> Iterator[SheetLine]:
    found = of.tiring(asked)
    if not found.places:
        yield SheetLine("plain", NOTHING)
        return
    for text in wrapped(when_words(found), columns, _MANY_LINES):
        yield SheetLine("score", text)
    yield SheetLine("plain", "")
    rows = [
        _Row(f"{found.along} {place.at}", place.rate, f"{place.athletes}")
        for place in found.places
    ]
    yield from _table(found.along, rows, of.marks, columns)


def _table(
    head: str, rows: Sequence[_Row], marks: Marks, columns: int
) -> Iterator[SheetLine]:
    """Bars below their scale with their numbers; where narrow, the numbers alone."""
    laid = _Laid.of(rows, columns)
    yield SheetLine("soft", laid.head(head))
    for row in rows:
        yield SheetLine("plain", laid.row(row, marks))
    if any(row.rate.is_small for row in rows):
        for text in wrapped(_FEW_WORDS, columns, _MANY_LINES):
            yield SheetLine("soft", text)
    if any(row.rate.attempts is None for row in rows):
        words = f"of ?: {NOT_COUNTED}, so that there is no rate"
        for text in wrapped(words, columns, _MANY_LINES):
            yield SheetLine("soft", text)


class _Laid(NamedTuple):
    """How wide label and bar are (0: there is no room for bars), and the scale."""

    label: int
    bar: int
    top: float

    @classmethod
    def of(cls, rows: Sequence[_Row], columns: int) -> _Laid:
        """As wide as the rows and the screen ask for."""
        few = _FEW + 1 if any(row.rate.is_small for row in rows) else 0
        room = columns - (_COUNTS + _RATE + _WHO + 4 + few)
        top = top_of(row.rate for row in rows)
        if room < _LEAST_LABEL + _LEAST_BAR:
            return cls(max(_LEAST_LABEL, columns - _COUNTS - _RATE - 2), 0, top)
        widest = max(width_of(row.label) for row in rows)
        label = max(_LEAST_LABEL, min(widest, _MOST_LABEL, room - _LEAST_BAR))
        return cls(label, room - label, top)

    def head(self, text: str) -> str:
        """The line above the rows."""
        counts, rate, who = _HEADS
        line = [f"{counts:>{_COUNTS}}", f"{rate:>{_RATE}}"]
        if self.bar:
            line = [axis(self.top, self.bar), *line, f"{who:>{_WHO}}"]
        return " ".join([_fit(text, self.label), *line])

    def row(self, row: _Row, marks: Marks) -> str:
        """One row."""
        shown = "" if row.rate.rate is None else percent(row.rate.rate)
        line = [f"{out_of(row.rate):>{_COUNTS}}", f"{shown:>{_RATE}}"]
        if self.bar:
            drawn = bar(row.rate, self.top, self.bar, marks)
            few = "few" if row.rate.is_small else ""
            line = [drawn, *line, f"{row.who:>{_WHO}}", few]
        return " ".join([_fit(row.label, self.label), *line]).rstrip()


def _fit(text: str, columns: int) -> str:
    """The text in so many cells."""
    shown = cut(text, columns)
    return shown + " " * (columns - width_of(shown))


# --- a line of time ------------------------------------------------------------------


def _times(of: Reviewed, asked: Asked, columns: int) -> Iterator[SheetLine]:
    lanes = [
        lane for lane in of.lanes(asked.bib) if any(row.timed for row in lane.attempts)
    ]
    if not lanes:
        yield SheetLine("plain", NOTHING)
        return
    names = [_lane_name(of, lane) for lane in lanes]
    label = min(max(map(width_of, names)), max(_LEAST_LABEL, columns // 3))
    wide = columns - label - 1
    whole = max(row.at for lane in lanes for row in lane.attempts) + 1
    signs: dict[str, str] = {}
    yield SheetLine("soft", f"{' ' * label} {time_axis(whole, wide)}")
    for lane, name in zip(lanes, names, strict=True):
        seen = [
            (row.at, _sign(row, lane, signs))
            for row in lane.attempts
            if row.timed and not row.good
        ]
        worked = max(row.at for row in lane.attempts)
        drawn = time_line(seen, worked, whole, wide, of.marks.lead)
        yield SheetLine("plain", f"{_fit(name, label)} {drawn}".rstrip())
    yield SheetLine("plain", "")
    known = ", ".join(f"{sign} {call}" for sign, call in sorted(signs.items()))
    words = f"{known}; a digit: so many at once" if known else "No no-reps."
    for text in wrapped(words, columns, _MANY_LINES):
        yield SheetLine("soft", text)


def _lane_name(of: Reviewed, lane: LaneRows) -> str:
    plan = lane.facts.plan
    person = of.people.get(plan.bib)
    who = person_words(person) if person is not None else plan.bib
    return f"{plan.heat}.{plan.lane} {who}"


def _sign(row: AttemptRow, lane: LaneRows, signs: dict[str, str]) -> str:
    """The fault's key on the Floor, and what it is called, kept for the legend."""
    reason = row.faults[0] if row.faults else ""
    fault = lane.facts.plan.card(row.set.card).fault(reason)
    if fault is not None:
        _name(signs, fault.key, fault.call)
        return fault.key
    _name(signs, _NO_SIGN, f"{reason} ({OFF_CARD})" if reason else NO_REASON)
    return _NO_SIGN


def _name(signs: dict[str, str], sign: str, call: str) -> None:
    known = signs.get(sign)
    if known is None:
        signs[sign] = call
    elif call not in known.split(" or "):
        signs[sign] = f"{known} or {call}"
