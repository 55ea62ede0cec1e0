"""Deciding reports: which set the athlete speaks of, and whether it can be that far.

A report is heard after the work as often as in it: after a horn, and after a STOP.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.errors import Refusal
from judgekit.core.lane import fold, own_ms
from judgekit.core.overtaking import held_ms
from judgekit.core.pace import least_ms
from judgekit.core.plan import OPEN
from judgekit.core.pointing import Decided, draft
from judgekit.core.quantity import show_time
from judgekit.core.watchentry import SetReported

if TYPE_CHECKING:
    from judgekit.core.plan import SetKey
    from judgekit.core.press import Press, ReportSet
    from judgekit.core.state import Lane

# So long after its horn a report is still of that work, if other work began at once.
LATE_MS = 15_000


def set_to_report(lane: Lane, at: int) -> SetKey | None:
    """The set that a report at that time is about, on the lane's own clock.

    None once all is done, or before a set that never opened.
    """
    before, key = _by_the_clock(lane, at)
    if before is not None and key is not None and _is_late(lane, before, key, at):
        return before
    return _if_opened(lane, key, at)


def set_on(lane: Lane, at: int) -> SetKey | None:
    """The set that the clock has on at that time, and in a rest the one before."""
    return _if_opened(lane, _by_the_clock(lane, at)[1], at)


def _by_the_clock(lane: Lane, at: int) -> tuple[SetKey | None, SetKey | None]:
    """The set that the last horn ended, if one did, and the set since then."""
    before, key = None, looking.work_now(lane).cursor
    line = looking.line_of(lane)
    while key is not None:
        horn = line.horn(key)
        over = horn is not None and at > horn
        following = looking.next_by_clock(lane, key) if over else None
        opens = line.opening(following) if following is not None else None
        if following is None or opens is None or at < opens:
            break
        before, key = key, following
    return before, key


def _if_opened(lane: Lane, key: SetKey | None, at: int) -> SetKey | None:
    return None if key is None or looking.never_opened(lane, key, at) else key


def _is_late(lane: Lane, before: SetKey, key: SetKey, at: int) -> bool:
    """Whether a report is of the work that the horn has just ended.

    It is for some seconds, until what has begun since could be done by a brisk
    athlete, or something was reported since the horn.
    """
    work, line = looking.work_now(lane), looking.line_of(lane)
    horn, opens = line.horn(before), line.opening(key)
    if horn is None or opens is None or any(done.key >= key for done in work.sets):
        return False
    # Once: what was said since the horn ended that work, whichever set it was of.
    heard = (s for s in work.reported if s.set.part == before.part and s.at >= horn)
    if next(heard, None) is not None:
        return False
    return at < min(horn + LATE_MS, opens + _soonest_ms(lane, key))


def _soonest_ms(lane: Lane, key: SetKey) -> int:
    """How long a brisk athlete takes for a set; the longest wait if nobody knows."""
    target, card = lane.plan.target(key), lane.plan.card_of(key)
    each = 1000 if looking.is_held(lane.plan, key) else card.brisk_ms
    return LATE_MS if target == OPEN or not each else target * each


def is_too_soon(lane: Lane, key: SetKey, at: int) -> bool:
    """Whether nobody can have done all of a set by now, and what was done before it.

    It all began when the clock, a rest or go opened it: who reports two sets at once
    was late with the first.
    """
    begun = looking.line_of(lane).shut_until(key) or 0
    work = looking.work_now(lane)
    told = {said.set for said in work.reported if said.at >= begun} - {key}
    least = _least_ms(lane, key, lane.plan.target(key))
    least += sum(_least_ms(lane, s.key, s.good) for s in work.sets if s.key in told)
    return at - begun < least


def _least_ms(lane: Lane, key: SetKey, units: int) -> int:
    """The least time that so many units of a set take; 0 if that is not known."""
    plan = lane.plan
    if looking.on_monitor(plan, key):
        return least_ms(plan, key, units)
    each = 1000 if looking.is_held(plan, key) else plan.card_of(key).floor_ms
    return each * units // max(1, len(plan.team.members))


def set_before(lane: Lane, key: SetKey) -> SetKey | None:
    """The set before one, None before the first; of a window the one it has come to."""
    plan = lane.plan
    round_ = [k for k in plan.round_sets(key.part, key.round) if k < key]
    if not round_ and key.round > 1:
        round_ = [*plan.round_sets(key.part, key.round - 1)]
    return round_[-1] if round_ else _last_before(lane, key.part)


def _last_before(lane: Lane, number: int) -> SetKey | None:
    for part in range(number - 1, 0, -1):
        if lane.plan.parts[part - 1].is_endless:
            return _come_to(lane, part)
        if lane.plan.parts[part - 1].is_work:
            return lane.plan.sets_of(part)[-1]
    return None


def _come_to(lane: Lane, part: int) -> SetKey | None:
    """The set that the work in a part without an end has come to."""
    sets = [done for done in looking.work_now(lane).sets if done.key.part == part]
    if not sets:
        return lane.plan.first_from(part)
    return sets[-1].key if sets[-1].is_open else lane.plan.after(sets[-1].key)


# --- at a stop ------------------------------------------------------------------------


def stop_ms(lane: Lane) -> int | None:
    """When the lane was held, on its own clock: now, or by its last STOP; or None."""
    since = held_ms(lane)
    if since is not None or not lane.stops:
        return since
    return own_ms(lane, lane.when(lane.stops[-1]) or 0)


def set_at_stop(lane: Lane) -> SetKey | None:
    """The set that was on when the lane was held."""
    at = stop_ms(lane)
    if at is None:
        return None
    return set_on(_as_held(lane) if lane.holds else _as_stopped(lane), at)


def _as_held(lane: Lane) -> Lane:
    """The lane as the stop has left it, without what is held."""
    return replace(lane, onward=None)


def _as_stopped(lane: Lane) -> Lane:
    """The lane as it was at its last STOP, though work has gone on since."""
    # Once its sign is known, the stop is no entry of the log as it stands there.
    named = lane.stops[-1].ref
    stop = next(i for i, entry in enumerate(lane.entries) if entry.ref == named)
    return _as_held(fold(lane.plan, lane.entries[: stop + 1]))


# --- reports --------------------------------------------------------------------------


def report(lane: Lane, press: Press, act: ReportSet) -> Decided:
    """So many of a set are done, now or by the moment of a stop."""
    key = act.set
    if act.at_stop:
        at = stop_ms(lane)
        if at is None:
            return Refusal(says="Nobody was stopped in this lane.")
        key = key or set_at_stop(lane)
        press = replace(press, at=at + lane.offset_ms + lane.start_shift_ms)
    at = own_ms(lane, press.at or 0)
    since = held_ms(lane)
    if since is not None and at <= since:
        lane = _as_held(lane)
    key = key or set_to_report(lane, at)
    refused = "There is no set to report."
    if key is not None:
        refused = _unready(lane, at, key) or _number_refusal(lane, key, act.n)
    if key is None or refused:
        return Refusal(says=refused)
    many = lane.plan.target(key) if act.n is None else act.n
    return (draft(press, SetReported(n=many), key),)


def _unready(lane: Lane, at: int, key: SetKey) -> str:
    """Why nothing can be said of a set yet; empty if something can."""
    if not lane.plan.holds(key):
        return "The workout has no such set."
    on = set_on(lane, at)
    ahead = on is not None and key > on
    never_begun = on is None and looking.work_now(lane).set_done(key) is None
    if ahead or never_begun:
        return f"{lane.plan.card_of(key).name}: that set has not begun."
    if looking.is_resting(lane, key, at):
        until = looking.line_of(lane).shut_until(key) or 0
        return f"The rest is on until {show_time(until)}: there is no set to report."
    return ""


def _number_refusal(lane: Lane, key: SetKey, n: int | None) -> str:
    """Why a set cannot be that far; empty if it can."""
    name, target = lane.plan.card_of(key).name, lane.plan.target(key)
    before = target - looking.left(lane, key)
    if n is None:
        if target == OPEN:
            return f"{name}: say how many; the set has no number of its own."
        n = target
    if n > target and not looking.on_monitor(lane.plan, key):
        return f"{name}: the set has {target}, not {n}."
    # A try that failed is reported with none of it done.
    least = 0 if lane.plan.part(key).kind in ("attempts", "hold") else 1
    if n < max(least, before) or n == before >= 1:
        said = f"{before} are reported already; take that back first"
        return f"{name}: {said if before else 'say how many'}."
    return ""
