"""Deciding official words: rulings, disputes, notes, and accepting a scorecard."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.disputing import disputed
from judgekit.core.entry import Accept, Dispute, FollowedUp, Note, Official, Rule
from judgekit.core.errors import Refusal
from judgekit.core.pointing import Decided, draft
from judgekit.core.press import Answering, DisputeAt, Press, RuleAt
from judgekit.core.ruled import ruled

if TYPE_CHECKING:
    from judgekit.core.state import Lane


def official(
    lane: Lane, press: Press, act: Official | RuleAt | Answering | DisputeAt
) -> Decided:
    """What officials say of a lane."""
    match act:
        case Rule() | RuleAt() | Answering():
            return ruled(lane, press, act)
        case Accept():
            return _accept(lane, press, act)
        case Dispute() | DisputeAt():
            return disputed(lane, press, act)
        case Note(text=text):
            return (draft(press, act),) if text else Refusal(says="Say what about.")
        case FollowedUp():
            return (draft(press, act),)


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
