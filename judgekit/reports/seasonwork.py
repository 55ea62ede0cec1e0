"""How sets were done over a season, and what no-reps took: for people and as data.

CSV has a row for each group. JSON is an object with `format` (1), title, columns, rows
and notes. Times are in ms there, in seconds for people.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.cost import HOW_LONG, took
from judgekit.reports.layout import Column, Table
from judgekit.reports.piecetext import seconds
from judgekit.reports.ratewords import REMARK, without_empty
from judgekit.reports.seasonnames import (
    Names,
    columns_of,
    told_apart,
    unjoined,
    values,
)
from judgekit.review.season import Word
from judgekit.review.seasondone import FEW_SETS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.reports.layout import Cell
    from judgekit.review.seasondone import LostGroup, SetGroup

_SETS = (
    Column(name="Sets", key="sets", align="right"),
    Column(name="Untold", key="untold", align="right"),
    Column(name="Unbroken", key="unbroken", align="right"),
    Column(name="Advised", key="advised", align="right"),
    Column(name="As advised", key="as_advised", align="right"),
    Column(name="Pace", key="pace_ms", align="right", unit="ms"),
    Column(name="Breaks", key="breaks", align="right"),
    Column(name="Rested", key="rested_ms", align="right", unit="ms"),
    Column(name="Athletes", key="athletes", align="right"),
    Column(name="Note", key="note"),
)
_SHOWN_SETS = (
    Column(name="In one piece", key="unbroken", align="right"),
    Column(name="As advised", key="as_advised", align="right"),
    Column(name="A rep takes", key="pace", align="right", unit="s"),
    Column(name="Pauses a set", key="rested", align="right", unit="s"),
    REMARK,
)
_LOST = (
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Timed", key="timed", align="right"),
    Column(name="Lost at least", key="lost_low_ms", align="right", unit="ms"),
    Column(name="Lost", key="lost_middle_ms", align="right", unit="ms"),
    Column(name="Lost at most", key="lost_high_ms", align="right", unit="ms"),
    Column(name="Athletes", key="athletes", align="right"),
)
_SHOWN_LOST = (
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="With times", key="timed", align="right"),
    Column(name="Took about", key="lost", align="right", unit="s"),
    Column(name="Each", key="each", align="right", unit="s"),
    Column(name="Athletes", key="athletes", align="right"),
)
_READ = (
    "Pieces are good reps between breaks, by the times of the presses, of sets of two "
    "reps or more. A rep takes: the middle of all sets, without breaks. Pauses a set: "
    "how long the breaks within one were, on average. "
    f"Few: under {FEW_SETS} sets."
)
_UNTOLD = "Sets without pieces (reported, from paper, of teams, read off): {many}."
_EACH = (
    "A no-rep with two reasons stands under each of them. What an event would have "
    "been without a fault is told by judgekit cost, of those with no other reason."
)
_TOOK = "Each: what one no-rep took on average. {how} With the ends in brackets."


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """Groups by some words, what their ids are called, and of how many events."""

    by: tuple[Word, ...]
    names: Names
    events: int


def pieces_table(work: Work, groups: Sequence[SetGroup], *, people: bool) -> Table:
    """How sets were done, in the order of the words."""
    shown = [one for one in groups if one.sets] if people else groups
    names = told_apart(work.names) if people else work.names
    untold = sum(one.untold for one in groups)
    notes = [_READ, *([_UNTOLD.format(many=untold)] if untold else [])]
    table = Table(
        title="How sets were done",
        columns=(
            *columns_of(work.by, people=people),
            *(_SHOWN_SETS if people else _SETS),
        ),
        rows=tuple(
            (
                *values(names, work.by, one.of, people=people),
                *(_shown_sets(one) if people else _sets(one)),
            )
            for one in sorted(shown, key=lambda one: one.of)
        ),
        notes=(*notes, *unjoined(work.names, work.events)),
    )
    return without_empty(table, REMARK) if people else table


def lost_table(work: Work, groups: Sequence[LostGroup], *, people: bool) -> Table:
    """What no-reps took, first what took most."""
    names = told_apart(work.names) if people else work.names
    return Table(
        title="What no-reps took",
        columns=(
            *columns_of(work.by, people=people),
            *(_SHOWN_LOST if people else _LOST),
        ),
        rows=tuple(
            (
                *values(names, work.by, one.of, people=people),
                *(_shown_lost(one) if people else _lost(one)),
            )
            for one in sorted(groups, key=_by_lost)
        ),
        notes=(
            _TOOK.format(how=HOW_LONG),
            *((_EACH,) if "fault" in work.by else ()),
            *unjoined(work.names, work.events),
        ),
    )


def _by_lost(one: LostGroup) -> tuple[int, int, tuple[str, ...]]:
    return -one.lost.middle, -one.no_reps, one.of


def _few(one: SetGroup) -> str:
    return "few" if one.sets < FEW_SETS else ""


def _sets(one: SetGroup) -> tuple[Cell, ...]:
    return (
        *(one.sets, one.untold, one.unbroken, one.advised, one.as_advised),
        *(one.pace_ms, one.breaks, one.rested_ms, one.athletes),
        f"{_few(one)} sets" if _few(one) else None,
    )


def _shown_sets(one: SetGroup) -> tuple[Cell, ...]:
    return (
        f"{one.unbroken} of {one.sets}",
        f"{one.as_advised} of {one.advised}" if one.advised else None,
        seconds(one.pace_ms),
        seconds(round(one.rested_ms / one.sets)),
        _few(one),
    )


def _lost(one: LostGroup) -> tuple[Cell, ...]:
    ends = (one.lost.low, one.lost.middle, one.lost.high)
    return one.no_reps, one.timed, *(ends if one.timed else (None,) * 3), one.athletes


def _shown_lost(one: LostGroup) -> tuple[Cell, ...]:
    if not one.timed:
        return one.no_reps, 0, None, None, one.athletes
    return (
        one.no_reps,
        one.timed,
        took(one.lost),
        seconds(round(one.lost.middle / one.timed)),
        one.athletes,
    )
