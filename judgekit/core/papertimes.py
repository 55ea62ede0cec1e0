"""Whether the times on a paper can be those of one clock.

Work is done in its order, a rest has its length, and the clock opens what it opens: no
time may be sooner than what lies before it lets it be.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.lane import own_ms
from judgekit.core.onpaper import last_work, names_work
from judgekit.core.paperentry import PaperTime
from judgekit.core.quantity import show_time
from judgekit.core.ruling import Close, StatusIs, TimeBy
from judgekit.core.timeline import clock_end, last_bell, rest_over

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane


_SETTLES = (TimeBy, StatusIs, Close)
# Why a score with such a time is not final.
DOUBTED = "a time no clock shows"


class _Done(NamedTuple):
    """What was done at a time, in the order of the work."""

    part: int
    round: int
    # The whole work comes after its last part, and a part after its last round.
    whole: int
    at: int
    words: str


def impossible(lane: Lane, at: int, act: PaperTime) -> str:
    """Why a time cannot stand beside those that stand already; empty if it can."""
    told = [*_told(lane), (at, act)]
    if act.rep:
        return _reps_turned(told)
    plan = lane.plan
    return _too_soon(plan, sorted(_done(plan, t, a) for t, a in told if not a.rep))


def doubted(lane: Lane) -> str:
    """Which of the times that stand no clock can have shown; empty if all can be.

    None is written so, but a log may be older than this rule or come from elsewhere,
    and a start that was ruled on moves every time. A ruling on time or status settles
    it, as does closing the scorecard.
    """
    settled = any(isinstance(r.rule.effect, _SETTLES) for r in lane.rulings)
    if lane.work.paper is None or settled:
        return ""
    plan = lane.plan
    told = [(at, act) for at, act in _told(lane) if act.rep or names_work(plan, act)]
    bell = last_bell(plan)
    for at, act in sorted(told, key=lambda one: one[0]):
        words = f"rep {act.rep}" if act.rep else _done(plan, at, act).words
        if at <= 0:
            return f"{words} was not done before the start."
        if bell is not None and at > bell:
            ended = f"the clock ended at {show_time(bell)}"
            return f"{words} was not done at {show_time(at)}: {ended}."
    works = sorted(_done(plan, at, act) for at, act in told if not act.rep)
    return _reps_turned(told) or _too_soon(plan, works)


def _told(lane: Lane) -> Iterator[tuple[int, PaperTime]]:
    gone = {taken.target for taken in lane.taken_back}
    for entry in lane.entries:
        if isinstance(entry.body, PaperTime) and entry.ref not in gone:
            yield own_ms(lane, lane.when(entry) or 0), entry.body


def _done(plan: Plan, at: int, act: PaperTime) -> _Done:
    number = act.part or last_work(plan)
    part = plan.parts[number - 1]
    if not act.part:
        words = "all"
    elif act.round:
        words = f"round {act.round} of part {part.id or number}"
    else:
        words = f"part {part.id or number}"
    return _Done(
        number,
        act.round or max(1, part.rounds),
        0 if act.round else 1 if act.part else 2,
        at,
        words,
    )


def _reps_turned(told: Iterable[tuple[int, PaperTime]]) -> str:
    """Reps are done in the order of their numbers."""
    reps = sorted((act.rep, at) for at, act in told if act.rep)
    for (first, before), (rep, at) in pairwise(reps):
        if at < before:
            return (
                f"Rep {first} was at {show_time(before)}: rep {rep} was not done "
                f"sooner, at {show_time(at)}."
            )
    return ""


def _too_soon(plan: Plan, told: Iterable[_Done]) -> str:
    """The first time that is sooner than it can be, in words."""
    now, opened, here, rounds = 0, 0, 1, 1
    before = ""
    for done in told:
        while here < done.part:
            now = opened = _over(plan, here, now, opened)
            here, rounds = here + 1, 1
        part = plan.parts[here - 1]
        least = now + part.rest_ms * max(0, done.round - rounds)
        if part.kind == "every":
            least = max(least, opened + (done.round - 1) * part.every_ms)
        if done.at < least:
            return (
                f"{before}{done.words} cannot be done before {show_time(least)}, "
                f"so not at {show_time(done.at)}."
            )
        now, rounds = done.at, done.round
        before = f"{_capital(done.words)} was done at {show_time(done.at)}: "
    return ""


def _over(plan: Plan, number: int, now: int, opened: int) -> int:
    """When the part is over at the soonest, if its work had come to `now`."""
    part = plan.parts[number - 1]
    if not part.is_work:
        return rest_over(part, now)
    return now if part.ends_by_work else clock_end(part, opened)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
