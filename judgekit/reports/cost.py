"""What no-reps cost: in time, in places, and who would stand where without a fault.

CSV has one row for each athlete. JSON is an object with `format` (its version, 1) and
`costs`, one for each workout and division: workout, division, `open` (the bibs whose
results may still change; then the rest is empty), `athletes` (the rows of the CSV by
their keys, each with `faults`), `faults` (each with its no_reps that had no other
reason, athletes, times and `standings` as they would be) and `how`, what the estimate
is made of. Times are in ms; what was not timed is in none of them: `timed` says how
many no-reps were, and where one was not, there is no score and no place without it.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.score import NOT_ACCEPTED, STOPPED
from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import (
    NO_REASON,
    NOTHING_DONE,
    call_of,
    listed,
    numbered_name,
    shown_name,
)
from judgekit.reports.ratewords import without
from judgekit.reports.standingwords import standing_word

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.core.score import Score
    from judgekit.review.cost import CleanFault, Cost, Costs, Entrant, FaultKind, Stand
    from judgekit.review.lost import Span

FORMAT = 1
HOW_LONG = (
    "Estimates, as nobody did it twice. A no-rep takes its own try and what the next "
    "one was slower, measured against the athlete's usual rep; the upper end has any "
    "pause after it, and what the try more may have tired."
)
_HOW_FAR = (
    "Scores without no-reps: that time comes off a time, or becomes reps at the "
    "athlete's own pace. Places go by them, with everybody else's score as it is."
)
HOW = (HOW_LONG, _HOW_FAR)
_MIDDLE = (
    "Without: the score by the middle of what they took. Place then: by both ends of "
    "it. CSV and JSON have all three of either."
)
HOW_CLEAN = (
    "If nobody had had that fault: by the middle of the estimate. No-reps of it alone: "
    "one with another reason beside it stays a no-rep, so judgekit faults may count "
    "more."
)
HOW_TO_CLOSE = (
    "A score is official once both have accepted it, or the head judge closes the "
    "card (rule close)."
)
_TOOK_IS = "Took is of the no-reps with times alone."
NO_PLACES = (
    "Where a no-rep has no time, as on paper, nobody's place without it is told."
)
_NOBODY = "nobody's place without {them} is told"
_OTHERS = "everybody else's place is told as if there were none for them then either"
_RANGE = (
    Column(name="At least", key="lost_low_ms", align="right", unit="ms"),
    Column(name="Lost", key="lost_middle_ms", align="right", unit="ms"),
    Column(name="At most", key="lost_high_ms", align="right", unit="ms"),
)
_ROWS = (
    Column(name="Workout", key="workout"),
    Column(name="Division", key="division"),
    Column(name="Place", key="place", align="right"),
    Column(name="Bib", key="bib"),
    Column(name="Name", key="name"),
    Column(name="Score", key="score", align="right", is_time=True),
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Timed", key="timed", align="right"),
    *_RANGE,
    Column(name="Score at least", key="score_low", align="right", is_time=True),
    Column(name="Score without", key="score_middle", align="right", is_time=True),
    Column(name="Score at most", key="score_high", align="right", is_time=True),
    Column(name="Place at least", key="place_low", align="right"),
    Column(name="Place without", key="place_middle", align="right"),
    Column(name="Place at most", key="place_high", align="right"),
    Column(name="Untold", key="untold"),
)
_FOR_PEOPLE = (
    Column(name="Place", key="place", align="right"),
    Column(name="Athlete", key="athlete"),
    Column(name="Score", key="score", align="right"),
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Took", key="took", align="right", unit="s"),
    Column(name="Without", key="without", align="right"),
    Column(name="Place then", key="place_without", align="right"),
)
_WITH_TIMES = Column(name="With times", key="timed", align="right")
_FAULTS = (
    Column(name="Movement", key="movement"),
    Column(name="Call", key="call"),
    Column(name="No-reps alone", key="no_reps", align="right"),
    _WITH_TIMES,
    Column(name="Athletes", key="athletes", align="right"),
    Column(name="Took", key="took", align="right", unit="s"),
    Column(name="Places then", key="moves"),
)


def as_csv(found: Sequence[Costs]) -> str:
    """One row for each athlete; an empty cell where there is nothing."""
    rows = tuple(_row(one, cost) for one in found for cost in one.athletes)
    return layout.as_csv(Table(title="Cost", columns=_ROWS, rows=rows))


def as_json(found: Sequence[Costs]) -> str:
    """The report as the module's docstring says."""
    data = {"format": FORMAT, "how": list(HOW), "costs": [_object(o) for o in found]}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def tables(found: Sequence[Costs]) -> tuple[Table, ...]:
    """For people: athletes, then faults, of each workout and division."""
    return tuple(table for of in tables_of_each(found) for table in of)


