"""The order of the whole event in each division, laid out.

JSON is an object with `format` (its version, 1) and `overall`, a list of objects with
division, division_name, method, counted (workouts, or "workout.part" where parts are
placed apart), open (those not all have done), provisional and rows: the columns of the
CSV by their keys, and by workout `place` and `points`.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.counted import scored_parts
from judgekit.core.earned import Finish
from judgekit.core.forparts import PartScore
from judgekit.core.overall import Ended, Total, Whole, whole_event
from judgekit.core.ranking import Placed, ranked
from judgekit.core.values import dataclass
from judgekit.files.tables import bib_order
from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import scaled_words, shown_name
from judgekit.reports.standingwords import standing_word

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.core.counted import RankKey
    from judgekit.core.points import Overall
    from judgekit.core.score import Score
    from judgekit.reports.standings import Result, Standings

FORMAT = 1
_UNTIL = re.compile(r" until \d\d:\d\d")
_HOW = {
    "places": "places added up; the least wins",
    "table": "points by place from the event's table; the most wins",
    "field": "as many points for the first as the division is large; the most wins",
    "percent": "per cent of the best result; the most wins",
    "results": "points for each result by the event's own rule; the most wins",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Contest:
    """One division's whole event; `names` are shown names by bib.

    `scaled` says by bib which workouts were done otherwise than written, and how;
    `standings` whether somebody's scores are final, `standing` whether all are.
    `no_heat` are bibs with a workout that they are in no heat of.
    """

    division: str
    division_name: str
    method: str
    workouts: tuple[tuple[str, str], ...]
    names: Mapping[str, str]
    scaled: Mapping[str, str]
    whole: Whole
    no_heat: frozenset[tuple[str, str]]
    standing: str
    standings: Mapping[str, str]


def contests(
    found: Sequence[Standings], overall: Overall, order: Sequence[str]
) -> tuple[Contest, ...]:
    """The whole event of each division; `order` are workouts as they were held.

    Teams have one of their own, as nobody competes against the team they are in.
    """
    known = {name: at for at, name in enumerate(order)}
    divisions: dict[tuple[str, bool], list[Standings]] = {}
    for one in sorted(
        found, key=lambda s: (known.get(s.workout, len(known)), s.workout)
    ):
        divisions.setdefault((one.division, _is_of_teams(one)), []).append(one)
    return tuple(_contest(divisions[key], overall) for key in sorted(divisions))


def _is_of_teams(one: Standings) -> bool:
    return bool(one.places[0].row.lane.plan.team.members)


def _contest(held: Sequence[Standings], overall: Overall) -> Contest:
    rows = [place.row for one in held for place in one.places]
    results = {row.lane.plan.bib: row for row in rows}
    events = [event for one in held for event in _events(one, results, overall)]
    whole = whole_event([event for event, _ in events], overall)
    no_heat = [
        (finish.bib, event.workout)
        for event, _ in events
        for finish in event.finishes
        if finish.status == "no heat"
    ]
    return Contest(
        division=held[0].division,
        division_name=held[0].division_name + ", teams" * _is_of_teams(held[0]),
        method=overall.method,
        workouts=tuple((event.workout, name) for event, name in events),
        names={bib: _name(result) for bib, result in results.items()},
        scaled=_scaled(held),
        whole=whole,
        no_heat=frozenset(no_heat),
        standing=_standing(rows),
        standings={
            bib: _standing([row for row in rows if row.lane.plan.bib == bib])
            for bib in results
        },
    )


def _name(result: Result) -> str:
    plan = result.lane.plan
    return shown_name(plan.name, plan.show, plan.bib)


def _standing(results: Sequence[Result]) -> str:
    """Whether scores are final all together: the last to be so decides."""
    words = [
        (one.score, standing_word(one.score, one.lane.plan.zone)) for one in results
    ]
    open_ = [score for score, word in words if score.may_change and word]
    if any(score.provisional for score in open_):
        return "provisional"
    if open_:
        last = max(open_, key=lambda score: score.until or 0)
        return next(word for score, word in words if score is last)
    return "official" if any(word for _, word in words) else ""


def _scaled(held: Sequence[Standings]) -> dict[str, str]:
    found: dict[str, list[str]] = {}
    for one in held:
        for place in one.places:
            words = scaled_words(place.row.lane.plan)
            if words:
                own = found.setdefault(place.row.lane.plan.bib, [])
                own.append(f"{one.workout_name} {words}")
    return {bib: ", ".join(own) for bib, own in found.items()}


def _events(
    one: Standings, everybody: Mapping[str, Result], overall: Overall
) -> list[tuple[Ended, str]]:
    """A workout, or each of its parts where they are placed apart, with its name."""
    plan = one.places[0].row.lane.plan
    if plan.score != "placing":
        places = [_Own(place, place.row.score) for place in one.places]
        finishes = _finishes(places, everybody, overall)
        return [(Ended(workout=one.workout, finishes=finishes), one.workout_name)]
    return [
        (
            Ended(
                workout=f"{one.workout}.{part.id}",
                finishes=_finishes(_of_part(one, number, overall), everybody, overall),
            ),
            f"{one.workout_name} {part.id}",
        )
        for number, part in scored_parts(plan)
    ]


class _Own(NamedTuple):
    """Somebody's place in a workout or part, and the score it was made with."""

    place: Placed[Result]
    score: Score | PartScore


