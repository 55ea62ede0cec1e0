"""The one line of the Floor that asks or warns, and the words beside the count."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.entry import Odd
from judgekit.core.quantity import show_time
from judgekit.ui.views.phase import (
    Now,
    Phase,
    closed_words,
    stopped_ms,
    waits_for_why,
)

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.core.state import Lane

BannerKind = Literal["", "ask", "alarm", "tell"]


def banner(
    lane: Lane, phase: Phase, at: int | None, now: Now
) -> tuple[str, BannerKind]:
    """The one line, and how it is drawn."""
    told = _told(lane, phase, now)
    if told is not None:
        return told
    if lane.horn_asks and phase == "over":
        return "Rep at the horn: finished in time?   y yes   n no", "ask"
    if waits_for_why(lane, at):
        return "NO REP. Why? Press its key", "ask"
    asked = _asked(lane)
    if asked:
        return asked, "ask"
    if phase == "over":
        return _over(lane), "ask"
    return ("TIME", "alarm") if phase == "horn" else ("", "")


def _told(lane: Lane, phase: Phase, now: Now) -> tuple[str, BannerKind] | None:
    """What stands whatever was pressed, None where that depends on the presses."""
    match phase:
        case "stopped":
            return _stopped(lane, now), "alarm"
        case "frozen":
            since = show_time(lane.holds[0].at)
            return f"FROZEN at {since}, {lane.held} held", "alarm"
        case "accepted":
            return closed_words(lane), "tell"
        case _:
            return (_TELLS[phase], "tell") if phase in _TELLS else None


_TELLS: dict[Phase, str] = {
    "before go": "Not started. Nothing counts yet",
    "countdown": "Nothing counts before zero",
    "absent": "Marked absent",
}


def _stopped(lane: Lane, now: Now) -> str:
    saved = ", NOT SAVED yet" if now.waiting and not lane.stopped else ""
    since = show_time(stopped_ms(lane, now))
    return f"STOPPED at {since}{saved}, {lane.held} held"


def _asked(lane: Lane) -> str:
    """What is asked about the newest attempt, while nothing has followed it."""
    attempts = looking.work_now(lane).attempts
    newest = _newest(lane)
    if not attempts or newest is None or newest.ref != attempts[-1].ref:
        return ""
    attempt = attempts[-1]
    if "changeover" in attempt.marks:
        before = attempts[-2].set if len(attempts) > 1 else attempt.set
        name = lane.plan.card_of(before).name.lower()
        return f"Extra {name}? backspace takes it back"
    if "soon" in attempt.marks:
        return "Two presses at once? backspace takes one back"
    return ""


def _newest(lane: Lane) -> Entry | None:
    """The newest entry that somebody made: a STOP ends a question, a gap does not."""
    made = (e for e in reversed(lane.entries) if not isinstance(e.body, Odd))
    return next(made, None)


def _over(lane: Lane) -> str:
    if lane.withdrawn_ms is not None:
        return f"Withdrew at {show_time(lane.withdrawn_ms)}. g scorecard"
    if lane.work.done_ms is not None:
        done = show_time(lane.work.done_ms, lane.plan.precision_ms)
        return f"Work is done at {done}. g scorecard"
    return "Time. Work is over. g scorecard"


def large_words(lane: Lane, phase: Phase, now: Now) -> tuple[str, ...]:
    """What must be read from three metres, in block letters beside the count."""
    if phase == "stopped":
        return "STOP", show_time(stopped_ms(lane, now))
    if phase == "frozen":
        return ("FROZEN",)
    if phase == "over" and lane.horn_asks:
        return "HORN?", "Y / N"
    called = phase == "over" and lane.work.done_ms is None
    timed = called and lane.withdrawn_ms is None
    return ("TIME",) if phase == "horn" or timed else ()
