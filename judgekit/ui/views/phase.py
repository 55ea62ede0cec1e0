"""What is going on in a lane at a moment, and which set the screen is about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.decide import WHY_MS
from judgekit.core.entry import NoRep
from judgekit.core.lane import own_ms
from judgekit.core.values import dataclass
from judgekit.core.watching import watched_set

if TYPE_CHECKING:
    from judgekit.core.plan import PlanCard, PlanFault, SetKey
    from judgekit.core.state import Lane

Phase = Literal[
    "before go",
    "countdown",
    "work",
    "rest",
    "horn",
    "stopped",
    "frozen",
    "over",
    "accepted",
    "absent",
]


_BOTH = 2

shown_set = looking.shown_set


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """The moment on the screen: heat time, and what the desk has told.

    `stop_ms` is the heat time of a STOP that was pressed and is not durable yet;
    `second` marks a second judge's desk, which never scores alone; `judges` maps ids
    to names. An open `panel` covers what is asked: its keys are not that question's.
    `checks` says whether there is a lane check to be done. The athlete was stopped so
    many days ago, 0 where nobody knows of a stop.
    """

    heat_ms: int | None
    second: bool = False
    waiting: int = 0
    stop_ms: int | None = None
    panel: bool = False
    checks: bool = False
    judges: Mapping[str, str] = field(default_factory=dict)
    stopped_days: int = 0


def stopped_before(now: Now) -> str:
    """That the athlete was stopped on an earlier day, for the coach; else empty."""
    if not now.stopped_days:
        return ""
    days = now.stopped_days
    return "stopped yesterday" if days == 1 else f"stopped {days} days ago"


def is_untouched(lane: Lane) -> bool:
    """Whether nothing was counted of the lane yet."""
    work = looking.work_now(lane)
    return not (work.attempts or work.reported)


def phase_of(lane: Lane, at: int | None, stop_ms: int | None = None) -> Phase:
    """What is going on, at a time on the lane's own clock (None before go)."""
    if lane.closed:
        return "accepted"
    if stop_ms is not None or (lane.stopped and not _withdrew_since(lane)):
        return "stopped"
    if lane.absent:
        return "absent"
    if not lane.started or at is None:
        return "before go"
    if at < 0:
        return "countdown"
    if lane.holds and not _ended_before(lane):
        return "frozen"
    if looking.is_over(lane):
        return "over"
    return _at_work(lane, at)


def has_ended(lane: Lane, at: int | None) -> bool:
    """Whether all work has ended whatever becomes of a stop: by the clock or a word."""
    if lane.over_ms is not None or lane.withdrawn_ms is not None:
        return True
    end = looking.end_ms(lane)
    return end is not None and at is not None and at > end


def is_working(lane: Lane, at: int | None) -> bool:
    """Whether the athlete has work to do, or will once a freeze is over."""
    return phase_of(lane, at) in ("countdown", "work", "rest", "frozen")


def _withdrew_since(lane: Lane) -> bool:
    """Whether a stopped athlete has withdrawn: the stop asks for nothing any more."""
    stops = (hold.at for hold in lane.holds if hold.kind == "stop")
    gone = lane.withdrawn_ms
    return gone is not None and all(at <= gone for at in stops)


def _ended_before(lane: Lane) -> bool:
    """Whether work had ended all the same: done with nothing held, or withdrawn."""
    done = lane.work.done_ms is not None and not lane.held
    return done or lane.withdrawn_ms is not None


def _at_work(lane: Lane, at: int) -> Phase:
    end = looking.end_ms(lane)
    if end is not None and at > end:
        return "horn"
    return "rest" if rest_left(lane, at) else "work"


def horn_asked(lane: Lane, phase: Phase) -> bool:
    """Whether it is asked if a rep at a horn was in time: once all the work is over."""
    return bool(lane.horn_asks) and phase == "over"


def horn_question(lane: Lane) -> str:
    """What is asked of the oldest press that waits at a horn."""
    waits = lane.horn_asks[0]
    key = next(a.set for a in looking.work_now(lane).attempts if a.ref == waits)
    if lane.plan.part(key).kind != "attempts":
        return "Rep at the horn: finished in time?"
    if lane.plan.last_lift == "started":
        return "Lift at the horn: off the floor in time?"
    return "Lift at the horn: finished in time?"


def rest_left(lane: Lane, at: int) -> int:
    """How much of a rest is left before the set under way may begin, in ms."""
    if lane.work.cursor is None:
        return 0
    key = looking.by_the_clock(lane, lane.work.cursor, at)
    shut = looking.line_of(lane).shut_until(key)
    return 0 if shut is None else max(0, shut - at)


def rests(lane: Lane, phase: Phase, at: int | None) -> bool:
    """Whether a rest is on: also for who was stopped or frozen during it."""
    held = phase in ("stopped", "frozen") and at is not None and rest_left(lane, at) > 0
    return phase == "rest" or held


def closed_words(lane: Lane) -> str:
    """How a closed scorecard was closed: who did not sign is named."""
    missing = [s.who for s in lane.signatures if not s.signed]
    if missing:
        return f"Closed, not signed by {' and '.join(sorted(missing))}"
    if len(lane.signatures) < _BOTH:
        return "Closed by a ruling"
    return "Accepted and closed"


def good_in(lane: Lane, key: SetKey) -> int:
    """How many units of a set count."""
    done = lane.work.set_done(key)
    return done.good if done is not None else 0


def judged_set(lane: Lane, at: int | None) -> SetKey:
    """The set that a fault's key would be judged by."""
    key = watched_set(lane, at)
    if key is not None:
        return key
    under_way = looking.work_now(lane).cursor
    if under_way is None or looking.never_opened(lane, under_way, at):
        return shown_set(lane, at)
    return under_way


def voiding(card: PlanCard) -> tuple[PlanFault, ...]:
    """The card's voiding faults, in its order."""
    return tuple(fault for fault in card.faults if fault.weight == "void")


def waits_for_why(lane: Lane, at: int | None) -> bool:
    """Whether "why?" shows: an unnamed no-rep was made just now."""
    age = _unnamed_since(lane, at)
    return age is not None and 0 <= age <= WHY_MS


def went_unnamed(lane: Lane, at: int | None) -> bool:
    """Whether the newest judgement is a no-rep whose two seconds for why are over."""
    age = _unnamed_since(lane, at)
    return age is not None and age > WHY_MS


def _unnamed_since(lane: Lane, at: int | None) -> int | None:
    """How long ago the no-rep just made was made, None if it has a reason."""
    no_rep = looking.just_no_repped(lane)
    made = None if no_rep is None else lane.when(no_rep)
    if no_rep is None or at is None or made is None:
        return None
    unnamed = isinstance(no_rep.body, NoRep) and not looking.reasons_of(lane, no_rep)
    return at - own_ms(lane, made) if unnamed else None


def stopped_ms(lane: Lane, now: Now) -> int:
    """When the athlete was stopped: as logged, else as pressed."""
    stops = [hold.at for hold in lane.holds if hold.kind == "stop"]
    return stops[0] if stops else now.stop_ms or 0
