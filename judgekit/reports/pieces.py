"""How sets were done: pieces, pace, breaks and the ways between them.

CSV has one row for each set touched. JSON is an object with `format` (its version, 1)
and `lanes`, each with heat, lane, bib, name, division, workout, `sets` (the rows of the
CSV by their keys, each with `gaps_ms`, null where there is none), `paces` and the
totals between_ms, over_rest_ms and rested_ms. Times are in ms and empty, or null, where
none is known; `untold` says why a set has no pieces.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports import layout
from judgekit.reports.columns import (
    BIB,
    DIVISION,
    GOOD,
    HEAT,
    LANE,
    LOAD,
    MOVEMENT,
    NAME,
    NO_REPS,
    PART,
    PLACE,
    ROUND,
    TARGET,
    UNIT,
    WORKOUT,
)
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import numbered_name, shown_name
from judgekit.reports.piecetext import (
    RHYTHM_READ,
    UNTOLD_WORDS,
    held_words,
    pace_words,
    piece_words,
    rhythm,
    seconds,
)
from judgekit.reports.ratewords import without_empty
from judgekit.review.lanepaces import lane_paces
from judgekit.review.lost import Lost, Span, added
from judgekit.review.pieces import LanePieces

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.review.lanepaces import Pace
    from judgekit.review.pieces import SetPieces

FORMAT = 1
_RATIO_DECIMALS = 3
_LANE = (
    WORKOUT,
    HEAT,
    LANE,
    BIB,
    NAME,
    DIVISION,
)
_SET = (
    PART,
    ROUND,
    PLACE,
    MOVEMENT,
    LOAD,
    UNIT,
    TARGET,
    GOOD,
    NO_REPS,
    Column(name="Pieces", key="pieces"),
    Column(name="Advised", key="advised"),
    Column(name="As advised", key="as_advised"),
    Column(name="Pace", key="pace_ms", align="right", unit="ms"),
    Column(name="Breaks", key="breaks", align="right"),
    Column(name="Rested", key="rested_ms", align="right", unit="ms"),
    Column(name="Begins", key="begins"),
    Column(name="Took", key="took_ms", align="right", unit="ms"),
    Column(name="Held", key="held_ms", align="right", unit="ms"),
    Column(name="Way", key="way_ms", align="right", unit="ms"),
    Column(name="Lost at least", key="lost_low_ms", align="right", unit="ms"),
    Column(name="Lost", key="lost_middle_ms", align="right", unit="ms"),
    Column(name="Lost at most", key="lost_high_ms", align="right", unit="ms"),
    Column(name="Untold", key="untold"),
)
_HELD = Column(name="Of it held", key="held")
_ADVISED = Column(name="Advised", key="advised")
_FOR_PEOPLE = (
    Column(name="Set", key="set"),
    Column(name="Movement", key="movement"),
    Column(name="Reps", key="reps", align="right"),
    Column(name="Took", key="took", align="right", unit="s"),
    _HELD,
    Column(name="Pieces", key="pieces"),
    _ADVISED,
    Column(name="Rep", key="pace", align="right", unit="s"),
    Column(name="Pauses", key="rested", align="right", unit="s"),
    Column(name="Way", key="way", align="right", unit="s"),
)
_RHYTHMS = (
    Column(name="Set", key="set"),
    Column(name="Movement", key="movement"),
    Column(name="Rhythm", key="rhythm"),
)
_READ = (
    "Took: from when the set could begin to its end. Pieces: good reps between breaks, "
    "by the times of the presses. Way: until the first rep began, after a rest what "
    "was rested over plan."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A lane's sets, and what its no-reps took."""

    pieces: LanePieces
    lost: tuple[Lost, ...] = ()


def as_csv(lanes: Sequence[Done]) -> str:
    """One row for each set; an empty cell where there is nothing."""
    rows = tuple(
        (*_lane(done), *_set(one, done)) for done in lanes for one in done.pieces.sets
    )
    table = Table(title="Pieces", columns=(*_LANE, *_SET), rows=rows)
    return layout.as_csv(table)


