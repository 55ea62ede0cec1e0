"""Questions asked of a lane: which set, what is left, what is newest, is it over."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

from judgekit.core.entry import (
    Body,
    Entry,
    Go,
    Is,
    Judged,
    NameFault,
    NoRep,
    Odd,
    OfDay,
    Scale,
    Stop,
)
from judgekit.core.marking import same_horn
from judgekit.core.plan import SetKey
from judgekit.core.ruling import Ref
from judgekit.core.timeline import (
    Ends,
    Timeline,
    failed_round,
    lane_end,
    thumb_lag_ms,
    timeline,
)

# Why a press is kept that comes after its work.
AFTER_HORN = "after the horn"
AFTER_LAST = "after the last rep"
_ODD = frozenset(get_args(Odd))
_SEALING = frozenset((Go, Is, Scale))

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane, OnBar, SetDone, Work


def work_now(lane: Lane) -> Work:
    """The work as presses go on: beyond a hold, if there is one."""
    return lane.onward or lane.work


def line_of(lane: Lane) -> Timeline:
    """The lane's timeline as it stands."""
    return line_of_work(lane, work_now(lane))


def line_of_work(lane: Lane, work: Work) -> Timeline:
    """The timeline that some work of a lane makes."""
    rounds = {(part, round_): ms for part, round_, ms in work.round_ends}
    ends = Ends(parts=dict(work.part_ends), rounds=rounds, over_ms=lane.over_ms)
    return timeline(lane.plan, ends)


def set_for(lane: Lane, at: int) -> SetKey | None:
    """Which set a press made at `at` (own clock) belongs to; None if too late."""
    key = work_now(lane).cursor
    line = line_of(lane)
    while key is not None:
        horn = line.horn(key)
        if horn is None or at <= horn:
            return key
        if at <= horn + thumb_lag_ms(lane.plan, key) and not _horn_taken(lane, key):
            return key
        key = _opened(lane, line, key, at)
    return None


def by_the_clock(lane: Lane, key: SetKey, at: int) -> SetKey:
    """The set that the clock has on: a window gives way to the next at its horn.

    Presses still belong to the old one within the thumb's lag (see `set_for`).
    """
    line = line_of(lane)
    end = _end_of(lane, line)
    now = at if end is None else min(at, end)
    while not lane.plan.part(key).ends_by_work:
        horn = line.horn(key)
        following = next_by_clock(lane, key)
        if horn is None or now <= horn or following is None:
            break
        key = following
    return key


def shown_set(lane: Lane, at: int | None = None) -> SetKey:
    """The set on the screen: the one under way, or the last one worked on.

    What a rest kept shut until all was over was never under way.
    """
    key, sets = lane.work.cursor, lane.work.sets
    if key is not None and not (sets and never_opened(lane, key, at)):
        return key if at is None else by_the_clock(lane, key, at)
    return sets[-1].key if sets else lane.plan.first_from(1) or SetKey(1, 1, 1)


def _opened(lane: Lane, line: Timeline, key: SetKey, at: int) -> SetKey | None:
    """The set that the clock has on next; within the thumb's lag no rest is broken."""
    following = next_by_clock(lane, key)
    if following is None:
        return None
    opens, before = line.opening(following), line.horn(key)
    if opens is None:
        return None
    if opens > at and before is not None and at <= before + lane.plan.horn_lag_ms:
        return None
    return following


def next_by_clock(lane: Lane, key: SetKey) -> SetKey | None:
    """The open set that the clock puts on at the horn of one; None at the last."""
    part = lane.plan.part(key)
    if part.ends_by_work:
        return None
    if part.kind == "every" and key.round < part.rounds:
        if part.until_failed and _is_left_short(lane, key):
            return None
        return _open_from(lane, lane.plan.after_round(key))
    return _open_from(lane, lane.plan.first_from(key.part + 1))


def _is_left_short(lane: Lane, key: SetKey) -> bool:
    keys = lane.plan.round_sets(key.part, key.round)
    return any(_is_open(lane, other) for other in keys)


def _open_from(lane: Lane, key: SetKey | None) -> SetKey | None:
    while key is not None and not _is_open(lane, key):
        key = lane.plan.after(key)
    return key


def _is_open(lane: Lane, key: SetKey) -> bool:
    done = work_now(lane).set_done(key)
    return done is None or done.is_open


def _horn_taken(lane: Lane, key: SetKey) -> bool:
    attempts = work_now(lane).attempts
    return any(
        a.good and same_horn(lane.plan, a.set, key) and "at the horn" in a.marks
        for a in attempts[-4:]
    )


def past_horn(lane: Lane, key: SetKey, at: int) -> bool:
    """Whether the clock has ended that set's work by then."""
    horn = line_of(lane).horn(key)
    return horn is not None and at > horn