def tables_of_each(
    found: Sequence[Costs], most: int | None = None
) -> tuple[tuple[Table, ...], ...]:
    """For people: of each workout and division a table of athletes, and one of faults.

    How the estimate is made stands below the first that has one. `most` faults are
    told, those that took longest, besides all that changed a place. Of a fault that
    nobody timed nothing can be told.
    """
    every = []
    told = next((one for one in found if _is_told(one)), None)
    for one in found:
        name = f"{one.workout_name}, {one.division_name}"
        both = [
            Table(
                title=f"What no-reps cost: {name}",
                columns=_FOR_PEOPLE,
                rows=tuple(_for_people(cost) for cost in one.athletes),
                notes=(*((*HOW, _MIDDLE) if one is told else ()), *_notes(one)),
            )
        ]
        timed = [fault for fault in one.faults if fault.timed]
        shown = _longest(timed, most)
        if shown:
            table = _faults_table(shown, f"If one fault had not been there: {name}")
            how = (HOW_CLEAN,) if one is told else ()
            left_out = _left_out(len(timed) - len(shown))
            who = unknown_words(shown)
            both.append(replace(table, notes=(*how, *table.notes, *who, *left_out)))
        every.append(tuple(both))
    return tuple(every)


def _faults_table(shown: Sequence[CleanFault], title: str) -> Table:
    """Kinds of faults; how many of each have times, unless all of them do."""
    table = Table(
        title=title,
        columns=_FAULTS,
        rows=tuple(_fault_row(fault) for fault in shown),
        notes=(_TOOK_IS, NO_PLACES),
    )
    if all(fault.is_timed for fault in shown):
        return replace(without(table, {_WITH_TIMES}), notes=())
    return table


def unknown_words(faults: Sequence[CleanFault]) -> Iterator[str]:
    """Who had a fault and has no score without it, and what that is to the others.

    Of those whose no-reps have no time it is said elsewhere.
    """
    found: dict[tuple[str, str, str], list[str]] = {}
    for fault in faults:
        for stand in fault.unknown if fault.is_timed else ():
            others = "" if stand.place is None else _NOBODY
            others = _OTHERS if fault.tells_places else others
            key = (stand.lane.plan.bib, stand.untold, others)
            found.setdefault(key, []).append(fault_name(fault))
    for (bib, why, others), had in found.items():
        them = "it" if len(had) == 1 else "them"
        then = f": {others.format(them=them)}" if others else ""
        yield f"{bib} had {listed(had)}, and has no score without {them} ({why}){then}."


def fault_name(fault: CleanFault) -> str:
    """A kind of fault as people know it."""
    return f"{fault.kind.movement} {call_words(fault)}"


def score_after(stand: Stand) -> str | None:
    """The score without, where it can be worked out."""
    return None if stand.untold else shown_score(stand.after)


def place_after(stand: Stand) -> int | None:
    """The place by that score, which nobody has whose score is not known."""
    return None if stand.untold else stand.place_after


def shown_score(score: Score) -> str | None:
    """A score as it is said; none of somebody who did nothing."""
    return None if score.status in NOTHING_DONE else score.shown or None


def _is_told(one: Costs) -> bool:
    return any(cost.timed for cost in one.athletes)


def _longest(faults: Sequence[CleanFault], most: int | None) -> list[CleanFault]:
    return [
        fault
        for number, fault in enumerate(faults)
        if most is None or number < most or fault.moved
    ]


def _left_out(many: int) -> Iterator[str]:
    if many:
        kinds = "kind of fault" if many == 1 else "kinds of fault"
        yield (
            f"{many} more {kinds} took less; no place is known to change without "
            f"{'it' if many == 1 else 'them'} (judgekit cost)."
        )


def _row(one: Costs, cost: Cost) -> tuple[Cell, ...]:
    plan = cost.lane.plan
    return (
        *(one.workout_name, one.division_name, cost.place, plan.bib),
        shown_name(plan.name, plan.show, plan.bib),
        *(shown_score(cost.score), cost.no_reps, cost.timed),
        *_ends(cost.ms, timed=bool(cost.timed) or not cost.no_reps),
        *(None if cost.untold else score.shown for score in cost.if_clean),
        *(None if cost.untold else place for place in cost.places),
        cost.untold or None,
    )


def _ends(span: Span, *, timed: bool) -> tuple[Cell, ...]:
    return (span.low, span.middle, span.high) if timed else (None, None, None)


