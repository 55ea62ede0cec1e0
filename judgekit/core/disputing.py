"""Disputes: what may be questioned, until when, and whether anybody has ruled on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

from judgekit.core.entry import Accept, Dispute, Judged, Rule, Stop, Time
from judgekit.core.errors import Refusal
from judgekit.core.pointing import Decided, dispute_at, draft
from judgekit.core.press import DisputeAt
from judgekit.core.ruling import (
    Close,
    Credit,
    Reopen,
    RepsInSet,
    RunCounts,
    StartBy,
    TimeBy,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.entry import Entry, Signer
    from judgekit.core.people import Disputes
    from judgekit.core.press import Press
    from judgekit.core.ruling import Ref
    from judgekit.core.state import Lane, Ruling

_WORK = frozenset((*get_args(Judged), Time, Stop))
_TIMES = (TimeBy, StartBy, Credit)
# What answers no question: a card is reopened to hear one.
NO_ANSWER = (Reopen, Close, RunCounts)
_MAY: Mapping[Disputes, str] = {
    "count-and-time": "the count and the time",
    "count": "the count",
    "time": "the time",
    "none": "nothing",
}


def may_be_questioned(lane: Lane) -> str:
    """What the event lets athletes question, in words."""
    return _MAY[lane.plan.disputes]


def disputed(lane: Lane, press: Press, act: Dispute | DisputeAt) -> Decided:
    """A dispute as an entry, or why it cannot be one."""
    if not act.about:
        return Refusal(says="Say what about.")
    rule = lane.plan.disputes
    if rule == "none":
        return Refusal(says="Scores cannot be questioned at this event.")
    if isinstance(act, DisputeAt):
        if rule == "time":
            return Refusal(says="Only the time can be questioned at this event.")
        return dispute_at(lane, press, act)
    kind = _kind(act)
    if kind and rule not in ("count-and-time", kind):
        return Refusal(says=f"Only {_MAY[rule]} can be questioned at this event.")
    if isinstance(act.claims, RepsInSet):
        refused = reps_refusal(lane, act.claims)
        if refused:
            return Refusal(says=refused)
    return (draft(press, act),)


def _kind(act: Dispute) -> str:
    """Whether a dispute is about the count or the time; empty if it does not say."""
    if act.claims is None:
        return ""
    return "time" if isinstance(act.claims, _TIMES) else "count"


def reps_refusal(lane: Lane, effect: RepsInSet) -> str:
    """Why a ruling cannot move a set's count by so much; empty if it can."""
    if not lane.plan.holds(effect.set):
        return "The workout has no such set."
    # A ruling moves the score: under a hold, the one from before it.
    done = lane.work.set_done(effect.set)
    good = done.good if done is not None else 0
    short = lane.plan.target(effect.set) - good
    if -good <= effect.by <= short:
        return ""
    return f"That set has {good} good and {short} left: it cannot move {effect.by:+d}."


def until_wall(lane: Lane) -> int | None:
    """Until when the score may be questioned, in ms since 1970; None if for ever.

    The time runs from the last thing judged in the lane, or from when time was called.
    """
    if not lane.plan.dispute_ms:
        return None
    ends = [e.wall for e in lane.entries if type(e.body) in _WORK]
    return max(ends) + lane.plan.dispute_ms if ends else None


def open_until(lane: Lane, wall: int | None) -> int | None:
    """The end of the time for questions while it runs; None once it is over.

    It is over when that time has passed, or when everybody has accepted before; there
    is none where the event sets no time. Without a moment it counts as running.
    """
    until = until_wall(lane)
    if lane.closed or until is None:
        return None
    return until if wall is None or wall <= until else None


def waits_for_signatures(lane: Lane) -> bool:
    """Whether nothing but signatures can end the score's being provisional.

    So it is where the event sets no time for questions, and on a card opened again.
    """
    opened_again = lane.accepted is not None
    return not lane.closed and (opened_again or until_wall(lane) is None)


def is_late(lane: Lane, dispute: Entry) -> bool:
    """Whether a dispute came when it was too late, or after both had accepted."""
    until = until_wall(lane)
    if until is not None and dispute.wall > until:
        return True
    signed: set[Signer] = set()
    for entry in lane.entries:
        if entry.wall >= dispute.wall:
            continue
        if isinstance(entry.body, Accept) and entry.body.signed:
            signed.add(entry.body.who)
        elif isinstance(entry.body, Rule) and isinstance(entry.body.effect, Reopen):
            signed.clear()
    return len(signed) > 1


def number_of(lane: Lane, dispute: Ref) -> int:
    """Which of the lane's disputes that is, counted from 1; 0 if it is none."""
    refs = [entry.ref for entry in lane.disputes]
    return refs.index(dispute) + 1 if dispute in refs else 0


def ended(lane: Lane) -> Mapping[Ref, Ruling]:
    """What has ended which dispute: the first ruling that answers it."""
    found: dict[Ref, Ruling] = {}
    for ruling in lane.rulings:
        for dispute in lane.disputes:
            if answers(ruling.rule, ruling.wall, dispute):
                found.setdefault(dispute.ref, ruling)
    return found


def answers(rule: Rule, wall: int, dispute: Entry) -> bool:
    """Whether a ruling of that moment ends a dispute: those that it names, no other.

    One from before rulings named any ends all that were made before it. To open or
    close a card, or to choose a try, ends none.
    """
    if isinstance(rule.effect, NO_ANSWER):
        return False
    if rule.answers is None:
        return wall >= dispute.wall
    return dispute.ref in rule.answers


def unruled(lane: Lane) -> tuple[Entry, ...]:
    """The disputes that no ruling has answered, oldest first."""
    answered = ended(lane)
    return tuple(entry for entry in lane.disputes if entry.ref not in answered)
