"""Deciding official words: rulings, disputes, notes, and accepting a scorecard."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.disputing import disputed
from judgekit.core.entry import Accept, Dispute, Note, Official, Rule
from judgekit.core.errors import Refusal
from judgekit.core.pointing import Decided, draft, rule_at
from judgekit.core.press import DisputeAt, Press, RuleAt
from judgekit.core.ruling import Percent, RepsInSet

if TYPE_CHECKING:
    from judgekit.core.state import Lane

_WHOLE = 100


def official(lane: Lane, press: Press, act: Official | RuleAt | DisputeAt) -> Decided:
    """What officials say of a lane."""
    if isinstance(act, RuleAt):
        return rule_at(lane, press, act)
    if isinstance(act, Accept):
        return _accept(lane, press, act)
    if isinstance(act, Dispute | DisputeAt):
        return disputed(lane, press, act)
    return _said_officially(lane, press, act)


def _said_officially(lane: Lane, press: Press, act: Note | Rule) -> Decided:
    if isinstance(act, Note) and not act.text:
        return Refusal(says="Say what about.")
    if isinstance(act, Rule):
        if not act.why:
            return Refusal(says="A ruling needs its reason.")
        effect = act.effect
        if isinstance(effect, Percent) and not 1 <= effect.percent <= _WHOLE:
            return Refusal(says="A percentage lies between 1 and 100.")
        if isinstance(effect, RepsInSet):
            refused = _reps_refusal(lane, effect)
            if refused:
                return Refusal(says=refused)
    return (draft(press, act),)


def _reps_refusal(lane: Lane, effect: RepsInSet) -> str:
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


def _accept(lane: Lane, press: Press, act: Accept) -> Decided:
    if lane.horn_asks:
        return Refusal(says="A rep waits at the horn: answer yes or no first.")
    if not looking.is_over(lane):
        return Refusal(says="The work is not over yet.")
    if any(hold.kind == "freeze" for hold in lane.holds):
        return Refusal(says="The lane is frozen: let work go on, or drop it, first.")
    if any(s.who == act.who for s in lane.signatures):
        return Refusal(says=f"The {act.who} has answered already.")
    body = Accept(who=act.who, signed=act.signed, covers=looking.read_up_to(lane))
    return (draft(press, body),)
