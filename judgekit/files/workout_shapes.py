"""The shape of a part: exactly one, and the keys that go with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.quantity import show_time
from judgekit.core.workout import (
    Attempts,
    ClockRest,
    Every,
    OneHold,
    OwnRest,
    Rounds,
    Shape,
    Window,
)
from judgekit.files.fields import duration_of
from judgekit.files.models import MOST_ROUNDS
from judgekit.files.wording import nearest, quoted
from judgekit.files.workout_values import MAX

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from judgekit.files.lines import KeyPath
    from judgekit.files.workout_values import Reader

RESTS = ("rest", "rest-until")
WORK = ("rounds", "window", "window-until", "every", "attempts", "hold")
SHAPES = (*WORK, *RESTS)
# Any number of attempts.
FREE = "free"

_GOES_WITH = {
    "rest-between": "rounds",
    "times": "every",
    "work": "every",
    "in-turn": "every",
    "until-failed": "every",
    "within": "attempts",
}
_OF_WORK = ("score", "take", "scored")
_SECOND_MS = 1000


def kind_of_part(reader: Reader, path: KeyPath, row: Mapping[str, object]) -> str:
    """The key of the one shape a part has, or was meant to have, or an empty text."""
    given = [key for key in SHAPES if key in row]
    if len(given) == 1:
        _check_company(reader, path, row, given[0])
        return given[0]
    unknown = (key for key in row if key not in (*_GOES_WITH, *_OF_WORK, "id"))
    meant = [near for key in unknown if (near := nearest(key, SHAPES))]
    if meant and not given:
        return meant[0]  # the unknown key is named, with the right one
    alone = [key for key in _GOES_WITH if key in row]
    if not given and alone:
        _check_company(reader, path, row, "")
        return ""
    reader.wrong(
        path,
        f"has {' and '.join(given)}" if given else "says neither work nor rest",
        f"write exactly one of {', '.join(SHAPES)}",
    )
    return ""


def shape_of(
    reader: Reader, path: KeyPath, row: Mapping[str, object], kind: str
) -> Shape | None:
    """The shape, None where its value is wrong (the file's model says why)."""
    read = _READ.get(kind)
    return read(reader, path, row) if read else None


def _check_company(
    reader: Reader, path: KeyPath, row: Mapping[str, object], kind: str
) -> None:
    """Keys that go with another shape than the part has."""
    for key, owner in _GOES_WITH.items():
        if key in row and owner != kind:
            has = f"this part has {quoted(kind)}" if kind else "this part has none"
            right = f"take it out, or write {owner} = ... for the part"
            reader.wrong((*path, key), f"goes with {quoted(owner)}, and {has}", right)
    for key in _OF_WORK:
        if key in row and kind in RESTS:
            reader.wrong((*path, key), "stands in a rest", "take it out")


def _ms(value: object) -> int | None:
    try:
        return duration_of(value)
    except ValueError:
        return None


def _count(value: object) -> int | None:
    whole = value if isinstance(value, int) and not isinstance(value, bool) else 0
    return whole if 1 <= whole <= MOST_ROUNDS else None


def _rounds(reader: Reader, path: KeyPath, row: Mapping[str, object]) -> Shape | None:
    rounds = _count(row.get("rounds"))
    if "rest-between" in row and rounds == 1:
        reader.wrong(
            (*path, "rest-between"),
            "lies between two rounds, and there is one",
            "take it out, or write more rounds",
        )
    rest = _ms(row.get("rest-between")) or 0
    return Rounds(rounds=rounds, rest_ms=rest) if rounds else None


def _window(_: Reader, _path: KeyPath, row: Mapping[str, object]) -> Shape | None:
    length = _ms(row.get("window"))
    return Window(length_ms=length) if length else None


def _window_until(_: Reader, _path: KeyPath, row: Mapping[str, object]) -> Shape | None:
    until = _ms(row.get("window-until"))
    return Window(until_ms=until) if until else None


def _every(reader: Reader, path: KeyPath, row: Mapping[str, object]) -> Shape | None:
    every, times = _ms(row.get("every")), _count(row.get("times"))
    work = _ms(row["work"]) if "work" in row else every
    if "times" not in row:
        reader.wrong(
            (*path, "every"), "does not say how many intervals", "add times = 10"
        )
    if every and work and work > every:
        reader.wrong(
            (*path, "work"),
            f"is {show_time(work)}, but the next interval starts after "
            f"{show_time(every)}",
            "write a shorter time, or take it out",
        )
    if not (every and times and work):
        return None
    return Every(
        every_ms=every,
        times=times,
        work_ms=work,
        in_turn=row.get("in-turn") is True,
        until_failed=row.get("until-failed") is True,
    )


def _attempts(reader: Reader, path: KeyPath, row: Mapping[str, object]) -> Shape | None:
    value = row.get("attempts")
    within = _ms(row["within"]) if "within" in row else 0
    if value == FREE and "within" not in row:
        reader.wrong(
            (*path, "attempts"), 'is "free", but never ends', 'add within = "8:00"'
        )
    number = 0 if value == FREE else _count(value)
    if number is None or within is None:
        return None
    return Attempts(attempts=number, within_ms=within)


def _hold(reader: Reader, path: KeyPath, row: Mapping[str, object]) -> Shape | None:
    if row.get("hold") == MAX:
        return OneHold()
    most = _ms(row.get("hold"))
    if most and most % _SECOND_MS:
        reader.wrong(
            (*path, "hold"),
            f"is {show_time(most, 100)}, but holds count whole seconds",
            "write it without the decimals",
        )
        return None
    return OneHold(most_ms=most) if most else None


def _rest(_: Reader, _path: KeyPath, row: Mapping[str, object]) -> Shape | None:
    length = _ms(row.get("rest"))
    return OwnRest(length_ms=length) if length else None


def _rest_until(_: Reader, _path: KeyPath, row: Mapping[str, object]) -> Shape | None:
    until = _ms(row.get("rest-until"))
    return ClockRest(until_ms=until) if until else None


_READ: Mapping[str, Callable[..., Shape | None]] = {
    "rounds": _rounds,
    "window": _window,
    "window-until": _window_until,
    "every": _every,
    "attempts": _attempts,
    "hold": _hold,
    "rest": _rest,
    "rest-until": _rest_until,
}
