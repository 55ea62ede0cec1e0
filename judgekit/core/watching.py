"""Deciding what is said and seen where nobody judges every rep.

Sets are reported, looks are taken, and a whole result may be given: see `watchentry`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import Cue, Ignored, NoRep, Rep
from judgekit.core.errors import Refusal
from judgekit.core.lane import own_ms
from judgekit.core.pointing import Decided, draft, faulted
from judgekit.core.press import EndLook, ReportSet
from judgekit.core.quantity import show_time
from judgekit.core.reporting import report, set_on
from judgekit.core.resulting import misfit, unit_wanted
from judgekit.core.seeing import seen_in
from judgekit.core.tryentry import HoldOff, HoldOn
from judgekit.core.watchentry import Look, LookEnd, Result, SetReported

if TYPE_CHECKING:
    from judgekit.core.plan import SetKey
    from judgekit.core.press import Press
    from judgekit.core.state import Lane, LookMade

# What one press may stand for: more is a slip of the hand.
MOST_AT_ONCE = 50
MOST_SEEN = 999
_REPORTING = (SetReported, ReportSet)
Watched = SetReported | ReportSet | Look | LookEnd | EndLook | Result
Seen = Rep | NoRep | Cue | HoldOn | HoldOff


def open_look(lane: Lane) -> LookMade | None:
    """The look under way, or None."""
    looks = looking.work_now(lane).looks
    return looks[-1] if looks and looks[-1].until_ms is None else None


def watched_set(lane: Lane, at: int | None) -> SetKey | None:
    """The set whose faults the keys call at a time on the lane's own clock.

    A look stays with the set that it began in, whatever is reported meanwhile.
    """
    look = open_look(lane)
    if look is not None:
        return look.set
    if lane.plan.watching == "reported" and at is not None:
        return set_on(lane, at) or looking.set_for(lane, at)
    return None if at is None else looking.set_for(lane, at)


def watched(lane: Lane, press: Press, act: Watched) -> Decided:
    """What a report, a look or a result makes of a lane."""
    if isinstance(act, Result):
        return _result(lane, press, act)
    if lane.plan.watching != "reported":
        told = "no set is reported" if isinstance(act, _REPORTING) else "no look begins"
        return Refusal(says=f"Every rep is judged in this lane: {told} here.")
    if isinstance(act, Look):
        return _look(lane, press)
    if isinstance(act, LookEnd | EndLook):
        return _look_end(lane, press, act.seen)
    if isinstance(act, SetReported):
        act = ReportSet(n=act.n)
    return report(lane, press, act)


def seen(lane: Lane, press: Press, act: Seen) -> Decided:
    """A judging press where sets are reported: seen in a look, or a fault noticed."""
    if open_look(lane) is None and not isinstance(act, NoRep | Cue):
        return Refusal(
            says="No look is on: * begins one. Enter says that the set is done."
        )
    if isinstance(act, HoldOn | HoldOff):
        return Refusal(
            says="A hold is seen like any rep: space is good, a letter is its fault."
        )
    at = own_ms(lane, press.at or 0)
    key = watched_set(lane, at)
    if key is None or _is_over(lane, at):
        return (draft(press, _after_all(lane, press, act)),)
    if isinstance(act, NoRep):
        return faulted(lane, press, key, act.faults, act, weight="void")
    if isinstance(act, Cue):
        return faulted(lane, press, key, (act.fault,), act, weight="cue")
    if not 1 <= act.n <= MOST_AT_ONCE:
        return Refusal(says=f"One press is 1 to {MOST_AT_ONCE} reps, not {act.n}.")
    return (draft(press, act, key),)


def _is_over(lane: Lane, at: int) -> bool:
    """Whether the clock has ended the last work; an interval's horn ends no look."""
    end = looking.end_ms(lane)
    return end is not None and at > end


def _after_all(lane: Lane, press: Press, act: Rep | NoRep | Cue) -> Ignored:
    done = looking.work_now(lane).cursor is None
    at = press.at or 0
    why = looking.AFTER_LAST if done else looking.AFTER_HORN
    return Ignored(why=why, key=act.kind, first_ms=at, last_ms=at, many=1)


# --- looks ----------------------------------------------------------------------------


def _look(lane: Lane, press: Press) -> Decided:
    look = open_look(lane)
    if look is not None:
        return Refusal(says=f"A look is on since {show_time(look.from_ms)}; * ends it.")
    at = own_ms(lane, press.at or 0)
    key = watched_set(lane, at)
    if key is None or _is_over(lane, at):
        return Refusal(says="The work is over: there is nothing left to look at.")
    return (draft(press, Look(), key),)


def _look_end(lane: Lane, press: Press, seen: int | None) -> Decided:
    look = open_look(lane)
    if look is None:
        return Refusal(says="No look is on: * begins one.")
    pressed = seen_in(look.presses)
    if seen is None:
        seen = pressed
    if seen < pressed:
        return Refusal(says=f"{pressed} were pressed in this look, so not {seen} seen.")
    if seen > MOST_SEEN:
        return Refusal(says=f"{seen} seen is too many; at most {MOST_SEEN}.")
    return (draft(press, LookEnd(seen=seen), look.set),)


# --- results --------------------------------------------------------------------------


def _result(lane: Lane, press: Press, act: Result) -> Decided:
    work = looking.work_now(lane)
    if lane.holds:
        how = "stopped" if lane.stopped else "frozen"
        return Refusal(says=f"The athlete is {how}: a result comes when work goes on.")
    if work.attempts or work.reported:
        how = "judged" if work.attempts else "reported set by set"
        return Refusal(says=f"This lane was {how} already: that is its result.")
    if act.unit == "rounds" and unit_wanted(lane.plan) != "rounds":
        act = Result(unit="reps", rounds=act.rounds)
    refused = misfit(lane.plan, act)
    return Refusal(says=refused) if refused else (draft(press, act),)