def as_json(lanes: Sequence[Done]) -> str:
    """The report as the module's docstring says."""
    data = {"format": FORMAT, "lanes": [_lane_object(done) for done in lanes]}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def tables(lanes: Sequence[Done], *, plain: bool = False) -> tuple[Table, ...]:
    """Tables for people for each lane in which anything was done: sets, and rhythms."""
    every: list[Table] = []
    for done in lanes:
        if done.pieces.sets:
            every.append(_sets_table(done))
        if done.pieces.is_timed:
            every.append(_rhythms_table(done, plain=plain))
    return tuple(every)


def _sets_table(done: Done) -> Table:
    table = Table(
        title=_title(done),
        columns=_FOR_PEOPLE,
        rows=tuple(_for_people(one) for one in done.pieces.sets),
        notes=tuple(_notes(done)),
    )
    return without_empty(without_empty(table, _ADVISED), _HELD)


def _rhythms_table(done: Done, *, plain: bool) -> Table:
    timed = (one for one in done.pieces.sets if one.told is not None)
    return Table(
        title=f"Rhythm of {done.pieces.facts.plan.bib}",
        columns=_RHYTHMS,
        rows=tuple(
            (_number(one), one.set.movement, rhythm(one, plain=plain)) for one in timed
        ),
        notes=(RHYTHM_READ,),
    )


def _title(done: Done) -> str:
    plan = done.pieces.facts.plan
    where = f"heat {plan.heat}, lane {plan.lane}"
    return f"{plan.workout_name}, {where}: {numbered_name(plan)}"


def _number(one: SetPieces) -> str:
    """A set's part and round: "A.2"."""
    return f"{one.set.part or one.set.key.part}.{one.set.key.round}"


def _lane(done: Done) -> tuple[Cell, ...]:
    plan = done.pieces.facts.plan
    name = shown_name(plan.name, plan.show, plan.bib)
    where = (plan.workout_name, plan.heat, plan.lane)
    return (*where, plan.bib, name, plan.division_name)


def _set(one: SetPieces, done: Done) -> tuple[Cell, ...]:
    key, lost = one.set.key, _lost(one, done)
    kept = one.as_planned
    return (
        *(one.set.part or str(key.part), key.round, key.movement),
        *(one.set.movement, one.set.load or None, one.set.unit),
        *(one.target, one.good, one.no_reps),
        piece_words(one.pieces) or None,
        piece_words(one.planned) or None,
        None if kept is None else ("yes" if kept else "no"),
        one.pace_ms,
        one.breaks if one.told is not None else None,
        one.rested_ms if one.told is not None else None,
        one.begins,
        one.took_ms,
        None if one.took_ms is None else sum(held.ms for held in one.held),
        one.way_ms,
        *((lost.low, lost.middle, lost.high) if lost else (None, None, None)),
        one.untold or None,
    )


def _lost(one: SetPieces, done: Done) -> Span | None:
    """What the no-reps of a set took; None where presses have no times."""
    if one.told is None:
        return None
    return added(
        lost.ms
        for lost in done.lost
        if lost.set.key == one.set.key and lost.ms is not None
    )


def _lane_object(done: Done) -> dict[str, object]:
    found = done.pieces
    keys = [column.key for column in _LANE]
    set_keys = [column.key for column in _SET]
    return {
        **dict(zip(keys, _lane(done), strict=True)),
        "sets": [
            {
                **dict(zip(set_keys, _set(one, done), strict=True)),
                "gaps_ms": [step.gap for step in one.steps],
            }
            for one in found.sets
        ],
        "paces": [_pace(pace) for pace in lane_paces(found)],
        "between_ms": found.between_ms if found.is_timed else None,
        "over_rest_ms": found.over_rest_ms if found.is_timed else None,
        "rested_ms": found.rested_ms if found.is_timed else None,
    }


