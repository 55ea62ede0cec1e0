"""What the parts of a workout say about each other: the clock, and the score."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

from judgekit.core.quantity import show_time
from judgekit.core.workout import (
    Attempts,
    ClockRest,
    Every,
    Movement,
    OwnRest,
    Rounds,
    ScoredBy,
    Window,
)
from judgekit.files.wording import one_of, quoted, shown_value
from judgekit.files.workout_targets import tables_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.files.lines import KeyPath
    from judgekit.files.workout_parts import PartRead
    from judgekit.files.workout_values import Reader

SCORES: tuple[ScoredBy, ...] = get_args(ScoredBy)
_MONITORED = ("calories", "metres", "seconds")
_WINDOWS = ("window", "window-until")
_LEAST_PLACED = 2


def check_clock(reader: Reader, parts: Sequence[PartRead], cap_ms: int) -> None:
    """What lasts until a time must end after it began, and all begin before the cap.

    `cap_ms` is the shortest cap, 0 for none. The clock is known from below alone:
    work takes its time, windows and rests are as long as they say.
    """
    clock = 0
    for part in parts:
        if part.works and cap_ms and clock >= cap_ms:
            reader.wrong(
                part.path,
                f"starts at {show_time(clock)} or later, when the cap of "
                f"{show_time(cap_ms)} is over",
                "make the cap longer or the parts before it shorter",
            )
        until = _until(part)
        if until and until <= clock:
            reader.wrong(
                (*part.path, part.kind),
                f"is {show_time(until)}, but the parts before it take at least "
                f"{show_time(clock)}",
                "write a later time",
            )
        clock = max(clock + _length(part), until)


def _until(part: PartRead) -> int:
    match part.shape:
        case ClockRest(until_ms=until) | Window(until_ms=until):
            return until
        case _:
            return 0


def _length(part: PartRead) -> int:
    """How long the part takes at least."""
    match part.shape:
        case Window(length_ms=length) | OwnRest(length_ms=length):
            return length
        case Attempts(within_ms=length):
            return length
        case Every():
            return (part.shape.times - 1) * part.shape.every_ms + part.shape.work_ms
        case Rounds():
            return (part.shape.rounds - 1) * part.shape.rest_ms
        case _:
            return 0


def score_of(
    reader: Reader, table: Mapping[str, object], parts: Sequence[PartRead]
) -> dict[str, ScoredBy]:
    """Checks the score; gives each part's own under a score by placing."""
    given = table.get("score")
    score = next((known for known in SCORES if known == given), None)
    if score is None:
        if "score" in table:
            reader.wrong(("score",), f"is {shown_value(given)}", one_of(given, SCORES))
        return {}
    scored = [part for part in parts if part.works and part.scored]
    _check_scored(reader, parts, scored, score)
    own: dict[str, ScoredBy] = {}
    for part in parts if score != "placing" else ():
        if part.score:
            reader.wrong(
                (*part.path, "score"),
                f"is the part's own, but the workout is scored by {quoted(score)}",
                'take it out, or write score = "placing" for the workout',
            )
    for part in scored:
        by = _by(part, score)
        own[part.id] = by
        _check_part(reader, table, part, by)
        _check_take(reader, part, by)
        _check_per(reader, part, by)
    if score == "reps":
        _check_reps_differ(reader, table, scored)
    _check_capped(reader, table)
    return own if score == "placing" else {}


def _by(part: PartRead, score: ScoredBy) -> ScoredBy:
    if score == "total":
        return "load"
    return part.score or by_shape(part) if score == "placing" else score


def by_shape(part: PartRead) -> ScoredBy:
    """How a part is scored of which nothing is said."""
    if part.kind == "rounds":
        return "time"
    if part.kind == "attempts":
        return "load"
    return "reading" if _is_monitored(part) else "reps"


