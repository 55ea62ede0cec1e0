"""Panels of attempts and teams: the load said, the bar checked, who works."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.tryentry import Bar, Works
from judgekit.ui.panels import MOST, Choice, Menu, Submit, Typing
from judgekit.ui.views.naming import who
from judgekit.ui.views.phase import shown_set

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.ui.views.phase import Phase


def load_panel(lane: Lane, phase: Phase, at: int | None) -> Typing | None:
    """Where the load of an attempt is typed; None where none is to be said."""
    if lane.closed or phase in ("before go", "countdown", "absent"):
        return None
    unsaid = looking.unsaid_load(lane)
    now = lane.plan.part(shown_set(lane, at)).kind == "attempts"
    if unsaid is None and (not now or phase == "over"):
        return None
    which = f"attempt {unsaid.round}'s load" if unsaid else "Load said"
    units = lane.plan.units
    title = f"{which[:1].upper()}{which[1:]}, in {units}"
    return Typing(opener="reading", title=title, what="load", unit=units)


def bar_to_check(lane: Lane, at: int | None) -> Submit | None:
    """That the bar was checked, where a load was said and nobody has looked yet."""
    if lane.closed or looking.is_over(lane):
        return None
    bar = looking.bar_of(lane, shown_set(lane, at))
    if bar is None or bar.confirmed:
        return None
    return Submit(act=Bar(load="", confirmed=True))


def with_team(lane: Lane, menu: Menu) -> Menu:
    """The menu, with who of a team works in place of another athlete."""
    members = lane.plan.team.members
    if not members:
        return menu
    kept = tuple(c for c in menu.choices if c.says.startswith("other athlete"))
    choices = tuple(
        Choice(
            says=who(one.name, one.show, one.bib),
            leads=Submit(act=Works(bib=one.bib)),
        )
        for one in members[: MOST - len(kept)]
    )
    works = Menu(opener="more", title="WHO WORKS NOW", choices=(*choices, *kept))
    team = Choice(says="who of the team works", leads=works)
    return replace(menu, choices=tuple(team if c in kept else c for c in menu.choices))
