"""The marks of an attempt: early, at or after a horn, sooner than anybody is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.pace import pace_mark
from judgekit.core.timeline import thumb_lag_ms

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import Attempt, Mark
    from judgekit.core.timeline import Timeline


def marks_of(
    line: Timeline, attempts: Sequence[Attempt], new: tuple[SetKey, int, int]
) -> list[Mark]:
    """The marks of `new` (set, time, reps; no reps for a no-rep) after `attempts`."""
    key, at, _n = new
    marks: list[Mark] = []
    if attempts and at < attempts[-1].at:
        marks.append("out of order")
    horn = line.horn(key)
    if horn is not None and at > horn:
        marks.append(_horn_mark(line.plan, attempts, key, at - horn))
    if early_due(line, key, at):
        marks.append("early")
    pace = pace_of(line, attempts, new)
    if pace:
        marks.append(pace)
    return marks


def early_due(line: Timeline, key: SetKey, at: int) -> int:
    """How long a set is still shut by then, in ms; 0 if nothing keeps it shut."""
    shut = line.shut_until(key)
    return 0 if shut is None else max(0, shut - at)


def pace_of(
    line: Timeline, attempts: Sequence[Attempt], new: tuple[SetKey, int, int]
) -> Mark | None:
    """The mark of reps for following too soon; a no-rep's pace says nothing."""
    if not attempts or not new[2] or not attempts[-1].good:
        return None
    return pace_mark(line.plan, attempts, line.rests, new)


def same_horn(plan: Plan, one: SetKey, other: SetKey) -> bool:
    """Whether the clock ends two sets at the same moment."""
    if one.part != other.part:
        return False
    return plan.part(one).kind != "every" or one.round == other.round


def _horn_mark(
    plan: Plan, attempts: Sequence[Attempt], key: SetKey, late_ms: int
) -> Mark:
    if late_ms > thumb_lag_ms(plan, key):
        return "after the horn"
    already = any(
        "at the horn" in a.marks and a.good and same_horn(plan, a.set, key)
        for a in reversed(attempts[-4:])
    )
    return "after the horn" if already else "at the horn"