def _check_scored(
    reader: Reader,
    parts: Sequence[PartRead],
    scored: Sequence[PartRead],
    score: ScoredBy,
) -> None:
    unscored = [part for part in parts if part.works and not part.scored]
    if unscored and not scored:
        path = (*unscored[0].path, "scored")
        reader.wrong(path, "is false for every part", "leave one that is scored")
    for part in unscored:
        if score == "time" and scored:
            reader.wrong(
                (*part.path, "scored"),
                'is false, but the score is "time", and the clock runs on through it',
                "take it out",
            )
        if part.score or part.take:
            reader.wrong(
                (*part.path, "score" if part.score else "take"),
                "is given, but the part is not scored",
                "take it out, or scored = false",
            )
    if score in _ADDS_UP and len(scored) < _LEAST_PLACED:
        reader.wrong(
            ("score",),
            f"is {quoted(score)}, which adds up the {_ADDS_UP[score]} of parts, but "
            "one part is scored",
            "write the score of that part, or add a part",
        )


def _check_part(
    reader: Reader, table: Mapping[str, object], part: PartRead, by: ScoredBy
) -> None:
    """Whether a part can have such a score."""
    if not part.kind:
        return
    why = _REFUSALS[by](part, table)
    if why:
        what, right = why
        reader.wrong((*part.path, part.kind), what, right)


def _not_by_time(
    part: PartRead, _table: Mapping[str, object]
) -> tuple[str, str] | None:
    if part.kind == "rounds" or (part.kind == "every" and part.take in _OF_TIMES):
        return None
    what, right = "ends at the same time for all", "rounds for this part"
    if part.kind == "attempts":
        what = "has attempts, not work that is done at some time"
        return f"cannot be scored by time: it {what}", 'write score = "load"'
    if part.kind == "hold":
        what, right = "is longer the better it is", "seconds in a part of rounds"
        return f"cannot be scored by time: it {what}", f'write "reading", or {right}'
    if part.kind == "every":
        right = 'take = "sum", "worst" or "best" for the times of its intervals'
    return f"cannot be scored by time: it {what}", f'write score = "reps", or {right}'


def _not_by_reps(
    part: PartRead, _table: Mapping[str, object]
) -> tuple[str, str] | None:
    if part.kind != "hold":
        return None
    return "is a hold, which has no reps", 'write score = "reading": its seconds'


def _not_by_load(
    part: PartRead, _table: Mapping[str, object]
) -> tuple[str, str] | None:
    if part.kind == "attempts" or any(_is_ladder(m) for m in part.movements):
        return None
    if not part.movements:
        return None  # what is wrong with them is said already
    return (
        "is scored by load, but has no attempts and no load for each round",
        'write attempts = 3, load = ["60 kg", "70 kg", ...], or scored = false',
    )


def _not_by_reading(
    part: PartRead, _table: Mapping[str, object]
) -> tuple[str, str] | None:
    if _is_monitored(part) or not part.movements:
        return None
    return (
        "is scored by a reading, but has movements counted in reps",
        'write score = "reps", or scored = false for this part',
    )


def _is_ladder(movement: Movement) -> bool:
    load = movement.load
    if load is None:
        return False
    return all(len(own) > 1 for own in tables_of(load))


def _is_monitored(part: PartRead) -> bool:
    return bool(part.movements) and all(m.unit in _MONITORED for m in part.movements)


_ADDS_UP = {"placing": "places", "total": "best loads"}
_DONE = {"reps": "reps done", "load": "load lifted", "total": "load lifted"}
_OF_TIMES = ("sum", "worst", "best")
_REFUSALS = {
    "time": _not_by_time,
    "reps": _not_by_reps,
    "load": _not_by_load,
    "reading": _not_by_reading,
}


def _check_take(reader: Reader, part: PartRead, by: ScoredBy) -> None:
    """`take` chooses among rounds or intervals, so there must be some."""
    if part.take is None:
        return
    at = (*part.path, "take")
    many = isinstance(part.shape, Rounds | Every)
    if part.shape is not None and (not many or _rounds(part) == 1):
        reader.wrong(
            at,
            f"is {quoted(part.take)}, but the part has no rounds or intervals to "
            "choose from",
            "take it out",
        )
    elif part.take == "kept" and (part.kind != "every" or by != "reps"):
        reader.wrong(
            at,
            'is "kept", which counts whole intervals',
            'use it with every = "1:00" and the score "reps"',
        )
    elif part.kind == "rounds" and by != "time":
        reader.wrong(
            at,
            f"is {quoted(part.take)}, but rounds differ in their time alone",
            'write score = "time", or take it out',
        )


