"""What totals from paper do to the work under way.

A set has its count and no time. What a time says to be done is full, where nothing
else stands there.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from judgekit.core.paperentry import OfPaper, PaperNoReps, PaperSet, PaperTime
from judgekit.core.state import NoRepsWritten, Paper

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.running import Running

# A try that failed is over, too.
_TRIED = ("attempts", "hold")


def write(
    now: Running, entry: Entry, body: OfPaper, key: SetKey | None, at: int
) -> None:
    """One entry of a lane kept on paper."""
    paper = replace(now.paper or Paper(ref=entry.ref), ref=entry.ref)
    now.paper = paper
    match body:
        case PaperSet(n=n, load=load):
            if key is not None:
                _fill(now, key, n, load)
        case PaperNoReps(n=n, fault=fault, any_round=any_round):
            if key is not None:
                found = NoRepsWritten(key, fault, n, any_round)
                now.paper = replace(paper, no_reps=(*paper.no_reps, found))
        case PaperTime(rep=0):
            if names_work(now.plan, body):
                _ended(now, body, at)
        case PaperTime(rep=rep):
            now.paper = replace(paper, reps_at=(*paper.reps_at, (rep, at)))
        case _:
            assert_never(body)


def _fill(now: Running, key: SetKey, n: int, load: str) -> None:
    done = now.set_now(key)
    done.good = max(0, min(n, done.target))
    done.spent = now.plan.part(key).kind in _TRIED and done.good < done.target
    if load:
        now.bar(key, load, confirmed=False)
    now.cursor = key if now.is_open(key) else now.next_open(key)


def _ended(now: Running, body: PaperTime, at: int) -> None:
    said = {done.key for done in now.sets()}
    for key in done_by(now.plan, body):
        if key not in said:
            _fill(now, key, now.plan.target(key), "")
    if body.round:
        now.end_round(body.part, body.round, at)
    else:
        now.end_part(body.part or last_work(now.plan), at)
    if not body.part:
        now.end_work(at)


def done_by(plan: Plan, body: PaperTime) -> Iterable[SetKey]:
    """The sets that must be full where such a time stands."""
    every = plan.all_sets()
    if body.round:
        return (key for key in every if key[:2] == (body.part, body.round))
    if body.part or plan.score != "time":
        number = body.part or last_work(plan)
        return (key for key in every if key.part == number)
    return every


def names_work(plan: Plan, body: PaperTime) -> bool:
    """Whether such a time can be one of this plan: of work that ends by being done."""
    number = body.part or last_work(plan)
    if not 1 <= number <= len(plan.parts) or body.round < 0:
        return False
    part = plan.parts[number - 1]
    if not part.is_work:
        return False
    if body.round:
        return plan.holds(plan.round_sets(number, body.round)[0])
    return part.ends_by_work


def last_work(plan: Plan) -> int:
    """The number of the last part with work in it."""
    return max(n for n, part in enumerate(plan.parts, 1) if part.is_work)