def _pace(pace: Pace) -> dict[str, object]:
    slowing = pace.slowing
    return {
        "movement": pace.movement,
        "load": pace.load or None,
        "unit": pace.unit,
        "gaps": pace.gaps,
        "pace_ms": None if pace.by_card else pace.pace_ms,
        "usual_ms": None if pace.by_card else pace.usual_ms,
        "break_from_ms": pace.limit_ms,
        "slowing": None
        if slowing is None
        else {
            "ratio": round(slowing.ratio, _RATIO_DECIMALS),
            "low": round(slowing.low, _RATIO_DECIMALS),
            "high": round(slowing.high, _RATIO_DECIMALS),
            "early_ms": slowing.early_ms,
            "late_ms": slowing.late_ms,
            "gaps_each": slowing.each,
        },
    }


def _for_people(one: SetPieces) -> tuple[Cell, ...]:
    target = "" if one.target is None or one.good == one.target else f"/{one.target}"
    return (
        _number(one),
        one.set.movement,
        f"{one.good}{target}",
        seconds(one.took_ms),
        held_words(one.held) or None,
        piece_words(one.pieces, "+") or one.untold or None,
        piece_words(one.planned, "+") or None,
        seconds(one.pace_ms),
        seconds(one.rested_ms) if one.told is not None else None,
        seconds(one.way_ms),
    )


def _notes(done: Done) -> Iterator[str]:
    found = done.pieces
    yield _READ
    for untold in dict.fromkeys(one.untold for one in found.sets if one.untold):
        yield f"{untold}: {UNTOLD_WORDS[untold]}."
    if found.is_timed:
        over = f", {seconds(found.over_rest_ms)} s of rest over plan"
        yield (
            f"In all {seconds(found.rested_ms)} s of pauses within sets, "
            f"{seconds(found.between_ms)} s on the way between sets"
            f"{over if found.has_rests else ''}{_ways_unknown(found)}."
        )
    for pace in lane_paces(found):
        name = ", ".join(word for word in (pace.movement, pace.load) if word)
        yield f"{name}: {pace_words(pace)}."
    yield from _lost_words(done)


def _ways_unknown(found: LanePieces) -> str:
    """To how many sets the way is in none of the totals."""
    many = found.unknown_ways
    if not many:
        return ""
    return f"; the way to {many} {'set' if many == 1 else 'sets'} is not known"


def _lost_words(done: Done) -> Iterator[str]:
    timed = [lost.ms for lost in done.lost if lost.ms is not None]
    if timed:
        many = "1 no-rep" if len(timed) == 1 else f"{len(timed)} no-reps"
        yield f"{many} took {span_words(added(timed))}{_by_movement(done.lost)}."
    untimed = len(done.lost) - len(timed)
    if untimed:
        if untimed == 1:
            yield "1 no-rep has no time, so that nothing is said of what it took."
        else:
            yield (
                f"{untimed} no-reps have no times, so that nothing is said of what "
                "they took."
            )


def _by_movement(lost: Iterable[Lost]) -> str:
    """What those of each movement took, the most first, where there are several."""
    took: dict[str, list[Span]] = {}
    for one in lost:
        if one.ms is not None:
            took.setdefault(one.set.movement, []).append(one.ms)
    sums = {movement: added(spans).middle for movement, spans in took.items()}
    if len(sums) == 1:
        return ""
    most = sorted(sums.items(), key=lambda pair: -pair[1])
    return ": " + ", ".join(f"{name} {round(ms / 1000)} s" for name, ms in most)


def span_words(span: Span) -> str:
    """An estimate in seconds: "about 12 s (between 8 and 15 s)"."""
    low, middle, high = (round(ms / 1000) for ms in (span.low, span.middle, span.high))
    if low == high:
        return f"about {middle} s, estimated"
    return f"about {middle} s, estimated (between {low} and {high} s)"
