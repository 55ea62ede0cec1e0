"""The order of the whole event in words: tables for people, and one athlete alone."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.overall import NO_HEAT, status_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.core.overall import Total
    from judgekit.core.ranking import Placed
    from judgekit.reports.overall import Contest

_UNTIL = re.compile(r" until \d\d:\d\d")
_HOW = {
    "places": "places added up; the least wins",
    "table": "points by place from the event's table; the most wins",
    "field": "as many points for the first as the division is large; the most wins",
    "percent": "per cent of the best result; the most wins",
    "results": "points for each result by the event's own rule; the most wins",
}


# --- one athlete alone ---------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTotal:
    """Somebody's place in the whole event, with its arithmetic and no one else in it.

    `steps` have what each workout that counts is worth, then the total; `how` says how
    they are added up, and what is still open.
    """

    division: str
    place: str
    steps: tuple[tuple[str, str], ...]
    how: tuple[str, ...]


def own_totals(found: Sequence[Contest], bib: str) -> tuple[OwnTotal, ...]:
    """A bib's place in each contest of several workouts, once one of them counts."""
    return tuple(
        _own_total(one, place)
        for one in found
        for place in one.whole.places
        if place.row.bib == bib and len(one.workouts) > 1 and one.whole.counted
    )


def _own_total(one: Contest, place: Placed[Total]) -> OwnTotal:
    total = place.row
    steps = [(name, _own_cell(one, total, workout)) for workout, name in _counted(one)]
    return OwnTotal(
        division=one.division_name,
        place=_own_place(one, place),
        steps=(*steps, ("total", _points(total.total))) if steps else (),
        how=tuple(_how(one)),
    )


def _own_place(one: Contest, place: Placed[Total]) -> str:
    if place.rank is None:
        return f"no place{': ' * bool(place.row.standing)}{place.row.standing}"
    shared = ", shared" if place.tied else ""
    so_far = " so far" if one.whole.open else ""
    return f"{place.rank} of {len(one.whole.places)}{shared}{so_far}"


def _how(one: Contest) -> Iterator[str]:
    """How it is added up, what does not count yet, and whether it is final."""
    names = dict(one.workouts)
    yield _HOW[one.method]
    if one.whole.open:
        still = ", ".join(names[workout] for workout in one.whole.open)
        yield f"not counted yet, as somebody has still to do it: {still}"
    if one.standing and one.standing != "official":
        yield f"{one.standing}: some scores are not final yet"


# --- laid out ------------------------------------------------------------------------


def tables(found: Sequence[Contest]) -> tuple[Table, ...]:
    """A table for people for each division: each workout's place, and the total."""
    return tuple(_table(one) for one in found)


def _table(one: Contest) -> Table:
    columns = (
        Column(name="Rank", key="rank", align="right"),
        Column(name="Bib", key="bib"),
        Column(name="Name", key="name"),
        *(Column(name=name, key=id_, align="right") for id_, name in _counted(one)),
        Column(name="Total", key="total", align="right"),
        Column(name="Status", key="status"),
    )
    rows = tuple(_row(one, place) for place in one.whole.places)
    notes = [*_how(one), *_without_heat(one, dict(one.workouts)), *_without_place(one)]
    title = f"Overall, {one.division_name}"
    return Table(title=title, columns=columns, rows=rows, notes=tuple(notes))


def _without_heat(one: Contest, names: Mapping[str, str]) -> list[str]:
    """Who is in no heat of which workout."""
    return [
        f"in no heat of {name}: {', '.join(bibs)}"
        for workout, name in names.items()
        if (bibs := [b for b in one.names if _in_no_heat(one, b, workout)])
    ]


def _in_no_heat(one: Contest, bib: str, workout: str) -> bool:
    return one.placeless.get((bib, workout)) == NO_HEAT


def _without_place(one: Contest) -> list[str]:
    """What counts for those without a place, if there are any."""
    worth = [
        (name, {_worth(total, workout) for total in lacking})
        for workout, name in _counted(one)
        if (lacking := [p.row for p in one.whole.places if _lacks(p.row, workout)])
    ]
    if not worth:
        return []
    if one.method != "places":
        return ["who has no place in a workout has no points there"]
    told = ", ".join(
        f"{_points(points)} in {name}" for name, every in worth for points in every
    )
    return [f"who has no place has the points of the place after the last: {told}"]


def _lacks(total: Total, workout: str) -> bool:
    places = dict(total.places)
    return workout in places and places[workout] is None


def _worth(total: Total, workout: str) -> Fraction:
    return dict(total.points).get(workout, Fraction())


def _counted(one: Contest) -> list[tuple[str, str]]:
    return [pair for pair in one.workouts if pair[0] in one.whole.counted]


def _row(one: Contest, place: Placed[Total]) -> tuple[Cell, ...]:
    total = place.row
    rank = None if place.rank is None else f"{place.rank}{'=' if place.tied else ''}"
    return (
        rank,
        total.bib,
        None if one.names[total.bib] == total.bib else one.names[total.bib],
        *(_cell(one, total, workout) for workout, _ in _counted(one)),
        _points(total.total),
        ", ".join(filter(None, (_row_status(one, place), one.scaled.get(total.bib))))
        or None,
    )


def _row_status(one: Contest, place: Placed[Total]) -> str:
    """The same where a row has little room: a note says until when."""
    return _UNTIL.sub("", status_of(one, place))


def _cell(one: Contest, total: Total, workout: str) -> str:
    """The place, and what it is worth where that is another number."""
    place = dict(total.places).get(workout)
    points = _worth(total, workout)
    if place is not None and place == points:
        return str(place)
    why = one.placeless.get((total.bib, workout), "no place")
    return f"{_points(points)} ({why if place is None else place})"


def _own_cell(one: Contest, total: Total, workout: str) -> str:
    """The same in words for whoever it is about."""
    if dict(total.places).get(workout) is not None:
        return _cell(one, total, workout)
    points = _points(_worth(total, workout))
    is_out = _in_no_heat(one, total.bib, workout)
    return f"{'not entered' if is_out else 'no place'}: counted as {points}"


def _points(points: Fraction) -> str:
    """Points cut to hundredths, without needless zeros."""
    cut = int(points * 100)
    return f"{cut // 100}.{cut % 100:02d}".rstrip("0").rstrip(".")
