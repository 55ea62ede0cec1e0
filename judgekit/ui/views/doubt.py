"""The question about a press that came too soon: while it is open, and in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import doubt, looking
from judgekit.core.entry import Rep
from judgekit.ui.views.phase import horn_asked

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.ruling import Ref
    from judgekit.core.state import Attempt, Lane
    from judgekit.ui.views.phase import Phase

_ASKING: frozenset[Phase] = frozenset({"work", "rest", "horn", "over"})
# Sooner after a reading nobody is at the next key: the finger bounced.
_BOUNCE_MS = 300


def open_doubt(
    lane: Lane, phase: Phase, at: int | None, lag_ms: int = 0
) -> doubt.Doubt | None:
    """What is asked just now; a rep at the horn is asked about first."""
    if phase not in _ASKING or horn_asked(lane, phase):
        return None
    found = doubt.asked(lane, at, lag_ms)
    if found is None or doubt.answered(lane, found.entry.ref):
        return None
    if found.shows is not None:
        return found
    return None if _is_typed(lane, *_pair(lane, found.entry.ref)) else found


def question(lane: Lane, phase: Phase, at: int | None) -> str:
    """The question in one line, with its key; empty if nothing is asked.

    Nobody need answer: whatever is judged next does its own work, and the press stands.
    """
    found = open_doubt(lane, phase, at)
    if found is None:
        return ""
    if found.shows is not None and found.entry.set is not None:
        unit = lane.plan.movement(found.entry.set).unit
        return f"{found.shows} {unit} so soon?   y take it off, else it stands"
    many = _reps(found)
    if many > 1:
        return f"{many} reps so soon?   y takes off all {many}, else they stand"
    what = "One press too many?"
    if found.before is not None:
        what = f"Extra {lane.plan.card_of(found.before).name.lower()}?"
    elif _gap_ms(*_pair(lane, found.entry.ref)) < lane.plan.repeat_ms:
        what = "Two presses at once?"
    return f"{what}   y one too many, else it stands"


def asked_at(lane: Lane, phase: Phase, at: int | None, lag_ms: int = 0) -> int | None:
    """The heat time of the press that the lane asks about, None if of none."""
    if horn_asked(lane, phase):
        ref = lane.horn_asks[0]
        return next(lane.when(e) for e in reversed(lane.entries) if e.ref == ref)
    found = open_doubt(lane, phase, at, lag_ms)
    return None if found is None else lane.when(found.entry)


def answered(asked: Mapping[int, int | None], first: int | None) -> int | None:
    """The lane that `y` answers, of those that ask and since when: the newest.

    A lane that goes `first` is answered before, if it asks.
    """
    asking = {lane: at for lane, at in asked.items() if at is not None}
    if first in asking:
        return first
    return max(asking, key=lambda lane: (asking[lane], lane), default=None)


def question_ways(lane: Lane, phase: Phase, at: int | None) -> tuple[str, ...]:
    """The question in a lane's row, the fullest first; empty if nothing is asked."""
    found = open_doubt(lane, phase, at)
    if found is None:
        return ()
    many = _reps(found)
    if many > 1:
        return (
            f"? {many} so soon? y takes off all {many}",
            f"? y takes off {many}",
            "? y",
        )
    return "? one too many: y", "? y"


def waiting_ways(ways: Sequence[str]) -> tuple[str, ...]:
    """The same question while `y` answers another lane's."""
    said = (way.partition(" y ")[0].partition(": y")[0] for way in ways)
    return (*(way for way in said if way != "? y"), "?")


def _reps(found: doubt.Doubt) -> int:
    """How many reps the press in doubt stands for."""
    return found.entry.body.n if isinstance(found.entry.body, Rep) else 1


def _pair(lane: Lane, ref: Ref) -> tuple[Attempt, Attempt]:
    """The attempt in doubt, and the one it came too soon after."""
    attempts = looking.work_now(lane).attempts
    index = next(n for n in range(-1, -len(attempts), -1) if attempts[n].ref == ref)
    return attempts[index], attempts[index - 1]


def _gap_ms(pressed: Attempt, before: Attempt) -> int:
    return pressed.at - before.at


def _is_typed(lane: Lane, pressed: Attempt, before: Attempt) -> bool:
    """Whether a number was typed: then the pace of the keys is not the athlete's.

    A space says that the target shows, so a reading of less was typed; and whoever
    has typed one needs a moment to be at the next key.
    """
    if before.shows is not None:
        return _gap_ms(pressed, before) >= _BOUNCE_MS
    return pressed.shows is not None and pressed.shows != lane.plan.target(pressed.set)