def is_resting(lane: Lane, key: SetKey, at: int) -> bool:
    """Whether a rest or the clock keeps that set shut at that time."""
    shut = line_of(lane).shut_until(key)
    return shut is not None and at < shut


def monitor_set(lane: Lane, at: int | None = None) -> SetKey | None:
    """The set under way at a time on the own clock, if a monitor counts it."""
    key = work_now(lane).cursor
    if key is None or not on_monitor(lane.plan, key):
        return None
    return None if never_opened(lane, key, at) else key


def on_monitor(plan: Plan, key: SetKey) -> bool:
    """Whether a set's units are read off a monitor, not counted one by one."""
    return plan.movement(key).unit in ("calories", "metres")


def is_held(plan: Plan, key: SetKey) -> bool:
    """Whether a set is a hold: its seconds are what is between two presses."""
    return plan.movement(key).unit == "seconds"


def bar_of(lane: Lane, key: SetKey) -> OnBar | None:
    """The load said for the attempt that a set belongs to, or None."""
    here = key.part, key.round
    bars = work_now(lane).bars
    return next((bar for bar in bars if (bar.part, bar.round) == here), None)


def unsaid_load(lane: Lane, before: SetKey | None = None) -> SetKey | None:
    """The newest attempt judged with no load said, or that before a set; or None."""
    tried = {
        a.set._replace(movement=1)
        for a in work_now(lane).attempts
        if lane.plan.part(a.set).kind == "attempts"
        and (before is None or (a.set.part, a.set.round) < (before.part, before.round))
    }
    without = (k for k in sorted(tried, reverse=True) if bar_of(lane, k) is None)
    return next(without, None)


def hold_done(lane: Lane) -> int | None:
    """When the hold under way is long enough, on the lane's own clock, or None."""
    hold = work_now(lane).hold
    if hold is None:
        return None
    return hold.from_ms + left(lane, hold.set) * 1000


def never_opened(lane: Lane, key: SetKey, at: int | None = None) -> bool:
    """Whether all was over while a rest still kept the set shut.

    Without `at` only what the log says has ended the work, not the clock.
    """
    line = line_of(lane)
    if line.shut_until(key) is None and all(
        part.is_work for part in lane.plan.parts[: key.part - 1]
    ):
        return False
    horn = line.horn(key)
    ends = [lane.over_ms, lane.withdrawn_ms]
    if at is not None and horn is not None and at > horn:
        ends.append(horn)
    over = min((ms for ms in ends if ms is not None), default=None)
    if over is None:
        return False
    before = (r for r in line.rests if (r.part, r.round) < (key.part, key.round))
    opening = line.opening(key)
    shut = opening is not None and key.round > 1 and opening >= over
    return shut or any(rest.until_ms >= over for rest in before)


def is_newest_attempt(lane: Lane, target: Ref) -> bool:
    """Whether nothing was tried after that attempt."""
    attempts = work_now(lane).attempts
    return bool(attempts) and attempts[-1].ref == target


def left(lane: Lane, key: SetKey) -> int:
    """How many units the set still needs."""
    done = work_now(lane).set_done(key)
    return done.short if done is not None else lane.plan.target(key)


def set_before(lane: Lane) -> SetKey | None:
    """The set worked on before the present one."""
    work = work_now(lane)
    earlier = [s.key for s in work.sets if work.cursor is None or s.key < work.cursor]
    return earlier[-1] if earlier else None


def left_short(lane: Lane, at: int) -> SetDone | None:
    """The first set worked past and short, without a reason why it was left so.

    A window that is over is short of nothing: the clock has ended it.
    """
    work = work_now(lane)
    cursor = work.cursor
    if cursor is None:
        return None
    for done in work.sets:
        left_open = done.key < cursor and done.is_open
        if left_open and _is_awaited(lane, done.key, by_the_clock(lane, cursor, at)):
            return done
    return None


def _is_awaited(lane: Lane, key: SetKey, now: SetKey) -> bool:
    """Whether a short set can still be made good, with the clock at that one."""
    kind = lane.plan.part(key).kind
    if kind == "window":
        return key.part == now.part
    if kind == "every":
        return (key.part, key.round) == (now.part, now.round)
    return True


def correctable(lane: Lane, by: int, at: int) -> SetKey | None:
    """The set that a correction without one moves: the first that can move so far.

    That on by the clock, then the one under way, then the one before.
    """
    cursor = work_now(lane).cursor
    shown = None if cursor is None else by_the_clock(lane, cursor, at)
    for key in dict.fromkeys((shown, cursor, set_before(lane))):
        if key is None or not by:
            continue
        short = left(lane, key)
        good = lane.plan.target(key) - short
        if -good <= by <= short:
            return key
    return None


# --- entries -------------------------------------------------------------------------


