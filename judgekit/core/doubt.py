"""Presses that came too soon: which of them is asked about, and which may be answered.

Decided from the entries alone, so that a desk opened again asks the same.
"""

from __future__ import annotations

from itertools import takewhile
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import Entry, Extra, Go, Odd, Reading, Rep
from judgekit.core.lane import own_ms
from judgekit.core.plan import SetKey
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from judgekit.core.ruling import Ref
    from judgekit.core.state import Attempt, Lane

# So long a question stays open; then the press stands, and the scorecard tells.
ASKED_MS = 6000


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A press that may have been one too many.

    `before` is the set of another movement, if the press may have been an extra of it.
    """

    entry: Entry
    before: SetKey | None


def newest(lane: Lane) -> Doubt | None:
    """The press that is asked about: the newest, unless anything was done since.

    Of several too soon in a row the one before is next, once the last is answered.
    """
    off = {taken.target for taken in lane.taken_back if taken.extra}
    for entry in reversed(lane.entries):
        if isinstance(entry.body, Odd | Extra) or entry.ref in off:
            continue
        return of(lane, entry) if isinstance(entry.body, Rep | Reading) else None
    return None


def asked(lane: Lane, at: int | None, lag_ms: int = 0) -> Doubt | None:
    """What is asked at a moment on the lane's own clock, or was so shortly before."""
    doubt = newest(lane)
    if doubt is None or at is None:
        return None
    made = own_ms(lane, lane.when(doubt.entry) or 0)
    return doubt if 0 <= at - made <= ASKED_MS + lag_ms else None


def stamped(lane: Lane, at: int) -> Doubt | None:
    """The newest press of that time which came too soon and counts."""
    for entry in reversed(lane.entries):
        if isinstance(entry.body, Rep | Reading) and lane.when(entry) == at:
            found = of(lane, entry)
            if found is not None:
                return found
    return None


def named(lane: Lane, target: Ref) -> Doubt | None:
    """That very press, if it came too soon and counts."""
    pressed = (e for e in reversed(lane.entries) if e.ref == target)
    entry = next(pressed, None)
    return None if entry is None else of(lane, entry)


def of(lane: Lane, entry: Entry) -> Doubt | None:
    """The doubt about an entry, answered or not; None if there is none."""
    attempts = looking.work_now(lane).attempts
    for index in range(len(attempts) - 1, -1, -1):
        if attempts[index].ref == entry.ref:
            break
    else:
        return None
    attempt = attempts[index]
    if not is_doubtful(lane, attempt):
        return None
    before = attempts[index - 1] if index else None
    return Doubt(entry=entry, before=_other_movement(lane, before, entry))


def extra_of(lane: Lane, pressed: Entry) -> SetKey | None:
    """The set that a press taken off was an extra of, if that of another movement."""
    # From the end: mostly it is one of the newest, and this is asked at each paint.
    refs = (e.ref for e in reversed(lane.entries))
    later = {pressed.ref, *takewhile(lambda ref: ref != pressed.ref, refs)}
    attempts = reversed(looking.work_now(lane).attempts)
    before = next((a for a in attempts if a.ref not in later), None)
    return _other_movement(lane, before, pressed)


def _other_movement(
    lane: Lane, before: Attempt | None, pressed: Entry
) -> SetKey | None:
    """The set of the attempt before, where one more of its movement could be meant."""
    key, plan = pressed.set, lane.plan
    if before is None or key is None or before.shows is not None:
        return None
    return before.set if plan.card_of(before.set) is not plan.card_of(key) else None


def unanswered(lane: Lane, attempt: Attempt) -> bool:
    """Whether a press came too soon and nobody has said what it was."""
    return is_doubtful(lane, attempt) and not answered(lane, attempt.ref)


def is_doubtful(lane: Lane, attempt: Attempt) -> bool:
    """Whether a press counts that came too soon.

    One that stands for many reps is a slip as easily; many reps on one line of a tally
    are none, as nobody pressed a key there.
    """
    soon = "soon" in attempt.marks or "changeover" in attempt.marks
    if not soon or not attempt.counts:
        return False
    return attempt.n == 1 or attempt.shows is not None or _is_live(lane)


def _is_live(lane: Lane) -> bool:
    """Whether the lane was judged at a desk: a start on paper knows of no machine."""
    return any(isinstance(e.body, Go) and e.body.boot for e in lane.entries)


def answered(lane: Lane, target: Ref) -> bool:
    """Whether somebody has said what the press was; an answer comes after it."""
    for entry in reversed(lane.entries):
        if isinstance(entry.body, Extra) and entry.body.target == target:
            return True
        if entry.ref == target:
            return False
    return False
