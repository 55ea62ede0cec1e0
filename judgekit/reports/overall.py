"""The order of the whole event in each division, laid out.

JSON is an object with `format` (its version, 1) and `overall`, a list of objects with
division, division_name, method, counted (workouts, or "workout.part" where parts are
placed apart), open (those not all have done), provisional and rows: the columns of the
CSV by their keys, and by workout `place` and `points`.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.counted import scored_parts
from judgekit.core.earned import Ending, Finish
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
    from collections.abc import Sequence

    from judgekit.core.counted import RankKey
    from judgekit.core.points import Overall
    from judgekit.core.score import Score
    from judgekit.reports.standings import Result, Standings

FORMAT = 1
NO_HEAT: Ending = "no heat"
_ENDED_WITHOUT: frozenset[Ending] = frozenset(
    {
        *(NO_HEAT, "did not start", "did not finish", "withdrawn"),
        *("disqualified", "cut", "guest", "no result"),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contest:
    """One division's whole event; `names` are shown names by bib.

    `scaled` says by bib which workouts were done otherwise than written, and how;
    `standings` whether somebody's scores are final, `standing` whether all are.
    `placeless` says by bib and workout why there is no place in it.
    """

    division: str
    division_name: str
    method: str
    workouts: tuple[tuple[str, str], ...]
    names: Mapping[str, str]
    scaled: Mapping[str, str]
    whole: Whole
    placeless: Mapping[tuple[str, str], str]
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
    placeless = {
        (finish.bib, event.workout): _why_no_place(finish)
        for event, _ in events
        for finish in event.finishes
        if finish.rank is None
    }
    return Contest(
        division=held[0].division,
        division_name=held[0].division_name + ", teams" * _is_of_teams(held[0]),
        method=overall.method,
        workouts=tuple((event.workout, name) for event, name in events),
        names={bib: _name(result) for bib, result in results.items()},
        scaled=_scaled(held),
        whole=whole,
        placeless=placeless,
        standing=_standing(rows),
        standings={
            bib: _standing([row for row in rows if row.lane.plan.bib == bib])
            for bib in results
        },
    )


def _why_no_place(finish: Finish) -> str:
    """How it ended, where that says why; else that there is no place."""
    if finish.status in _ENDED_WITHOUT:
        return finish.status
    return "not as written" if finish.outside else "no place"


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


# --- laid out as data ----------------------------------------------------------------


def status_of(one: Contest, place: Placed[Total]) -> str:
    """How the athlete left the contest, and whether a place in it is final."""
    total = place.row
    if total.standing and place.rank is None:
        return total.standing
    return ", ".join(filter(None, (total.standing, one.standings[total.bib])))


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
        status_of(one, place) or None,
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