def _check_per(reader: Reader, part: PartRead, by: ScoredBy) -> None:
    """So many units are one rep: nothing is, where no reps are scored."""
    for at, movement in enumerate(part.movements):
        if movement.per > 1 and by in ("load", "reading"):
            reader.wrong(
                (*part.path, "movement", at, "unit"),
                f"makes reps of its {movement.unit}, but the score is a {by}",
                "take it out",
            )


def _rounds(part: PartRead) -> int:
    match part.shape:
        case Rounds(rounds=rounds) | Every(times=rounds):
            return rounds
        case _:
            return 0


def _check_reps_differ(
    reader: Reader, table: Mapping[str, object], scored: Sequence[PartRead]
) -> None:
    """Under a score by reps something must end before all is done."""
    if "cap" in table or any(part.kind != "rounds" for part in scored):
        return
    reader.wrong(
        ("score",),
        'is "reps", but no part is a window and there is no cap, so all would '
        "do the same reps",
        "make a part a window, or add a cap",
    )


def _check_capped(reader: Reader, table: Mapping[str, object]) -> None:
    if "capped" not in table:
        return
    score = table.get("score")
    if "cap" not in table:
        reader.wrong(("capped",), "is given, but there is no cap", "add the cap")
    elif score not in ("time", "placing") and table["capped"] == "second-per-rep":
        done = _DONE.get(str(score), "reading")
        reader.wrong(
            ("capped",),
            f"adds seconds, but the score is the {done} by the cap",
            "take it out",
        )


def prescribed(parts: Sequence[PartRead]) -> int | None:
    """The fewest reps that anybody's whole work has; None where it has no end."""
    total = 0
    for part in parts:
        if not part.works:
            continue
        if part.kind not in ("rounds", "every"):
            return None
        for path_amounts in _round_totals(part):
            if path_amounts is None:
                return None
            total += path_amounts
    return total


def _round_totals(part: PartRead) -> Iterator[int | None]:
    rounds = _rounds(part)
    for number, movement in enumerate(part.movements):
        turns = range(rounds)
        if isinstance(part.shape, Every) and part.shape.in_turn:
            turns = range(number, rounds, len(part.movements))
        sums = [
            sum(own[min(t, len(own) - 1)] + movement.rise * t for t in turns)
            for own in tables_of(movement.amounts)
            if own and 0 not in own
        ]
        whole = len(sums) == len(list(tables_of(movement.amounts)))
        yield min(sums) if whole and sums else None


def check_until_failed(reader: Reader, parts: Sequence[PartRead]) -> None:
    """Who leaves an interval short is out: it needs a target, and nothing after."""
    working = [part for part in parts if part.works]
    for part in working:
        if not (isinstance(part.shape, Every) and part.shape.until_failed):
            continue
        at: KeyPath = (*part.path, "until-failed")
        if any(0 in own for m in part.movements for own in tables_of(m.amounts)):
            reader.wrong(
                at,
                'is true, but a movement is "max", which nobody leaves short',
                "write a number for it",
            )
        if part is not working[-1]:
            reader.wrong(
                at,
                "is true, but work follows, which nobody who is out would come to",
                "make it the last part",
            )


def check_complexes(reader: Reader, parts: Sequence[PartRead]) -> None:
    """Several movements of one attempt are done with one bar."""
    for part in parts:
        loads = [at for at, m in enumerate(part.movements) if m.load is not None]
        if part.kind == "attempts" and len(loads) > 1:
            reader.wrong(
                (*part.path, "movement", loads[1], "load"),
                "is a second load, but all movements of an attempt share one bar",
                "write the load once, with the first of them",
            )
