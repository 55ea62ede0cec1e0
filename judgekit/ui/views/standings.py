"""Standings as they stand on a wall: a sheet for each workout and division."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.names import NOTHING_DONE, has_score, shown_name
from judgekit.reports.standings import brief_status
from judgekit.ui.views.wall import Said, Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.core.ranking import Placed
    from judgekit.reports.standings import Result, Standings

NOTHING_YET = Sheet(
    of="standings",
    heading="Standings",
    rows=(Said(lines=("There is nothing to rank yet.",)),),
)


def standing_sheets(found: Sequence[Standings]) -> tuple[Sheet, ...]:
    """The order in each division, with who is still to come at the end."""
    sheets = tuple(
        Sheet(of=one.workout_name, heading=one.division_name, rows=tuple(_rows(one)))
        for one in found
    )
    return sheets or (NOTHING_YET,)


def _rows(one: Standings) -> Iterator[Said]:
    waiting = []
    for place in one.places:
        if place.row.score.status in NOTHING_DONE:
            waiting.append(_who(place))
        else:
            yield Said(label=_label(place), lines=(_score(place),))
    if waiting:
        yield Said(label="to come", lines=(", ".join(waiting),))


def _who(place: Placed[Result]) -> str:
    plan = place.row.lane.plan
    name = shown_name(plan.name, plan.show, plan.bib)
    return name if name == plan.bib else f"{plan.bib} {name}"


def _label(place: Placed[Result]) -> str:
    rank = "-" if place.rank is None else f"{place.rank}{'=' if place.tied else ''}"
    return f"{rank:>3}  {_who(place)}"


def _score(place: Placed[Result]) -> str:
    """The score, its tie-break, and what is not as usual."""
    score = place.row.score
    words = [score.detail] if has_score(score) else []
    if score.tiebreak and place.rank is not None:
        words.append(f"tie-break {score.tiebreak}")
    return ", ".join([*words, brief_status(place.row)])
