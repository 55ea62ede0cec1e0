"""Standings: each division's order in each workout, and who has no place and why.

JSON is an object with `format` (its version, 1) and `standings`, a list of objects
with workout, division, rows (the columns of the CSV by their keys) and notes. `score`
is the value as shown and alone, `score_ms`, `score_reps`, `score_kg` or `score_count`
(in `score_unit`) the value in its unit, `scaled` what was done otherwise than
written, `watched` whether every rep was judged, the sets reported, or those and some
looks taken (sampled).
"""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

from judgekit.core.entry import Entry
from judgekit.core.placing import placed_by_parts
from judgekit.core.quantity import rounded
from judgekit.core.ranking import Placed, ranked
from judgekit.core.score import Score
from judgekit.core.state import Lane
from judgekit.core.tiebreaks import label_of
from judgekit.core.twojudges import counted_by_both, score_of_both, second_lane
from judgekit.core.values import dataclass
from judgekit.files.tables import bib_order
from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import (
    NOTHING_DONE,
    has_score,
    scaled_words,
    score_words,
    shown_name,
)
from judgekit.reports.standingwords import (
    amended_words,
    standing_word,
    standing_words,
)
from judgekit.review.judged import is_told, watched_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from judgekit.core.counted import RankKey
    from judgekit.core.points import Substituted

    _Natural = tuple[tuple[tuple[int, int, str], ...], str]
    _TieOrder = tuple[int, _Natural, _Natural, int]

