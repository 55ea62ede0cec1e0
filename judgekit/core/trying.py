"""Deciding presses of single tries: loads said, bars checked, holds, who works."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core import looking, quantity
from judgekit.core.entry import Entry, NoRep, Rep
from judgekit.core.errors import Refusal
from judgekit.core.lane import evolve, own_ms
from judgekit.core.pointing import Decided, draft, faulted
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works

if TYPE_CHECKING:
    from judgekit.core.plan import SetKey
    from judgekit.core.press import Press
    from judgekit.core.state import Lane


def said(lane: Lane, press: Press, act: Bar | Works) -> Decided:
    """What is said before a try: a load, or who works."""
    return _bar(lane, press, act) if isinstance(act, Bar) else _works(lane, press, act)


def _bar(lane: Lane, press: Press, act: Bar) -> Decided:
    """The load of the attempt that comes, or of the last one if that had none."""
    key = _attempt(lane, press.at)
    if key is None:
        return Refusal(says="No load is said here: this part has no attempts.")
    unsaid = looking.unsaid_load(lane, before=key)
    if act.confirmed:
        said = looking.bar_of(lane, key)
        if said is None:
            return Refusal(says="Say the load first; then check the bar.")
        return (draft(press, Bar(load=said.load, confirmed=True), key),)
    refused = _load_refusal(act.load)
    if refused:
        return Refusal(says=refused)
    return (draft(press, act, unsaid or key),)


def _load_refusal(load: str) -> str:
    try:
        mass = quantity.parse(load)
    except ValueError:
        return f'"{load}" is no load; write it with its unit, such as 62.5 kg.'
    if mass.dimension != "mass" or not mass.amount:
        return f'"{load}" is no load; write kg or lb.'
    return ""


def _attempt(lane: Lane, at: int | None) -> SetKey | None:
    """The attempt that a load said at that time is for, None where there is none."""
    work = looking.work_now(lane)
    key = work.cursor if at is None else looking.set_for(lane, own_ms(lane, at))
    if key is None and work.sets:
        key = work.sets[-1].key
    if key is None or lane.plan.part(key).kind != "attempts":
        return None
    return key


def hold(
    lane: Lane, press: Press, key: SetKey, act: Rep | NoRep | HoldOn | HoldOff
) -> Decided:
    """A hold begins at one press and ends at the next, by a fault or let go of."""
    under_way = looking.work_now(lane).hold
    if isinstance(act, Rep):
        if act.n != 1:
            return Refusal(says="A hold is judged one at a time.")
        act = HoldOn() if under_way is None else HoldOff()
    if isinstance(act, HoldOn):
        if under_way is not None:
            return Refusal(says="A hold is under way already.")
        return (draft(press, HoldOn(), key),)
    if under_way is None:
        if isinstance(act, NoRep):
            return faulted(lane, press, key, act.faults, act, weight="void")
        return Refusal(says="No hold is under way.")
    body = HoldOff(faults=act.faults)
    return faulted(lane, press, under_way.set, act.faults, body, weight="void")


def with_hold_done(lane: Lane, press: Press) -> tuple[Lane, Decided]:
    """The lane with a hold ended that was long enough by then, and its draft.

    A desk ends such a hold by itself, a moment later than it is over.
    """
    done = looking.hold_done(lane)
    under_way = looking.work_now(lane).hold
    if press.at is None or done is None or under_way is None:
        return lane, ()
    if own_ms(lane, press.at) < done:
        return lane, ()
    at = press.at - (own_ms(lane, press.at) - done)
    ended = draft(replace(press, at=at), HoldOff(), under_way.set)
    last = lane.entries[-1]
    entry = Entry(
        book=last.book,
        number=last.number + 1,
        lane=lane.plan.lane,
        at=at,
        wall=last.wall,
        who=press.who,
        set=under_way.set,
        body=HoldOff(),
    )
    return evolve(lane, entry), (ended,)


def _works(lane: Lane, press: Press, act: Works) -> Decided:
    """Which member of the team works."""
    known = [member.bib for member in lane.plan.team.members]
    if not known:
        return Refusal(says="There is no team in this lane.")
    if act.bib not in known:
        return Refusal(says=f'The team has no "{act.bib}"; it has {", ".join(known)}.')
    return (draft(press, act),)