def _of_part(one: Standings, number: int, overall: Overall) -> list[_Own]:
    """The places in one part, of those who have a place in the workout."""
    rows = [
        _Own(place, part)
        for place in one.places
        for part in place.row.score.parts
        if part.number == number
    ]

    def key(row: _Own) -> RankKey | None:
        own = row.score.key if isinstance(row.score, PartScore) else None
        if row.place.rank is None or own is None:
            return None
        below = overall.substituted == "apart" and row.place.row.lane.plan.substituted
        return (int(below), *own)

    placed = ranked(rows, key, lambda row: bib_order(row.place.row.lane.plan.bib))
    return [
        _Own(Placed(row=p.row.place.row, rank=p.rank, tied=p.tied), p.row.score)
        for p in placed
    ]


def _finishes(
    places: Sequence[_Own], everybody: Mapping[str, Result], overall: Overall
) -> tuple[Finish, ...]:
    """A finish of each; who is in the division and not among them is in no heat."""
    sharing = Counter(own.place.rank for own in places)
    unranked = overall.substituted == "unranked"
    found = {}
    # Whoever did it twice is taken by the better place, which comes first.
    for own in reversed(places):
        result, rank = own.place.row, own.place.rank
        plan = result.lane.plan
        found[plan.bib] = Finish(
            bib=plan.bib,
            status=result.score.status,
            rank=rank,
            tied=sharing[rank] if rank is not None else 1,
            value=None if own.score.value is None else Fraction(own.score.value),
            unit=own.score.unit,
            outside=unranked and plan.substituted,
        )
    missing = (bib for bib in everybody if bib not in found)
    found |= {b: Finish(bib=b, status="no heat", rank=None) for b in missing}
    return tuple(found[bib] for bib in sorted(found, key=bib_order))


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
    notes = [*_how(one), *_without_heat(one, dict(one.workouts))]
    title = f"Overall, {one.division_name}"
    return Table(title=title, columns=columns, rows=rows, notes=tuple(notes))


def _without_heat(one: Contest, names: Mapping[str, str]) -> list[str]:
    """Who is in no heat of which workout."""
    return [
        f"in no heat of {name}: {', '.join(bibs)}"
        for workout, name in names.items()
        if (bibs := [b for b in one.names if (b, workout) in one.no_heat])
    ]


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


def _status(one: Contest, place: Placed[Total]) -> str:
    """How the athlete left the contest, and whether a place in it is final."""
    total = place.row
    if total.standing and place.rank is None:
        return total.standing
    return ", ".join(filter(None, (total.standing, one.standings[total.bib])))


def _row_status(one: Contest, place: Placed[Total]) -> str:
    """The same where a row has little room: a note says until when."""
    return _UNTIL.sub("", _status(one, place))


def _cell(one: Contest, total: Total, workout: str) -> str:
    """The place, and what it is worth where that is another number."""
    place = dict(total.places).get(workout)
    points = dict(total.points).get(workout, Fraction())
    if place is not None and place == points:
        return str(place)
    nowhere = "no heat" if (total.bib, workout) in one.no_heat else "no place"
    return f"{_points(points)} ({nowhere if place is None else place})"


def _own_cell(one: Contest, total: Total, workout: str) -> str:
    """The same in words for whoever it is about."""
    if dict(total.places).get(workout) is not None:
        return _cell(one, total, workout)
    points = _points(dict(total.points).get(workout, Fraction()))
    is_out = (total.bib, workout) in one.no_heat
    return f"{'not entered' if is_out else 'no place'}: counted as {points}"


def _points(points: Fraction) -> str:
    """Points cut to hundredths, without needless zeros."""
    cut = int(points * 100)
    return f"{cut // 100}.{cut % 100:02d}".rstrip("0").rstrip(".")


def as_csv(found: Sequence[Contest]) -> str:
    """One row for each athlete and counted workout, and one for the total."""
    columns = tuple(
        Column(name=key, key=key) for key in (*_KEYS, "workout", "place", "points")
    )
    rows = []
    for one in found:
        for placed in one.whole.places:
            head = tuple(_facts(one, placed).values())
            places, points = dict(placed.row.places), dict(placed.row.points)
            rows += [
                (*head, workout, places.get(workout), _number(points[workout]))
                for workout in points
            ] or [(*head, None, None, None)]
    table = Table(title="Overall", columns=columns, rows=tuple(rows))
    return layout.as_csv(table)


_KEYS = ("division", "rank", "tied", "bib", "name", "status", "scaled", "total")


def _facts(one: Contest, place: Placed[Total]) -> dict[str, Cell]:
    total = place.row
    values: tuple[Cell, ...] = (
        one.division,
        place.rank,
        "tied" if place.tied else None,
        total.bib,
        one.names[total.bib],
        _status(one, place) or None,
        one.scaled.get(total.bib),
        _number(total.total),
    )
    return dict(zip(_KEYS, values, strict=True))


def _number(points: Fraction) -> float | int:
    return int(points) if points.denominator == 1 else float(points)


def as_json(found: Sequence[Contest]) -> str:
    """The contests as the module's docstring says; null where there is nothing."""
    data = {
        "format": FORMAT,
        "overall": [
            {
                "division": one.division,
                "division_name": one.division_name,
                "method": one.method,
                "counted": list(one.whole.counted),
                "open": list(one.whole.open),
                "provisional": one.standing.startswith("provisional"),
                "rows": [
                    {**_facts(one, place), "workouts": _by_workout(place.row)}
                    for place in one.whole.places
                ],
            }
            for one in found
        ],
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def _by_workout(total: Total) -> dict[str, dict[str, Cell]]:
    points = dict(total.points)
    return {
        workout: {"place": place, "points": _number(points[workout])}
        for workout, place in total.places
    }
