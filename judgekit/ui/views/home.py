"""The list of an event's heats and lanes, and how far each one is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.quantity import show_time
from judgekit.core.score import score
from judgekit.core.values import dataclass
from judgekit.reports.names import shown_name
from judgekit.ui.views.naming import beside_number
from judgekit.ui.views.phase import closed_words

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from judgekit.core.people import Athlete, HeatLane
    from judgekit.core.state import Lane


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRow:
    """One lane of one heat as listed; `state` says how far it is.

    `name` is what may stand beside the number: empty where that is all.
    """

    heat: str
    start: str
    workout: str
    lane: int
    bib: str
    name: str
    judge: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBrief:
    """A heat whose briefing is asked for, by one of its lanes."""

    row: HeatRow


@dataclass(frozen=True, slots=True, kw_only=True)
class ToAll:
    """A heat whose lanes are all wanted on one Floor, by one of them."""

    row: HeatRow


Wanted = HeatRow | ToBrief | ToAll


def heat_rows(
    heats: Sequence[HeatLane],
    athletes: Sequence[Athlete],
    workouts: Mapping[str, str],
    states: Mapping[tuple[str, int], Lane],
    for_teams: Collection[str] = (),
) -> tuple[HeatRow, ...]:
    """Every lane in the order of start, heat and lane.

    `workouts` maps ids to names, and `for_teams` are those with a team in each lane:
    its members stand beside its name. `states` has the lanes that have a log, by heat
    and lane: theirs is the athlete shown, since the day may have changed the list.
    """
    single = {a.bib: beside_number(a.name, a.show, a.bib) for a in athletes}
    teams = _teams(athletes)
    ordered = sorted(heats, key=lambda h: (h.date, h.start_ms, h.heat, h.lane))
    rows = []
    for heat in ordered:
        lane = states.get((heat.heat, heat.lane))
        bib = heat.bib if lane is None else lane.plan.bib
        names = teams if heat.workout in for_teams else single
        rows.append(
            HeatRow(
                heat=heat.heat,
                start=_time_of_day(heat.start_ms),
                workout=workouts.get(heat.workout, heat.workout),
                lane=heat.lane,
                bib=bib,
                name=names.get(bib, ""),
                judge=heat.judge,
                state=state_of(lane),
            )
        )
    return tuple(rows)


def _teams(athletes: Sequence[Athlete]) -> dict[str, str]:
    """Who is in each team, as they want to be shown."""
    found: dict[str, list[str]] = {}
    for one in athletes:
        if one.team:
            shown = shown_name(one.name, one.show, one.bib)
            found.setdefault(one.team, []).append(shown)
    return {team: ", ".join(names) for team, names in found.items()}


def state_of(lane: Lane | None) -> str:
    """How far a lane is, in a judge's words."""
    if lane is None or (not lane.started and not lane.absent):
        return "not started"
    if lane.absent:
        return "absent"
    result = score(lane)
    if lane.closed:
        closed = closed_words(lane).lower().removesuffix(" and closed")
        return f"{closed}, {result.detail}"
    if looking.is_over(lane):
        return f"to be accepted, {result.detail}"
    pressed = [one.at for one in lane.work.attempts[-1:]]
    last = max([*pressed, *(one.at for one in lane.work.reported[-1:])], default=0)
    return f"under way, {lane.work.good} good at {show_time(max(0, last))}"


def _time_of_day(ms: int) -> str:
    minutes = ms // 60_000
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
