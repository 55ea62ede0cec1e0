"""Teams in a lane: who did how much, and who works."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from judgekit.core.plan import Member, Plan, SetKey
    from judgekit.core.state import Attempt, CueGiven, Lane


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
