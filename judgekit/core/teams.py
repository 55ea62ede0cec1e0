"""Teams in a lane: who did how much, and two judges' counts of one work."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.plan import Member, Plan, SetKey
    from judgekit.core.state import Attempt, CueGiven, Lane, SetDone, Work

K = TypeVar("K")


def reps_by_member(lane: Lane) -> dict[str, int]:
    """How much each member has done, by their bibs, as far as it is known who worked.

    In a relay it is known from the rounds, unless somebody was said to work.
    """
    team = lane.plan.team
    done = dict.fromkeys((member.bib for member in team.members), 0)
    for attempt in lane.work.attempts:
        bib = worker(lane, attempt) if attempt.counts else ""
        if bib in done:
            done[bib] += attempt.n
    return done


def below_least(lane: Lane) -> tuple[str, ...]:
    """Members who have not done the least that each must do, in words.

    Where the athletes said what was done, nobody saw who did it.
    """
    least = lane.plan.team.least
    seen = lane.plan.watching == "judged" and lane.work.given is None
    seen = seen and lane.work.paper is None
    if not least or not seen:
        return ()
    return tuple(
        f"{bib} has done {many} of at least {least}"
        for bib, many in reps_by_member(lane).items()
        if many < least
    )


def at_work(lane: Lane, key: SetKey) -> Member | None:
    """Which member of the team works in the set under way; None while nobody said."""
    members = {member.bib: member for member in lane.plan.team.members}
    turns = (lane.onward or lane.work).turns
    bib = turns[-1][1] if turns else _in_relay(lane.plan, key)
    return members.get(bib)


def worker(lane: Lane, attempt: Attempt | CueGiven) -> str:
    """The bib of the member whose attempt or cue it is; empty where nobody knows."""
    turns = lane.work.turns
    if not turns:
        return _in_relay(lane.plan, attempt.set)
    return next((bib for at, bib in reversed(turns) if at <= attempt.at), "")


def _in_relay(plan: Plan, key: SetKey) -> str:
    """Whose round it is in a relay, empty in any other work."""
    members = plan.team.members
    if plan.team.how != "relay" or not members:
        return ""
    return members[(key.round - 1) % len(members)].bib


def lower_of(lane: Lane, second: Lane) -> Lane:
    """One work that two judges counted: of each set the lower count, the later time."""
    if lane.plan.team.judges == 1:
        return lane
    mine, other = lane.work, second.work
    theirs = {s.key: s for s in other.sets}
    sets = tuple(_lower(s, theirs[s.key]) for s in mine.sets if s.key in theirs)
    work = replace(
        mine,
        sets=sets,
        part_ends=_later(mine.part_ends, other.part_ends),
        round_ends=tuple(
            (part, round_, at)
            for (part, round_), at in _later(_ends(mine), _ends(other))
        ),
        done_ms=_both(mine.done_ms, other.done_ms),
    )
    return replace(lane, work=work, onward=None)


def _lower(one: SetDone, other: SetDone) -> SetDone:
    return replace(
        one,
        good=min(one.good, other.good),
        no_reps=max(one.no_reps, other.no_reps),
        last_ms=_both(one.last_ms, other.last_ms) or one.last_ms,
        done_ms=_both(one.done_ms, other.done_ms),
    )


def _both(one: int | None, other: int | None) -> int | None:
    """The later of two times; None unless both are there."""
    return None if one is None or other is None else max(one, other)


def _ends(work: Work) -> list[tuple[tuple[int, int], int]]:
    return [((part, round_), at) for part, round_, at in work.round_ends]


def _later(
    ones: Iterable[tuple[K, int]], others: Iterable[tuple[K, int]]
) -> tuple[tuple[K, int], ...]:
    second = dict(others)
    return tuple((k, max(at, second[k])) for k, at in ones if k in second)