def _object(one: Costs) -> dict[str, object]:
    keys = [column.key for column in _ROWS]
    return {
        "workout": one.workout,
        "division": one.division,
        "open": [still.lane.plan.bib for still in one.open],
        "athletes": [
            {
                **dict(zip(keys, _row(one, cost), strict=True)),
                "faults": [
                    {
                        **_kind(part.kind),
                        "no_reps": part.no_reps,
                        "timed": part.timed,
                        **_span(part.ms, timed=bool(part.timed)),
                    }
                    for part in cost.faults
                ],
            }
            for cost in one.athletes
        ],
        "faults": [
            {
                **_kind(fault.kind),
                "no_reps": fault.no_reps,
                "timed": fault.timed,
                "athletes": fault.athletes,
                **_span(fault.ms, timed=bool(fault.timed)),
                "standings": [_stand(stand) for stand in fault.standings],
            }
            for fault in one.faults
        ],
    }


def _kind(kind: FaultKind) -> dict[str, object]:
    return {
        "card": kind.card,
        "movement": kind.movement,
        "fault": kind.fault or NO_REASON,
    }


def _span(span: Span, *, timed: bool) -> dict[str, Cell]:
    keys = (column.key for column in _RANGE)
    return dict(zip(keys, _ends(span, timed=timed), strict=True))


def _stand(stand: Stand) -> dict[str, object]:
    return {
        "bib": stand.lane.plan.bib,
        "place": stand.place,
        "place_without": place_after(stand),
        "score": shown_score(stand.before),
        "score_without": score_after(stand),
    }


# --- for people -------------------------------------------------------------------


def _for_people(cost: Cost) -> tuple[Cell, ...]:
    told = bool(cost.timed) and not cost.untold
    return (
        cost.place,
        numbered_name(cost.lane.plan),
        shown_score(cost.score),
        cost.no_reps,
        took(cost.ms) if cost.timed else None,
        cost.if_clean[1].shown if told else None,
        _places(cost.places) if told else None,
    )


def _places(places: Sequence[int | None]) -> str | None:
    """From the best to the worst of them: "2 to 3"."""
    known = sorted(place for place in places if place is not None)
    ends = dict.fromkeys((*known[:1], *known[-1:]))
    return " to ".join(str(place) for place in ends) or None


def took(span: Span) -> str:
    """An estimate in whole seconds with its ends: "12 (8 to 15)"."""
    ends = (round(ms / 1000) for ms in (span.low, span.middle, span.high))
    return _between(*(str(end) for end in ends))


def _between(low: str, middle: str, high: str) -> str:
    """The middle with its ends, unless all are the same."""
    return middle if low == middle == high else f"{middle} ({low} to {high})"


def _fault_row(fault: CleanFault) -> tuple[Cell, ...]:
    return (
        fault.kind.movement,
        call_words(fault),
        fault.no_reps,
        fault.timed,
        fault.athletes,
        took(fault.ms) if fault.timed else None,
        _moves(fault),
    )


def _moves(fault: CleanFault) -> str | None:
    """Who would stand elsewhere; None where that cannot be worked out."""
    known = any(not one.untold for one in fault.standings)
    if not fault.tells_places or not known:
        return None
    return ", ".join(_moved(stand) for stand in fault.moved) or "same"


def call_words(fault: CleanFault) -> str:
    """What is called for a kind of fault."""
    if not fault.kind.fault:
        return NO_REASON
    plan = fault.standings[0].lane.plan
    return call_of(plan.card(fault.kind.card), fault.kind.fault)


def _moved(stand: Stand) -> str:
    return f"{stand.lane.plan.bib} {stand.place or '–'} to {stand.place_after or '–'}"  # noqa: RUF001 - as an empty cell


def open_words(one: Costs) -> str:
    """Why nothing is told yet: whose result is open, what for, and what closes it."""
    still = ", ".join(map(_open_for, one.open))
    said = (
        f"Nothing is said of this before all results are official; still open: {still}."
    )
    closes = any(map(_is_closed_by_hand, one.open))
    return f"{said} {HOW_TO_CLOSE}" if closes else said


def _open_for(still: Entrant) -> str:
    """As in "019 (stopped)"; a result that may not be ranked says why itself."""
    score, plan = still.score, still.lane.plan
    if still.unscored:
        why = still.unscored
    else:
        why = ", ".join(score.provisional) or standing_word(score, plan.zone)
    return f"{plan.bib} ({why})"


def _is_closed_by_hand(still: Entrant) -> bool:
    """Whether nothing is left to do but to say that the score stands."""
    closable = {STOPPED, NOT_ACCEPTED}
    return not still.unscored and closable.issuperset(still.score.provisional)


def _notes(one: Costs) -> Iterator[str]:
    if one.open:
        yield open_words(one)
        return
    for cost in one.athletes:
        if cost.untold and cost.no_reps:
            bib, why = cost.lane.plan.bib, cost.untold
            yield f"{bib}: score and place are not worked out: {why}."
        if 0 < cost.timed < cost.no_reps:
            many = "the one" if cost.timed == 1 else f"the {cost.timed}"
            yield f"{cost.lane.plan.bib}: Took is of {many} with a time."
