"""Deciding presses that point at something judged before; and what a draft is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import doubt, looking
from judgekit.core.entry import (
    Body,
    CloseCall,
    Dispute,
    Extra,
    Horn,
    NameFault,
    NoRep,
    PutBack,
    Reading,
    Rep,
    TakeBack,
)
from judgekit.core.errors import Refusal
from judgekit.core.press import (
    AnswerExtra,
    AnswerHorn,
    CountAgain,
    DisputeAt,
    Draft,
    Name,
    Press,
    TakeBackOne,
    WasClose,
)
from judgekit.core.quantity import show_time
from judgekit.core.ruling import RestoreAttempt, VoidAttempt
from judgekit.core.tryentry import HoldOff, HoldOn

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.core.plan import PlanCard, SetKey
    from judgekit.core.state import Lane

Decided = tuple[Draft, ...] | Refusal


def draft(press: Press, body: Body, key: SetKey | None = None) -> Draft:
    return Draft(at=press.at, set=key, body=body, who=press.who)


def faulted(
    lane: Lane,
    press: Press,
    key: SetKey,
    faults: tuple[str, ...],
    body: Body,
    *,
    weight: str,
) -> Decided:
    card = lane.plan.card_of(key)
    for fault_id in faults:
        fault = card.fault(fault_id)
        if fault is None or fault.weight != weight:
            return _no_such_fault(card, fault_id, weight)
    return (draft(press, body, key),)


def _no_such_fault(card: PlanCard, fault_id: str, weight: str) -> Refusal:
    known = ", ".join(f.id for f in card.faults if f.weight == weight)
    kind = "voiding fault" if weight == "void" else "cue fault"
    return Refusal(
        says=f'{card.name} has no {kind} "{fault_id}"; it has {known or "none"}.'
    )


def pointing(
    lane: Lane,
    press: Press,
    act: TakeBackOne | CountAgain | Name | WasClose | AnswerExtra | AnswerHorn,
) -> Decided:
    match act:
        case TakeBackOne():
            return _take_back(lane, press, act)
        case CountAgain():
            return _count_again(lane, press, act)
        case Name():
            return _name(lane, press, act)
        case WasClose():
            return _was_close(lane, press, act)
        case AnswerExtra():
            return _answer_extra(lane, press, act)
        case AnswerHorn(counts=counts):
            if not lane.horn_asks:
                return Refusal(says="No rep waits at the horn.")
            return (draft(press, Horn(target=lane.horn_asks[0], counts=counts)),)


def _take_back(lane: Lane, press: Press, act: TakeBackOne) -> Decided:
    if act.at is None and looking.stop_is_newest(lane):
        return Refusal(says="STOP stays in the log. Go on says whether by mistake.")
    target = looking.newest_live(lane, at=act.at)
    if target is None:
        return Refusal(says="Nothing to take back.")
    return (draft(press, TakeBack(target=target.ref), target.set),)


def _count_again(lane: Lane, press: Press, act: CountAgain) -> Decided:
    target = looking.newest_taken_back(lane, at=act.at)
    if target is None:
        return Refusal(says="Nothing to count again.")
    key = target.set
    counts = lane.plan.watching == "judged"
    if counts and isinstance(target.body, Rep) and key is not None:
        left = looking.left(lane, key)
        if target.body.n > left:
            return Refusal(says=f"That set has {left} left; it cannot take this again.")
    return (draft(press, PutBack(target=target.ref), key),)


def _name(lane: Lane, press: Press, act: Name) -> Decided:
    target = looking.newest_live(lane, at=act.at, only=NoRep)
    if target is None or target.set is None:
        return Refusal(says="There is no no-rep to give a reason for.")
    if act.fault in looking.reasons_of(lane, target):
        return Refusal(says=f'That no-rep has the reason "{act.fault}" already.')
    body = NameFault(target=target.ref, fault=act.fault)
    return faulted(lane, press, target.set, (act.fault,), body, weight="void")


def _was_close(lane: Lane, press: Press, act: WasClose) -> Decided:
    target = looking.newest_live(lane, at=act.at, only=(Rep, NoRep, Reading))
    if target is None and act.at is not None:
        return no_attempt(act.at)
    if target is None:
        return Refusal(says="Nothing has been judged yet.")
    return (draft(press, CloseCall(target=target.ref), target.set),)


def no_attempt(at: int) -> Refusal:
    return Refusal(says=f"No attempt is stamped {show_time(at, 1)}.")


def _answer_extra(lane: Lane, press: Press, act: AnswerExtra) -> Decided:
    found = _doubted(lane, act)
    if found is not None:
        entry = found.entry
        return (draft(press, Extra(target=entry.ref, one_too_many=act.yes), entry.set),)
    if act.target is not None:
        return Refusal(says="That press is answered already, or undone.")
    if act.at is None:
        return Refusal(says="Nothing is asked: the newest press did not come too soon.")
    when = show_time(act.at, 1)
    return Refusal(says=f"No press of {when} came too soon; it can be taken back.")


def _doubted(lane: Lane, act: AnswerExtra) -> doubt.Doubt | None:
    if act.target is not None:
        return doubt.named(lane, act.target)
    return doubt.newest(lane) if act.at is None else doubt.stamped(lane, act.at)


def attempt_of(lane: Lane, at: int) -> Entry | None:
    """The attempt of that time; a hold goes by its beginning as well as by its end."""
    tried = (Rep, NoRep, Reading, HoldOn, HoldOff)
    found = looking.newest_live(lane, at=at, only=tried)
    if found is None or not isinstance(found.body, HoldOn):
        return found
    return _end_of_hold(lane, found)


def _end_of_hold(lane: Lane, begun: Entry) -> Entry | None:
    """The entry that a hold is named by; None while it is under way.

    That is its end, or its own beginning where time or a STOP has ended it.
    """
    if any(attempt.ref == begun.ref for attempt in looking.work_now(lane).attempts):
        return begun
    gone = {taken.target for taken in lane.taken_back}
    after = lane.entries[lane.entries.index(begun) + 1 :]
    trying = (e for e in after if isinstance(e.body, HoldOn | HoldOff))
    following = next((e for e in trying if e.ref not in gone), None)
    ended = following is not None and isinstance(following.body, HoldOff)
    return following if ended else None


def dispute_at(lane: Lane, press: Press, act: DisputeAt) -> Decided:
    target = attempt_of(lane, act.at)
    if target is None:
        return no_attempt(act.at)
    claims = (
        RestoreAttempt(target=target.ref)
        if act.counts
        else VoidAttempt(target=target.ref)
    )
    body = Dispute(
        about=act.about,
        by=act.by,
        claims=claims,
        target=target.ref,
        evidence=act.evidence,
    )
    return (draft(press, body),)
