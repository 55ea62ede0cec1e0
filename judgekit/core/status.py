"""A lane's status in plain words; a head judge's ruling comes first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.counted import is_open_ended, prescribed, whole, worth
from judgekit.core.entry import ClassOver, GoOn, MoveOn, Rule, Stop
from judgekit.core.lane import own_ms
from judgekit.core.ruling import StatusIs
from judgekit.core.timeline import Ends, failed_round, lane_end, timeline

if TYPE_CHECKING:
    from judgekit.core.state import Lane

Status = Literal[
    "waiting",
    "in progress",
    "finished",
    "capped",
    "class over",
    "stopped",
    "recalled",
    "did not start",
    "did not finish",
    "withdrawn",
    "disqualified",
    "cut",
    "guest",
    "no result",
]
UNRANKED: frozenset[Status] = frozenset(
    {
        "waiting",
        "in progress",
        "recalled",
        "did not start",
        "did not finish",
        "disqualified",
        "cut",
        "guest",
        "no result",
    }
)


def status_of(lane: Lane) -> Status:
    """The status in plain words."""
    ruled = [
        r.rule.effect.status
        for r in lane.rulings
        if isinstance(r.rule.effect, StatusIs)
    ]
    if ruled and ruled[-1] != "as counted":
        return ruled[-1]
    if lane.recalled:
        return "recalled"
    if lane.absent:
        return "did not start"
    if not lane.started:
        return "waiting"
    return _at_work(lane)


def stop_waits(lane: Lane) -> bool:
    """Whether nobody has said yet what comes of a stop in force.

    Who goes on has said it, and so have both who accept the score; a head judge closes
    the card or rules on the status, if only that it is as counted.
    """
    return lane.stopped and not lane.closed and not _is_ruled_since_the_stop(lane)


def short_waits(lane: Lane) -> bool:
    """The same of a set that was left short, since that was said."""
    if lane.closed or not any(done.moved_on for done in lane.work.sets):
        return False
    ruled = False
    for entry in lane.entries if lane.rulings else ():
        if isinstance(entry.body, MoveOn):
            ruled = False
        elif isinstance(entry.body, Rule) and isinstance(entry.body.effect, StatusIs):
            ruled = True
    return not ruled


def _is_ruled_since_the_stop(lane: Lane) -> bool:
    """A second stop, as one that names the sign, begins nothing anew."""
    stopped = ruled = False
    for entry in lane.entries if lane.rulings else ():
        match entry.body:
            case Stop():
                ruled = ruled and stopped
                stopped = True
            case GoOn():
                stopped = False
            case Rule(effect=StatusIs()):
                ruled = True
            case _:
                pass
    return ruled


def missing(lane: Lane) -> int:
    """Reps of prescribed work not done; what the judge moved on from is let go."""
    plan = lane.plan
    short = prescribed(plan)
    for done in lane.work.sets:
        part = plan.part(done.key)
        if part.scored and part.is_prescribed and not is_open_ended(plan, done.key):
            full = whole(plan, done.key)
            short -= full if done.moved_on else worth(plan, done)
    return max(0, short)


def cap_of(lane: Lane) -> int | None:
    """When the clock ends the lane's work, whenever time was called, or None."""
    rounds = {(part, round_): ms for part, round_, ms in lane.work.round_ends}
    ends = Ends(parts=dict(lane.work.part_ends), rounds=rounds)
    short = {s.key: s.is_open for s in lane.work.sets}
    failed = failed_round(lane.plan, lambda key: short.get(key, True))
    return lane_end(lane.plan, timeline(lane.plan, ends), failed)


def _at_work(lane: Lane) -> Status:
    if lane.work.given is not None:
        short = lane.plan.score == "time" and lane.work.given.result.unit != "ms"
        return "capped" if short else "finished"
    complete = missing(lane) == 0
    if lane.work.done_ms is not None and complete:
        return "finished"
    left = _left_before_the_end(lane)
    if left is not None:
        return left
    if lane.over_ms is None and lane.work.done_ms is None:
        return "in progress"
    if lane.plan.score != "time" or complete:
        return "finished"
    if _reached_cap(lane):
        return "capped"
    return "did not finish" if class_over_ms(lane) is None else "class over"


def class_over_ms(lane: Lane) -> int | None:
    """When the class was called over, if that ended the lane's work; else None."""
    if lane.over_ms is None:
        return None
    called = {
        own_ms(lane, lane.when(entry) or 0)
        for entry in lane.entries
        if isinstance(entry.body, ClassOver)
    }
    return lane.over_ms if lane.over_ms in called else None


def _left_before_the_end(lane: Lane) -> Status | None:
    """Stopped or withdrawn with work to do; after the end it changes nothing.

    A stop waits for what comes of it. Who then withdraws has said it, at whatever time:
    the work had ended with the stop.
    """
    end = looking.end_ms(lane)
    ends = [hold.at for hold in lane.holds if hold.kind == "stop"]
    if lane.withdrawn_ms is not None:
        ends.append(lane.withdrawn_ms)
    if not ends or (end is not None and min(ends) >= end):
        return None
    return "stopped" if lane.withdrawn_ms is None else "withdrawn"


def _reached_cap(lane: Lane) -> bool:
    cap = cap_of(lane)
    if cap is None:
        return False
    return lane.over_ms is None or lane.over_ms >= cap
