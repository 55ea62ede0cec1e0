"""A score with time given back: what it would be, had some no-reps been good.

Time given back moves on what follows it, as the plan has it: an athlete's own rest and
a window of a length begin sooner, while what the wall clock opens does not. Where work
is ended by the clock, time becomes reps of what came next (see `onward.py`), and never
more than were there to be done.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.counted import RankKey, scored_parts
from judgekit.core.looking import line_of_work
from judgekit.core.quantity import show_time
from judgekit.core.score import Score, score, tie_key
from judgekit.core.status import missing
from judgekit.review.judged import is_told
from judgekit.review.onward import onward

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.plan import SetKey
    from judgekit.core.state import Lane

# How a lane's work must have ended, by what is scored.
_ENDED = {
    "time": ("finished", "capped"),
    "reps": ("finished", "stopped", "withdrawn"),
}


def why_not(lane: Lane, now: Score) -> str:
    """Why a lane's score cannot be worked out with time given back; empty if it can."""
    plan = lane.plan
    if is_told(lane):
        return "reported, so that nothing has a time"
    if plan.team.members:
        return "a team: who did which rep is not always known"
    if plan.score not in ("time", "reps"):
        return "not scored by time or reps"
    if any(part.take != "sum" for _, part in scored_parts(plan)):
        return "one round makes the score"
    if now.status not in _ENDED[plan.score]:
        return now.status
    return ""


def regained(lane: Lane, now: Score, back: Mapping[SetKey, int]) -> Score:
    """The score with time given back, in ms by the set in which it was lost.

    As it is where `why_not` has a reason.
    """
    if not any(back.values()) or why_not(lane, now):
        return now
    if lane.plan.score == "reps":
        return _with_reps(lane, now, back)
    if now.status == "finished":
        return _sooner(lane, now, back)
    return _past_the_cap(lane, now, back)


# --- for time ---------------------------------------------------------------------


def _sooner(lane: Lane, now: Score, back: Mapping[SetKey, int]) -> Score:
    return _as_time(lane, now, _exact_ms(lane) - _off_the_time(lane, back))


def _exact_ms(lane: Lane) -> int:
    """The time to the ms: what is cut off for show is not given back."""
    whole = score(replace(lane, plan=replace(lane.plan, precision_ms=1)))
    return int(whole.value or 0)


def _as_time(lane: Lane, now: Score, ms: float) -> Score:
    precision = lane.plan.precision_ms
    kept = max(0, int(ms)) // precision * precision
    shown = show_time(kept, precision)
    return _other(now, (0, kept), kept, shown)


def _off_the_time(lane: Lane, back: Mapping[SetKey, int]) -> int:
    """What comes off a time: all that no clock takes away again."""
    plan = lane.plan
    off = carried = 0
    for number, part in enumerate(plan.parts, 1):
        here = _lost_in(back, number)
        if part.kind == "every":
            # The wait for the next interval comes off the score, so that is work alone.
            off += here
        elif part.ends_by_work:
            carried += here
        elif part.until_ms:
            # A longer rest by the clock comes off a score without rests, else nothing.
            rests = not part.is_work and plan.rest == "excluded"
            off += carried if rests else 0
            carried = 0
    return off + carried


def _past_the_cap(lane: Lane, now: Score, back: Mapping[SetKey, int]) -> Score:
    """More reps before the cap, or the end of the work."""
    short = missing(lane)
    found = onward(lane, _part_under_way(lane), _time_left(lane, back))
    gained = min(short, found.reps)
    by_seconds = replace(lane.plan, capped="second-per-rep", precision_ms=1)
    full = int(score(replace(lane, plan=by_seconds)).value or 0)
    if gained == short:
        done = full - 1000 * short - found.left_ms
        return replace(_as_time(lane, now, done), status="finished")
    if lane.plan.capped == "second-per-rep":
        return _as_time(lane, now, full - 1000 * gained)
    value = int(now.value or 0) + gained
    return _other(now, (1, -value), value, f"{value} of {now.prescribed}")


def _time_left(lane: Lane, back: Mapping[SetKey, int]) -> int:
    """How much more time there would have been when the cap came."""
    carried = 0
    for number, part in enumerate(lane.plan.parts, 1):
        if part.until_ms:
            carried = 0
        carried += _lost_in(back, number) if part.ends_by_work else 0
    return carried


def _part_under_way(lane: Lane) -> int:
    """The part in which the cap came."""
    return max(s.key.part for s in lane.work.sets) if lane.work.sets else 1


# --- for reps ---------------------------------------------------------------------


def _with_reps(lane: Lane, now: Score, back: Mapping[SetKey, int]) -> Score:
    line = line_of_work(lane, lane.work)
    gained = carried = 0
    for number, part in enumerate(lane.plan.parts, 1):
        here = _lost_in(back, number)
        if number not in line.opens:
            break
        if part.kind == "every":
            more = _in_intervals(lane, number, back)
        elif part.ends_by_work and not _short_in(lane, number):
            carried += here
            continue
        elif part.is_work:
            starts_sooner = part.ends_by_work or part.until_ms
            time = here + (carried if starts_sooner else 0)
            more = onward(lane, number, time).reps if time else 0
        else:
            more = 0
        gained += more if part.scored else 0
        carried = 0 if part.until_ms or part.ends_by_work else carried
    value = int(now.value or 0) + gained
    return _other(now, (0, -value), value, str(value))


def _short_in(lane: Lane, number: int) -> int:
    plan = lane.plan
    wanted = sum(plan.target(key) for key in plan.sets_of(number))
    return wanted - sum(s.good for s in lane.work.sets if s.key.part == number)


def _in_intervals(lane: Lane, number: int, back: Mapping[SetKey, int]) -> int:
    """More reps in intervals left short; one done in time gains nothing."""
    part = lane.plan.parts[number - 1]
    gained = 0
    for round_ in range(1, part.rounds + 1):
        keys = lane.plan.round_sets(number, round_)
        time = sum(back.get(key, 0) for key in keys)
        done = [s for s in lane.work.sets if s.key in keys]
        reps = sum(s.good for s in done)
        more = time * max(1, reps) // max(1, part.work_ms)
        gained += min(more, sum(lane.plan.target(key) for key in keys) - reps)
    return gained


def _lost_in(back: Mapping[SetKey, int], number: int) -> int:
    return sum(ms for key, ms in back.items() if key.part == number)


def _other(now: Score, key: RankKey, value: int, shown: str) -> Score:
    """The score with another value; what parts ties stays as it is."""
    if value == now.value and now.rank_key is not None and now.rank_key[0] == key[0]:
        return now
    return replace(
        now,
        value=value,
        shown=shown,
        detail=shown,
        rank_key=key + tie_key(now.tiebreaks),
    )
