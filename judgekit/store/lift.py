"""Formats: books of an older one are lifted when read; newer ones are refused.

The file itself is never rewritten. A lift turns the plain values of one format into
those of the next; the hashes stay those of the bytes as they were stored.
"""

from __future__ import annotations

from collections.abc import Callable

from judgekit.core.errors import BookError
from judgekit.core.values import dataclass
from judgekit.store.codec import canonical, parsed

FORMAT = 4


class NewerFormat(BookError):  # noqa: N818 - says what is, not what failed
    """A book that only a newer version can read; it is not damaged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """From one format to the next: an entry's row and a plan's table, as values."""

    entry: Callable[[object], object]
    plan: Callable[[object], object]


_BODY = 7


def _more_of_a_dispute(value: object) -> object:
    """An entry from before a dispute said more than what it is about."""
    if not isinstance(value, list) or value[_BODY - 1] != "dispute":
        return value
    new = {"by": "", "claims": None, "target": None, "evidence": ""}
    return [*value[:_BODY], new | _table(value[_BODY])]


def _more_formats(value: object) -> object:
    """A plan from before intervals, attempts, holds and teams: it has none of them."""
    plan = dict(_table(value))
    plan["parts"] = [_part(part) for part in _list(plan["parts"])]
    plan["tiebreaks"] = [{"number": 0} | _table(t) for t in _list(plan["tiebreaks"])]
    team = {"members": [], "how": "", "least": 0, "judges": 1}
    new = {"last_lift": "complete", "body_grams": 0, "units": "kg", "team": team}
    return new | {"disputes": "count-and-time", "dispute_ms": 0} | plan


def _part(value: object) -> object:
    part = dict(_table(value))
    moves = [{"rise": 0, "per": 1} | _table(m) for m in _list(part["movements"])]
    times = {"every_ms": 0, "work_ms": 0, "rest_ms": 0}
    rules = {"in_turn": False, "until_failed": False}
    scoring = {"score": None, "take": "sum", "scored": True}
    return times | rules | scoring | part | {"movements": moves}


def _answers_unsaid(value: object) -> object:
    """An entry from before a ruling named the disputes that it answers."""
    if not isinstance(value, list) or value[_BODY - 1] != "rule":
        return value
    return [*value[:_BODY], {"answers": None} | _table(value[_BODY])]


def _members_named(value: object) -> object:
    """A plan from before it knew how members of a team want to be shown."""
    plan = dict(_table(value))
    team = dict(_table(plan["team"]))
    team["members"] = [{"show": "name"} | _table(m) for m in _list(team["members"])]
    return plan | {"team": team}


def _table(value: object) -> dict[str, object]:
    if not isinstance(value, dict):
        raise TypeError("a table is missing")
    return value


def _list(value: object) -> list[object]:
    if not isinstance(value, list):
        raise TypeError("a list is missing")
    return value


def _why_a_reading(value: object) -> object:
    """An entry from before a lower reading had its reason."""
    if not isinstance(value, list) or value[_BODY - 1] != "reading":
        return value
    return [*value[:_BODY], {"why": ""} | _table(value[_BODY])]


def _watched(value: object) -> object:
    """A plan from before sets could be reported: every rep was judged."""
    return {"watching": "judged"} | _table(value)


def _more_said(value: object) -> object:
    """What a ruling and a reading did not say before."""
    return _why_a_reading(_answers_unsaid(value))


def _more_of_a_plan(value: object) -> object:
    """What a plan did not say before."""
    return _watched(_members_named(value))


def _sorts_nothing(value: object) -> object:
    """An entry from before a stop or freeze sorted what had been made before it."""
    if not isinstance(value, list) or value[_BODY - 1] not in ("stop", "freeze"):
        return value
    return [*value[:_BODY], {"sorts": False} | _table(value[_BODY])]


def _same(value: object) -> object:
    return value


LIFTS: dict[int, Lift] = {
    1: Lift(entry=_more_of_a_dispute, plan=_more_formats),
    2: Lift(entry=_more_said, plan=_more_of_a_plan),
    3: Lift(entry=_sorts_nothing, plan=_same),
}


def check_format(written: int, name: str) -> None:
    """Refuse a book whose format this version cannot read, saying what to do."""
    if written > FORMAT:
        raise NewerFormat(
            f"{name} was written by a newer judgekit (format {written}, this one "
            f"knows {FORMAT}); update judgekit to read it. The file is untouched"
        )
    if any(number not in LIFTS for number in range(written, FORMAT)):
        raise BookError(f"{name} has format {written}, which no judgekit ever wrote")


def lift_entry(written: int, data: bytes) -> bytes:
    """An entry's stored bytes, lifted from the format they were written in."""
    return _lifted(written, data, lambda lift: lift.entry)


def lift_plan(written: int, data: bytes) -> bytes:
    """A plan's stored bytes, lifted from the format they were written in."""
    return _lifted(written, data, lambda lift: lift.plan)


def _lifted(
    written: int, data: bytes, step: Callable[[Lift], Callable[[object], object]]
) -> bytes:
    if written == FORMAT:
        return data
    value = parsed(data)
    for number in range(written, FORMAT):
        try:
            value = step(LIFTS[number])(value)
        except (LookupError, TypeError, ValueError) as error:
            raise BookError(f"it does not fit format {number}: {error}") from error
    return canonical(value)
