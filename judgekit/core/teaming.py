"""A team in a lane: who is in it, and what it must have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.people import Athlete
from judgekit.core.plan import Member, PlanTeam

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.workout import Team


def as_one(team: str, athletes: Iterable[Athlete]) -> Athlete | None:
    """The team as it stands in a lane: its name is its bib, its division theirs.

    It is shown by that alone, as the name says nothing more. None where nobody is in
    a team of that name.
    """
    members = tuple(athlete for athlete in athletes if team and athlete.team == team)
    if not members:
        return None
    return Athlete(
        bib=team,
        name=team,
        division=members[0].division,
        team=team,
        show="number",
        members=members,
    )


def wrong_with(team: Team, entrant: Athlete) -> list[str]:
    """What keeps a team from going into a lane."""
    members = entrant.members
    wrong = []
    if len(members) != team.size:
        wrong.append(
            f'the team "{entrant.name}" has {len(members)} in people.csv, and the '
            f"workout is for {team.size}"
        )
    divisions = dict.fromkeys(member.division for member in members)
    if len(divisions) > 1:
        wrong.append(
            f'the team "{entrant.name}" has members of several divisions: '
            f"{', '.join(divisions)}"
        )
    return wrong


def plan_team(team: Team | None, entrant: Athlete) -> PlanTeam:
    """The team as a plan holds it; nothing of it without one."""
    if team is None:
        return PlanTeam()
    return PlanTeam(
        members=tuple(
            Member(bib=m.bib, name=m.name, show=m.show) for m in entrant.members
        ),
        how=team.how,
        least=team.least,
        judges=team.judges,
    )