def sealed_plan(entries: Iterable[Entry], number: int) -> str:
    """The hash of the lane's newest sealed plan among its entries, or empty."""
    newest = ""
    for entry in entries:
        # Of thousands of entries a few seal a plan.
        if type(entry.body) not in _SEALING:
            continue
        match entry.body:
            case Go(plans=plans):
                newest = dict(plans).get(number, newest)
            case Is(plan=plan) | Scale(plan=plan) if plan and entry.lane == number:
                newest = plan
            case _:
                pass
    return newest


def newest_live(
    lane: Lane,
    *,
    at: int | None = None,
    only: type[Body] | tuple[type[Body], ...] | None = None,
) -> Entry | None:
    """The newest judged entry not taken back, or the newest one stamped `at`."""
    gone = {taken.target for taken in lane.taken_back}
    for entry in reversed(lane.entries):
        if entry.ref in gone or not isinstance(entry.body, Judged):
            continue
        if not _is_of(lane, entry):
            continue
        if only is not None and not isinstance(entry.body, only):
            continue
        if at is None or lane.when(entry) == at:
            return entry
    return None


def newest_taken_back(lane: Lane, *, at: int | None = None) -> Entry | None:
    """What was taken back last and nothing judged since, or the one stamped `at`."""
    gone = {taken.target: taken.by for taken in lane.taken_back}
    if at is not None:
        stamped = (
            e for e in reversed(lane.entries) if e.ref in gone and lane.when(e) == at
        )
        return next((e for e in stamped if _is_of(lane, e)), None)
    if not lane.taken_back:
        return None
    last = lane.taken_back[-1]
    for entry in reversed(lane.entries):
        if entry.ref == last.by:
            break
        if isinstance(entry.body, Judged) and entry.ref not in gone:
            return None
    found = (e for e in lane.entries if e.ref == last.target and _is_of(lane, e))
    return next(found, None)


def _is_of(lane: Lane, entry: Entry) -> bool:
    """Whether the plan has the entry's set; a log from elsewhere may name others."""
    return entry.set is None or lane.plan.holds(entry.set)


def heat_gos(lane: Lane) -> tuple[Entry, ...]:
    """Every go of the whole heat; each after the first found zero once more."""
    gos = (e for e in lane.entries if isinstance(e.body, Go))
    return tuple(e for e in gos if isinstance(e.body, Go) and not e.body.offset_ms)


def since_go(lane: Lane) -> tuple[Entry, ...]:
    """The entries from the newest go of the heat on: what a set clock moves."""
    newest = heat_gos(lane)[-1:]
    return lane.entries[lane.entries.index(newest[0]) :] if newest else lane.entries


def just_no_repped(lane: Lane) -> Entry | None:
    """The no-rep just made, if nothing but reasons for it was pressed since."""
    for entry in reversed(lane.entries):
        body = entry.body
        if isinstance(body, (Odd, OfDay)):
            continue
        if not isinstance(body, NoRep | NameFault):
            return None
        ref = entry.ref
        if any(taken.target == ref for taken in lane.taken_back):
            return None
        if isinstance(body, NoRep):
            return entry if _is_of(lane, entry) else None
    return None


def reasons_of(lane: Lane, no_rep: Entry) -> tuple[str, ...]:
    """The reasons that a no-rep has so far."""
    work = work_now(lane)
    seen = (one for look in work.looks for one in look.presses)
    for attempt in (*reversed(work.attempts), *work.noticed, *seen):
        if attempt.ref == no_rep.ref:
            return attempt.faults
    return ()


def stop_is_newest(lane: Lane) -> bool:
    """Whether STOP is in force and nothing was judged after it."""
    if not lane.stopped:
        return False
    gone = {taken.target for taken in lane.taken_back}
    for entry in reversed(lane.entries):
        if isinstance(entry.body, Stop):
            return True
        if isinstance(entry.body, Judged) and entry.ref not in gone:
            return False
    return False


def read_up_to(lane: Lane) -> tuple[Ref, ...]:
    """The last number read of each book of the lane, in fold order.

    Sessions and other odd things say nothing about the score, so that closing a
    desk leaves what was signed, and its log code, as they were.
    """
    last: dict[str, int] = {}
    for entry in lane.entries:
        if type(entry.body) in _ODD:
            continue
        if entry.number > last.get(entry.book, -1):
            last[entry.book] = entry.number
    return tuple(Ref(book, number) for book, number in last.items())


def is_over(lane: Lane) -> bool:
    """Whether no more work can come: done, time called, stopped, gone or absent."""
    return (
        lane.work.done_ms is not None
        or lane.work.given is not None
        or lane.over_ms is not None
        or lane.withdrawn_ms is not None
        or lane.stopped
        or lane.absent
    )


def end_ms(lane: Lane) -> int | None:
    """When the clock ends the lane's work on its own clock, or None."""
    return _end_of(lane, line_of(lane))


def _end_of(lane: Lane, line: Timeline) -> int | None:
    failed = failed_round(lane.plan, lambda key: _is_open(lane, key))
    return lane_end(lane.plan, line, failed)
