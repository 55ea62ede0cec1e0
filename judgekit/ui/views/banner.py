"""The one line of the Floor that asks or warns, and the words beside the count."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.quantity import show_time
from judgekit.ui.views.doubt import question
from judgekit.ui.views.phase import (
    Now,
    Phase,
    closed_words,
    horn_asked,
    horn_question,
    stopped_ms,
    waits_for_why,
    went_unnamed,
)

if TYPE_CHECKING:
    from judgekit.core.state import Lane

# A quiet question may stay unanswered.
BannerKind = Literal["", "ask", "quiet", "alarm", "tell"]


def banner(
    lane: Lane, phase: Phase, at: int | None, now: Now
) -> tuple[str, BannerKind]:
    """The one line, and how it is drawn."""
    told = _told(lane, phase, now)
    if told is not None:
        return told
    if horn_asked(lane, phase) and not now.panel:
        return f"{horn_question(lane)}   y yes   n no", "ask"
    if waits_for_why(lane, at):
        return "NO REP. Why? Press its key", "ask"
    asked = "" if now.panel else question(lane, phase, at)
    if asked:
        return asked, "quiet"
    if phase == "over":
        return _over(lane), "ask"
    if went_unnamed(lane, at) and phase != "horn":
        return "No rep, without a reason   l names it", "tell"
    short = _short(lane, at or 0)
    if short and phase != "horn":
        return short, "tell"
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


def _short(lane: Lane, at: int) -> str:
    """The first set that was left short without a reason, until it is made good."""
    found = looking.left_short(lane, at)
    if found is None:
        return ""
    plan = lane.plan
    part = plan.part(found.key)
    where = f", round {found.key.round}" if part.rounds != 1 else ""
    short = f"{plan.card_of(found.key).name}{where}: short by {found.short}"
    return f"{short}   b goes back to it"


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
    if horn_asked(lane, phase):
        return "HORN?", "Y / N"
    called = phase == "over" and lane.work.done_ms is None
    timed = called and lane.withdrawn_ms is None
    return ("TIME",) if phase == "horn" or timed else ()
