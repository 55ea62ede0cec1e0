"""What changed since last time, and what comes again, as bars with their ranges."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.ratewords import out_of, points
from judgekit.reports.sessions import (
    AGAIN_READ,
    fault_word,
    says,
    since_words,
    then_words,
)
from judgekit.ui.text import wrapped
from judgekit.ui.views.barrows import BarRow, BarTable, Numbers, bar_lines
from judgekit.ui.views.bars import (
    axis,
    bar,
    change_axis,
    change_bar,
    change_top,
    top_of,
)
from judgekit.ui.views.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from judgekit.review.sessions import Change, Recurring, Sessions
    from judgekit.ui.views.bars import Marks

_NOTHING = (
    "No session before this one is known: nothing beside this event, or in the folder "
    "that --history names, had these movements in the last 56 days."
)
_EVERYBODY = (
    "Of everybody: an athlete's own changes stand on the athlete's sheet, where "
    "people.csv has an id."
)
_SINCE = (Numbers("now", 10), Numbers("then", 10), Numbers("points", 6))
_AGAIN = (Numbers("no-reps", 10), Numbers("sessions", 8))
_MANY_LINES = 9


def since_lines(
    found: Sessions, bib: str, marks: Marks, columns: int
) -> Iterator[SheetLine]:
    """Changes, then what comes again; both are of everybody."""
    if not found.changes and not found.recurring:
        yield from _soft(_NOTHING, columns)
        return
    if bib:
        yield from _soft(_EVERYBODY, columns)
    if found.changes:
        yield from bar_lines(_changes(found, marks), columns)
        yield SheetLine("plain", "")
        yield from _soft(f"{then_words(found)} {since_words(found)}", columns)
    if found.changes and found.recurring:
        yield SheetLine("plain", "")
    if found.recurring:
        yield from bar_lines(_again(found, marks), columns)
        yield SheetLine("plain", "")
        yield from _soft(AGAIN_READ, columns)


def _soft(words: str, columns: int) -> Iterator[SheetLine]:
    for text in wrapped(words, columns, _MANY_LINES):
        yield SheetLine("soft", text)


def _label(one: Change | Recurring) -> tuple[str, str]:
    return one.movement, fault_word(one)


def _changes(found: Sessions, marks: Marks) -> BarTable:
    top = change_top(
        (one.by, one.now.is_small or one.then.is_small) for one in found.changes
    )

    def drawn(one: Change) -> Callable[[int], str]:
        return lambda columns: change_bar(one.by, top, columns, marks)

    rows = [
        BarRow(
            _label(one),
            drawn(one),
            (out_of(one.now), out_of(one.then), *points(one.by.by)),
            says(one) if one.is_clear else "",
        )
        for one in found.changes
    ]
    return BarTable(
        "since last time", lambda wide: change_axis(top, wide), _SINCE, rows
    )


def _again(found: Sessions, marks: Marks) -> BarTable:
    top = top_of(one.rate for one in found.recurring)

    def drawn(one: Recurring) -> Callable[[int], str]:
        return lambda columns: bar(one.rate, top, columns, marks)

    rows = [
        BarRow(
            _label(one),
            drawn(one),
            (out_of(one.rate), f"{one.seen} of {one.sessions}"),
        )
        for one in found.recurring
    ]
    return BarTable("comes again", lambda wide: axis(top, wide), _AGAIN, rows)
