"""From a press to entries: `decide(lane, press)` is where every rule of the door lives.

A press becomes drafts of entries, or a refusal in words. Nothing is dropped in
silence: what cannot count any more is kept as an ignored press.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking, trying
from judgekit.core.checkentry import Check
from judgekit.core.correcting import correction
from judgekit.core.entry import (
    Absent,
    BackTo,
    Body,
    Correct,
    Counting,
    Cue,
    Early,
    Freeze,
    Go,
    GoOn,
    Ignored,
    Is,
    MoveOn,
    NameFault,
    NoRep,
    Official,
    OfHeat,
    Reading,
    Recall,
    Rep,
    Scale,
    Stop,
    Time,
    Unfreeze,
    WallSet,
    Withdraw,
)
from judgekit.core.errors import Refusal
from judgekit.core.keyed import keyed
from judgekit.core.lane import own_ms
from judgekit.core.lanecheck import answered
from judgekit.core.officials import official
from judgekit.core.paperentry import PaperNoReps, PaperSet, PaperTime
from judgekit.core.plan import OPEN
from judgekit.core.pointing import Decided, draft, faulted, pointing
from judgekit.core.press import (
    AnswerExtra,
    AnswerHorn,
    Answering,
    Called,
    CountAgain,
    Counted,
    DisputeAt,
    EndLook,
    GoBack,
    Keyed,
    Meant,
    Name,
    NameSign,
    Press,
    ReportSet,
    RuleAt,
    TakeBackOne,
    WasClose,
    WriteNoReps,
    WriteSet,
)
from judgekit.core.quantity import show_time
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from judgekit.core.watchentry import Look, LookEnd, Result, SetReported
from judgekit.core.watching import Seen, Watched, seen, watched
from judgekit.core.writing import Written, written

if TYPE_CHECKING:
    from judgekit.core.plan import SetKey
    from judgekit.core.state import Lane

# While "why?" shows, the next call names the no-rep just made.
WHY_MS = 2000
# Why a press on a machine's set is kept and counts nothing: it is typed instead.
IN_REST = "in the rest"
_POINTING = (TakeBackOne, CountAgain, Name, WasClose, AnswerExtra, AnswerHorn)
_JUDGING = (
    Counting
    | Called
    | Counted
    | ReportSet
    | EndLook
    | WriteSet
    | WriteNoReps
    | TakeBackOne
    | CountAgain
    | Name
    | WasClose
    | AnswerExtra
    | AnswerHorn
    | MoveOn
    | GoBack
    | Withdraw
    | Works
    | Bar
    | Stop
    | NameSign
    | GoOn
    | Freeze
    | Unfreeze
    | WallSet
    | Recall
    | Go
    | Time
    | Absent
    | Is
    | Scale
    | Check
)


_COUNTING = (
    Called,
    NoRep,
    Rep,
    Reading,
    Correct,
    Counted,
    Cue,
    HoldOn,
    HoldOff,
    SetReported,
    ReportSet,
    Look,
    LookEnd,
    EndLook,
    Result,
    WriteSet,
    WriteNoReps,
    PaperSet,
    PaperNoReps,
    PaperTime,
)
_Tried = NoRep | Rep | Reading | Correct | Counted | Cue | HoldOn | HoldOff
_Count = Called | _Tried | Watched | Written


def decide(lane: Lane, press: Press) -> Decided:
    """What a press makes of a lane: drafts in order, or a refusal."""
    act = press.act
    if isinstance(act, Keyed):
        found = keyed(lane, press.at, act.key)
        if isinstance(found, Refusal):
            return _barred(lane, Rep()) or found
        act = found
    return _decided(lane, press, act)


def _decided(lane: Lane, press: Press, act: Meant) -> Decided:
    barred = _barred(lane, act)
    if barred is not None:
        return barred
    if isinstance(act, OfHeat | NameSign):
        return _of_heat(lane, press, act)
    if isinstance(act, _COUNTING):
        return _counting(lane, press, act)
    if isinstance(act, _POINTING):
        return pointing(lane, press, act)
    if isinstance(act, (MoveOn, GoBack, Withdraw, Bar, Works)):
        return _moving(lane, press, act)
    if isinstance(act, Official | RuleAt | Answering | DisputeAt):
        return official(lane, press, act)
    found = answered(lane.plan, lane.entries, act) if isinstance(act, Check) else act
    return found if isinstance(found, Refusal) else (draft(press, found),)


def _barred(lane: Lane, act: Meant) -> Refusal | None:
    """What no judging act may do: change a scorecard that is closed, or a past run."""
    if not isinstance(act, _JUDGING):
        return None
    if lane.closed:
        return Refusal(
            says="The scorecard is closed. Only a head judge's ruling changes it."
        )
    if lane.recalled:
        return Refusal(says="The heat was recalled. Wait for the next go.")
    return None


# --- the heat ---------------------------------------------------------------------


def _of_heat(lane: Lane, press: Press, act: OfHeat | NameSign) -> Decided:
    if isinstance(act, NameSign):
        if not lane.stopped:
            return Refusal(says="Nobody is stopped in this lane.")
        return (draft(press, Stop(sign=act.sign)),)
    refused = _hold_refusal(lane, act) or _start_refusal(lane, act)
    if isinstance(act, WallSet):
        refused = _wall_refusal(lane, press, act)
    return Refusal(says=refused) if refused else (draft(press, act),)


def _start_refusal(lane: Lane, act: OfHeat) -> str | None:
    match act:
        case Go(copies=None, offset_ms=0) if lane.started:
            return "The clock is running already."
        case Go() if act.offset_ms and looking.work_now(lane).attempts:
            return "Reps were judged already; the head judge can move the start."
        case Recall() if not lane.started:
            return "There is no start to recall yet."
        case Time() if not lane.started:
            return "The clock has not started yet."
        case _:
            return None


def _hold_refusal(lane: Lane, act: OfHeat) -> str | None:
    frozen = any(hold.kind == "freeze" for hold in lane.holds)
    match act:
        case Stop(sign="") if lane.stopped:
            stop = next(hold for hold in lane.holds if hold.kind == "stop")
            return f"Stopped already, at {show_time(stop.at)}."
        case GoOn() if not lane.stopped:
            return "Nobody is stopped in this lane."
        case GoOn(by_mistake=False, by=""):
            return "Say who lets the athlete go on."
        case Freeze() if frozen:
            return "Frozen already."
        case Unfreeze() if not frozen:
            return "Nothing is frozen."
        case _:
            return None


def _wall_refusal(lane: Lane, press: Press, act: WallSet) -> str | None:
    """Why the clock cannot be set to what the wall shows; None if it can."""
    if not lane.started or press.at is None or press.at < 0:
        return "The clock has not started yet."
    if act.shows_ms < 0:
        return "A wall clock shows no time before the start."
    first = _first_moving(lane)
    if first is not None and first + act.shows_ms - press.at < 0:
        shown = show_time(act.shows_ms)
        return f"At {shown} the first judgement would lie before the start."
    return None


def _first_moving(lane: Lane) -> int | None:
    """The earliest judgement that a set clock would move, on the lane's own clock.

    None if there is none, or if a late start would move with it.
    """
    if lane.offset_ms:
        return None
    moving = {e.ref for e in looking.since_go(lane)}
    times = [a.at for a in looking.work_now(lane).attempts if a.ref in moving]
    return min(times, default=None)


# --- counting ----------------------------------------------------------------------


def _counting(lane: Lane, press: Press, act: _Count) -> Decided:
    if not lane.started or press.at is None:
        return Refusal(says="Nothing counts before go.")
    at = own_ms(lane, press.at)
    if isinstance(act, Written):
        return _gone(lane, act) or written(lane, press, act)
    if isinstance(act, Rep) and at < 0:
        return (draft(press, Early()),)
    gone = _gone(lane, act) or _before_zero(at)
    if gone is not None:
        return gone
    if isinstance(act, Watched):
        return watched(lane, press, act)
    lane, ended = trying.with_hold_done(lane, press)
    if ended and isinstance(act, Rep | HoldOff):
        return ended
    decided = _of_try(lane, press, at, act)
    if isinstance(ended, tuple) and isinstance(decided, tuple):
        return (*ended, *decided)
    return decided


def _before_zero(at: int) -> Refusal | None:
    return Refusal(says="Nothing counts before zero.") if at < 0 else None


def _gone(lane: Lane, act: _Count) -> Refusal | None:
    """Why nothing is counted any more of an athlete.

    A look may still be closed, and it may be said what was done by a stop.
    """
    if lane.absent:
        return Refusal(says="This athlete is marked absent.")
    if isinstance(act, LookEnd | EndLook):
        return None
    by_the_stop = isinstance(act, ReportSet) and act.at_stop
    if lane.withdrawn_ms is not None and not by_the_stop:
        return Refusal(says=f"The athlete withdrew at {show_time(lane.withdrawn_ms)}.")
    work = looking.work_now(lane)
    if work.given is not None:
        return Refusal(says="This lane has its result as reported; take it back first.")
    if work.paper is not None and not isinstance(act, Written):
        return Refusal(says="This lane has totals from paper; take those back first.")
    return None


def _of_try(lane: Lane, press: Press, at: int, act: Called | _Tried) -> Decided:
    if isinstance(act, Called):
        named = _second_reason(lane, press, act.fault)
        if named is not None:
            return named
        act = NoRep(faults=(act.fault,))
    if lane.plan.watching == "reported" and isinstance(act, Seen):
        return seen(lane, press, act)
    return _counted(lane, press, at, act)


def _counted(lane: Lane, press: Press, at: int, act: _Tried) -> Decided:
    if isinstance(act, Correct | Counted):
        return correction(lane, press, act)
    key = looking.set_for(lane, at)
    if isinstance(act, Reading):
        # A monitor is read after the horn as often as before it.
        key = looking.monitor_set(lane, at) or key
    if key is None:
        return (draft(press, _too_late(lane, press.at or 0, act)),)
    if isinstance(act, Reading):
        return _reading(lane, press, key, act)
    if isinstance(act, Cue):
        return faulted(lane, press, key, (act.fault,), act, weight="cue")
    if isinstance(act, HoldOn | HoldOff) or looking.is_held(lane.plan, key):
        return _held(lane, press, key, act)
    if isinstance(act, Rep):
        return _rep(lane, press, key, at, act)
    return faulted(lane, press, key, act.faults, act, weight="void")


def _held(
    lane: Lane, press: Press, key: SetKey, act: Rep | NoRep | HoldOn | HoldOff
) -> Decided:
    if not looking.is_held(lane.plan, key):
        name = lane.plan.card_of(key).name
        return Refusal(says=f"{name} is counted rep by rep; there is no hold here.")
    return trying.hold(lane, press, key, act)


def _too_late(lane: Lane, at: int, act: Body) -> Ignored:
    done = looking.work_now(lane).cursor is None
    return _kept(looking.AFTER_LAST if done else looking.AFTER_HORN, at, act)


def _kept(why: str, at: int, act: Body) -> Ignored:
    return Ignored(why=why, key=act.kind, first_ms=at, last_ms=at, many=1)


def _rep(lane: Lane, press: Press, key: SetKey, at: int, act: Rep) -> Decided:
    after = looking.past_horn(lane, key, at)
    if looking.on_monitor(lane.plan, key):
        if after:
            return (draft(press, _kept(looking.AFTER_HORN, press.at or 0, act)),)
        if looking.is_resting(lane, key, at):
            # Nobody has rowed the whole set there: the hand was too quick.
            return (draft(press, _kept(IN_REST, press.at or 0, act)),)
        shows = lane.plan.target(key)
        if shows == OPEN:
            return Refusal(says="Type what the monitor shows (enter).")
        return (draft(press, Reading(shows=shows), key),)
    left = looking.left(lane, key)
    if not 1 <= act.n <= left or (after and act.n > 1):
        card = lane.plan.card_of(key)
        return Refusal(says=f"{card.name}: {left} left in this set, not {act.n}.")
    return (draft(press, act, key),)


def _reading(lane: Lane, press: Press, key: SetKey, act: Reading) -> Decided:
    name = lane.plan.card_of(key).name
    if lane.plan.movement(key).unit in ("reps", "segments"):
        return Refusal(says=f"{name} is counted rep by rep; there is no monitor here.")
    before = lane.plan.target(key) - looking.left(lane, key)
    if act.shows < before and not act.why:
        return Refusal(
            says=f"{name}: the monitor showed {before} before. "
            "Take that back, or say why it shows less."
        )
    return (draft(press, act, key),)


def _second_reason(lane: Lane, press: Press, fault: str) -> Decided | None:
    """A second reason for the no-rep just made, or None if this is a new no-rep."""
    no_rep = looking.just_no_repped(lane)
    if no_rep is None or press.at is None:
        return None
    reasons = looking.reasons_of(lane, no_rep)
    within = lane.plan.second_reason_ms if reasons else WHY_MS
    gap = press.at - (lane.when(no_rep) or 0)
    if fault in reasons or not 0 <= gap <= within:
        return None
    key = no_rep.set
    card = lane.plan.card_of(key) if key is not None else None
    known = card.fault(fault) if card is not None else None
    if known is None or known.weight != "void":
        return None
    return (draft(press, NameFault(target=no_rep.ref, fault=fault), key),)


# --- moving between sets -------------------------------------------------------------


def _moving(
    lane: Lane, press: Press, act: MoveOn | GoBack | Withdraw | Bar | Works
) -> Decided:
    if isinstance(act, Bar | Works):
        return trying.said(lane, press, act)
    if not lane.started or press.at is None or own_ms(lane, press.at) < 0:
        return Refusal(says="Nothing counts before go.")
    if isinstance(act, Withdraw):
        if lane.withdrawn_ms is not None:
            return Refusal(says="The athlete has withdrawn already.")
        return (draft(press, act),)
    if not act.why:
        return Refusal(says="Give a reason.")
    if isinstance(act, GoBack):
        return _go_back(lane, press, act)
    key = looking.set_for(lane, own_ms(lane, press.at))
    if key is None:
        return Refusal(says="There is no set to move on from.")
    return (draft(press, act, key),)


def _go_back(lane: Lane, press: Press, act: GoBack) -> Decided:
    back = act.to or looking.set_before(lane)
    cursor = looking.work_now(lane).cursor
    ahead = back is not None and cursor is not None and back > cursor
    if back is None or ahead or not lane.plan.holds(back):
        return Refusal(says="There is no earlier set to go back to.")
    if looking.left(lane, back) == 0:
        name = lane.plan.card_of(back).name
        return Refusal(says=f"{name} is full there; take reps back instead.")
    return (draft(press, BackTo(why=act.why), back),)