FORMAT = 1
# Those without a place, in this order: who did most of the work comes first.
_AFTER = (
    *("finished", "capped", "class over", "stopped", "withdrawn", "did not finish"),
    *("cut", "guest", "disqualified", "no result", "in progress", "recalled"),
    *("waiting", "did not start"),
)
_USUAL = "finished"
# Units with a column of their own; what is counted in others stands in score_count.
_UNITS = ("ms", "reps", "kg")
_COLUMNS = (
    Column(name="Rank", key="rank", align="right"),
    Column(name="Tied", key="tied"),
    Column(name="Bib", key="bib"),
    Column(name="Name", key="name"),
    Column(name="Division", key="division"),
    Column(name="Status", key="status"),
    Column(name="Score", key="score", align="right", is_time=True),
    Column(name="Score", key="score_ms", align="right", unit="ms"),
    Column(name="Score", key="score_reps", align="right", unit="reps"),
    Column(name="Score", key="score_kg", align="right", unit="kg"),
    Column(name="Score", key="score_count", align="right"),
    Column(name="Unit", key="score_unit"),
    Column(name="Scaled", key="scaled"),
    Column(name="Watched", key="watched"),
    Column(name="Tie-break", key="tiebreak", align="right", is_time=True),
    Column(name="Tie-break", key="tiebreak_ms", align="right", unit="ms"),
    Column(name="Workout", key="workout"),
    Column(name="Heat", key="heat"),
    Column(name="Lane", key="lane", align="right"),
)
_FOR_PEOPLE = (
    Column(name="Rank", key="rank", align="right"),
    Column(name="Bib", key="bib"),
    Column(name="Name", key="name"),
    Column(name="Score", key="score", align="right"),
    Column(name="Tie-break", key="tiebreak", align="right"),
    Column(name="Status", key="status"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """A lane with its score; `unscored` says why it may not be ranked, else empty.

    `beside` is the log of the second judge, where two are to count.
    """

    lane: Lane
    score: Score
    unscored: str = ""
    beside: tuple[Entry, ...] = ()

    @property
    def counted(self) -> Lane:
        """The lane as it counts: of two judges' counts the lower one."""
        return counted_by_both(self.lane, self.beside)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standings:
    """One division's order in one workout, the best first, those unranked last."""

    workout: str
    workout_name: str
    division: str
    division_name: str
    places: tuple[Placed[Result], ...]


def standings(
    results: Iterable[Result], substituted: Substituted = "together"
) -> tuple[Standings, ...]:
    """Standings by workout and division, by their ids; the order given never matters.

    Equal scores share a place and stand in the order of their bibs. `substituted` says
    whether those who did something else than written are ranked with the others, below
    all of them, or not at all.
    """
    groups: dict[tuple[str, str], list[Result]] = {}
    for result in results:
        plan = result.lane.plan
        groups.setdefault((plan.workout, plan.division), []).append(result)
    return tuple(_group(groups[key], substituted) for key in sorted(groups))


def _group(results: Sequence[Result], substituted: Substituted) -> Standings:
    plan = max(results, key=lambda r: r.lane.plan.revision).lane.plan
    return Standings(
        workout=plan.workout,
        workout_name=plan.workout_name,
        division=plan.division,
        division_name=plan.division_name,
        places=tuple(
            ranked(_placed(results), partial(_rank_key, substituted), _tie_order)
        ),
    )


def rank(
    lanes: Sequence[Lane],
    substituted: Substituted,
    beside: Mapping[tuple[str, int], tuple[Entry, ...]],
) -> list[tuple[Score, int | None]]:
    """The score and the place of each lane of one workout and division.

    `beside` are the logs of second judges by heat and lane, where two are to count.
    """
    results = []
    for lane in lanes:
        log = beside.get((lane.plan.heat, lane.plan.lane))
        second = second_lane(lane, log) if log else None
        results.append(Result(lane=lane, score=score_of_both(lane, second)))
    found = {id(p.row.lane): p for p in _group(results, substituted).places}
    return [(found[id(one)].row.score, found[id(one)].rank) for one in lanes]


def places_with(
    results: Sequence[Result], scores: Sequence[Score], substituted: Substituted
) -> list[int | None]:
    """The places of one workout and division if these were the scores."""
    others = [replace(r, score=one) for r, one in zip(results, scores, strict=True)]
    ranks = {id(p.row.lane): p.rank for p in _group(others, substituted).places}
    return [ranks[id(result.lane)] for result in results]


def _placed(results: Sequence[Result]) -> Sequence[Result]:
    """Where parts are placed apart, each with its sum of places."""
    if results[0].lane.plan.score != "placing":
        return results
    may = [r for r in results if not r.unscored]
    scores = placed_by_parts([r.score for r in may])
    placed = [replace(r, score=one) for r, one in zip(may, scores, strict=True)]
    return [*placed, *(r for r in results if r.unscored)]


def _rank_key(substituted: Substituted, result: Result) -> RankKey | None:
    own = result.score.rank_key
    if result.unscored or own is None:
        return None
    if substituted == "together" or not result.lane.plan.substituted:
        return (0, *own)
    return (1, *own) if substituted == "apart" else None


def _tie_order(result: Result) -> _TieOrder:
    plan = result.lane.plan
    has_place = not result.unscored and result.score.rank_key is not None
    after = 0 if has_place else _AFTER.index(result.score.status)
    return after, bib_order(plan.bib), bib_order(plan.heat), plan.lane


def status_words(result: Result) -> str:
    """The status, whether it is final, amended, or mended late."""
    return _status(result, standing_words(result.score, result.lane.plan.zone))


def brief_status(result: Result) -> str:
    """The same for people: that the work was finished goes without saying."""
    return status_words(result).removeprefix(f"{_USUAL}, ")


def _row_status(result: Result) -> str:
    """The same where a row has little room: notes say until when, and why."""
    word = standing_word(result.score, result.lane.plan.zone).partition(" ")[0]
    return _status(result, word).removeprefix(f"{_USUAL}, ")


def _status(result: Result, standing: str) -> str:
    told = is_told(result.lane) and result.score.status not in NOTHING_DONE
    words = [
        result.unscored or result.score.status,
        "reported" if told else "",
        "from paper" if result.lane.work.paper is not None else "",
        "" if result.unscored else standing,
        "amended" if result.score.amended else "",
        "late take-back" if any(t.late for t in result.lane.taken_back) else "",
    ]
    return ", ".join(word for word in words if word)


def as_csv(found: Sequence[Standings]) -> str:
    """One row for each athlete; an empty cell where there is nothing."""
    return layout.as_csv(score_table(found))


def score_table(found: Sequence[Standings]) -> Table:
    """The same as a table: a row for each place of each, in order."""
    rows = tuple(_cells(one, place) for one in found for place in one.places)
    return Table(title="Standings", columns=_COLUMNS, rows=rows)


def as_json(found: Sequence[Standings]) -> str:
    """The standings as the module's docstring says; null where there is nothing."""
    keys = [column.key for column in _COLUMNS]
    data = {
        "format": FORMAT,
        "standings": [
            {
                "workout": one.workout,
                "division": one.division,
                "rows": [
                    dict(zip(keys, _cells(one, place), strict=True))
                    for place in one.places
                ],
                "notes": _notes(one),
            }
            for one in found
        ],
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def tables(found: Sequence[Standings]) -> tuple[Table, ...]:
    """A table for people for each workout and division; a tied rank carries an =."""
    return tuple(
        Table(
            title=f"{one.workout_name}, {one.division_name}",
            columns=_FOR_PEOPLE,
            rows=tuple(_for_people(place) for place in one.places),
            notes=tuple(_notes(one)),
        )
        for one in found
    )


def _cells(one: Standings, place: Placed[Result]) -> tuple[Cell, ...]:
    plan, score = place.row.lane.plan, place.row.score
    value = score.value if has_score(score) else None
    return (
        place.rank,
        "tied" if place.tied else None,
        plan.bib,
        shown_name(plan.name, plan.show, plan.bib),
        one.division_name,
        status_words(place.row),
        score.shown if value is not None else None,
        *(_number(value) if score.unit == unit else None for unit in _UNITS),
        None if score.unit in _UNITS else _number(value),
        None if value is None else score.unit,
        scaled_words(plan) or None,
        watched_of(place.row.lane),
        score.tiebreak or None,
        score.tiebreak_ms,
        one.workout_name,
        plan.heat,
        plan.lane,
    )


def _number(value: int | Fraction | None) -> Cell:
    """Whole as it is; a load in kg to the gram."""
    if isinstance(value, Fraction):
        return float(rounded(value, 3))
    return value


def _for_people(place: Placed[Result]) -> tuple[Cell, ...]:
    plan, score = place.row.lane.plan, place.row.score
    name = shown_name(plan.name, plan.show, plan.bib)
    rank = None if place.rank is None else f"{place.rank}{'=' if place.tied else ''}"
    return (
        rank,
        plan.bib,
        None if name == plan.bib else name,
        score_words(score, plan) if has_score(score) else None,
        score.tiebreak or None,
        _row_status(place.row),
    )


def _notes(one: Standings) -> list[str]:
    """What parts ties; why scores are provisional; what was signed before."""
    bibs: dict[str, list[str]] = {}
    for place in one.places:
        if place.row.score.status in NOTHING_DONE:
            continue
        for why in _reasons(place.row):
            bibs.setdefault(why, []).append(place.row.lane.plan.bib)
    provisional = [f"{why}: {', '.join(whose)}" for why, whose in sorted(bibs.items())]
    return [
        *_parted(one),
        *provisional,
        *(note for place in one.places if (note := _amended(place))),
    ]


def _reasons(result: Result) -> tuple[str, ...]:
    """Why a score is provisional; where time alone makes it so, until when."""
    score = result.score
    if score.provisional or score.until is None or result.unscored:
        return score.provisional
    return (standing_word(score, result.lane.plan.zone),)


def _parted(one: Standings) -> list[str]:
    """What parts equal scores, in words."""
    plan = one.places[0].row.lane.plan
    labels = [label_of(plan, tie) for tie in plan.tiebreaks]
    return [f"ties: {', then '.join(labels)}"] if labels else []


def _amended(place: Placed[Result]) -> str:
    told = amended_words(place.row.score)
    return told and f"amended: {place.row.lane.plan.bib} {told}"
