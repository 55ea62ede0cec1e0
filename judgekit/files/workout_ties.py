"""The tie-breaks of a workout, the last lift, and the team of a lane."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.workout import (
    AfterPart,
    AtRep,
    Attempts,
    EarlierAttempt,
    Every,
    FewerNoReps,
    IntervalSeconds,
    LastFullRound,
    LastRep,
    LighterBody,
    LighterIn,
    Rounds,
    Team,
)
from judgekit.files.wording import one_of, quoted
from judgekit.files.workout_checks import prescribed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.workout import TieBreak
    from judgekit.files.lines import KeyPath
    from judgekit.files.models import TeamModel
    from judgekit.files.workout_parts import PartRead
    from judgekit.files.workout_values import Reader

_PLAIN: Mapping[str, TieBreak] = {
    "last-full-round": LastFullRound(),
    "last-rep": LastRep(),
    "fewer-no-reps": FewerNoReps(),
    "lighter": LighterBody(),
    "earlier-attempt": EarlierAttempt(),
    "interval-seconds": IntervalSeconds(),
}
# What a tie-break needs, by the key of a part's shape, and what lacks it.
_NEEDS = {
    "earlier-attempt": ("attempts", "no part has attempts"),
    "interval-seconds": ("every", "no part has intervals"),
}


def tiebreaks_of(
    reader: Reader, table: Mapping[str, object], parts: Sequence[PartRead]
) -> tuple[TieBreak, ...]:
    """The tie-breaks in their order; what is wrong gathers in the reader."""
    value = table.get("tiebreak")
    found: list[TieBreak] = []
    for at, row in enumerate(value if isinstance(value, list) else []):
        if not isinstance(row, dict) or len(row) != 1:
            continue  # the file's model says what is wrong
        [(key, said)] = row.items()
        path: KeyPath = ("tiebreak", at, str(key))
        tie = _tiebreak(reader, path, said, parts)
        if tie is not None and tie in found:
            reader.wrong(path, "is there twice", "keep the first")
        elif tie is not None:
            found.append(tie)
            _check_needs(reader, path, table, parts)
    return tuple(found)


def _tiebreak(
    reader: Reader, path: KeyPath, said: object, parts: Sequence[PartRead]
) -> TieBreak | None:
    key = path[-1]
    if key == "after-part":
        return _after_part(reader, path, said, parts)
    if key == "lighter-in":
        return _lighter_in(reader, path, said, parts)
    if key == "at-rep":
        whole = said if isinstance(said, int) and not isinstance(said, bool) else 0
        most = prescribed(parts)
        if most is not None and whole > most:
            reader.wrong(path, f"is {whole}, but the workout has {most}", "write less")
        return AtRep(rep=whole)
    return _PLAIN.get(str(key)) if said is True else None


def _after_part(
    reader: Reader, path: KeyPath, said: object, parts: Sequence[PartRead]
) -> TieBreak | None:
    rounds = [part.id for part in parts if part.kind == "rounds"]
    if said in rounds:
        return AfterPart(part=str(said))
    if isinstance(said, str):
        reader.wrong(
            path,
            f"is {quoted(said)}, which is no part done for rounds",
            one_of(said, rounds) if rounds else "use last-full-round = true",
        )
    return None


def _lighter_in(
    reader: Reader, path: KeyPath, said: object, parts: Sequence[PartRead]
) -> TieBreak | None:
    lifted = [part.id for part in parts if part.kind == "attempts"]
    if said in lifted:
        return LighterIn(part=str(said))
    if isinstance(said, str):
        reader.wrong(
            path,
            f"is {quoted(said)}, which is no part with attempts",
            one_of(said, lifted) if lifted else "take it out",
        )
    return None


def _check_needs(
    reader: Reader,
    path: KeyPath,
    table: Mapping[str, object],
    parts: Sequence[PartRead],
) -> None:
    key = str(path[-1])
    kind, lack = _NEEDS.get(key, ("", ""))
    if kind and all(part.kind != kind for part in parts):
        reader.wrong(path, f"is asked for, but {lack}", "take it out")
    if key == "lighter" and "team" in table:
        reader.wrong(path, "is about one athlete, and here are teams", "take it out")


def check_last_lift(
    reader: Reader, table: Mapping[str, object], parts: Sequence[PartRead]
) -> None:
    """A last lift is one that the clock catches."""
    clocked = (isinstance(p.shape, Attempts) and p.shape.within_ms for p in parts)
    if "last-lift" in table and not any(clocked):
        reader.wrong(
            ("last-lift",),
            "is about a lift at the horn, but no part has attempts within a time",
            'take it out, or write within = "8:00" with the attempts',
        )


def team_of(
    reader: Reader, model: TeamModel | None, parts: Sequence[PartRead]
) -> Team | None:
    """The team of a lane, if the workout has one."""
    if model is None:
        return None
    if model.judges > model.size:
        reader.wrong(
            ("team", "judges"),
            f"is {model.judges}, more than the {model.size} of a team",
            f"write at most {model.size}",
        )
    if model.least and model.how == "together":
        reader.wrong(
            ("team", "least"),
            "is given, but together all of them do every rep",
            "take it out",
        )
    if model.how == "relay" and not any(_has_rounds(part) for part in parts):
        reader.wrong(
            ("team", "how"),
            'is "relay", in which one does a round and then the next, but no part has '
            "more than one",
            'write rounds, or how = "shared"',
        )
    return Team(
        size=model.size, how=model.how, least=model.least or 0, judges=model.judges
    )


def _has_rounds(part: PartRead) -> bool:
    match part.shape:
        case Rounds(rounds=rounds) | Every(times=rounds):
            return rounds > 1
        case _:
            return part.kind in ("window", "window-until")
