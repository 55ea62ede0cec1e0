"""What a head coach says and hangs on the wall before a workout, as facts.

Names are as athletes chose to have them shown; nothing private is read.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.floorplan import FloorMark, marks_of
from judgekit.core.people import Emergency
from judgekit.core.setup import is_absent
from judgekit.core.values import dataclass
from judgekit.reports.brieffloor import (
    Ground,
    HeatFloor,
    floors_of,
    grounds_of,
    setup_of,
)
from judgekit.reports.briefheights import Mark, own_marks
from judgekit.reports.briefloads import Bar, bars_of
from judgekit.reports.briefmoves import Standard, instead_of, standards_of
from judgekit.reports.briefwork import Total, facts_of, totals_of, work_of
from judgekit.reports.estimates import by_the_logs
from judgekit.reports.inforce import cautions_of, choices_of, rules_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.core.card import Card
    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan
    from judgekit.core.workout import Workout
    from judgekit.files.eventfolder import EventFolder
    from judgekit.review.exposure import Kind
    from judgekit.review.paces import GymPace


@dataclass(frozen=True, slots=True, kw_only=True)
class Briefing:
    """One workout's briefing. `work` is the workout in words, a line for each.

    `heat` is empty where it is for all of its heats. `heights` are the divisions',
    `marks` single athletes'; `instead` says who does what else today.
    """

    event: str
    date: str
    place: str
    workout: str
    heat: str
    aim: str
    facts: tuple[tuple[str, str], ...]
    work: tuple[str, ...]
    bars: tuple[Bar, ...]
    heights: tuple[FloorMark, ...]
    marks: tuple[Mark, ...]
    instead: tuple[tuple[str, str], ...]
    standards: tuple[Standard, ...]
    totals: tuple[Total, ...]
    grounds: tuple[Ground, ...]
    floors: tuple[HeatFloor, ...]
    settings: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    emergency: Emergency


def briefing(
    folder: EventFolder,
    workout: Workout,
    day: Mapping[str, Sequence[Entry]],
    heat: str = "",
    *,
    paces: Mapping[Kind, GymPace] | None = None,
) -> Briefing:
    """The briefing of one workout, or of one heat of it.

    `day` holds each heat's own day entries, `paces` the gym's own. Raises InputError
    where a lane's plan cannot be made.
    """
    plans = _plans(folder, workout, day, heat)
    written = _plans(folder, workout, {}, heat)
    event, cards = folder.event, folder.cards
    here = {plan.division for plan in plans}
    divisions = [d for d in event.divisions if d.id in here]
    # Whose division nobody was listed in stands in today.
    known = (*written, *plans)
    first = [next(p for p in known if p.division == d.id) for d in divisions]
    marks = marks_of([setup_of(event, plan) for plan in first], cards)
    choices = [choice for plan in first for choice in choices_of(plan, cards)]
    return Briefing(
        event=event.name,
        date=event.date,
        place=event.place,
        workout=workout.name,
        heat=heat,
        aim=workout.aim,
        facts=(*facts_of(first), *_times_of(first, cards, paces or {})),
        work=work_of(first),
        bars=tuple(bars_of(event, plans, first, cards)),
        heights=tuple(mark for mark in marks if mark.kind == "height"),
        marks=tuple(own_marks(plans, first)),
        instead=tuple(instead_of(plans, first)),
        standards=tuple(standards_of(folder, workout, first)),
        totals=tuple(totals_of(first)),
        grounds=tuple(grounds_of(first, cards, marks)),
        floors=tuple(floors_of(event, plans, cards)),
        settings=(
            *(rules_of(first[0]) if first else ()),
            *dict.fromkeys(choices),
        ),
        cautions=tuple(dict.fromkeys(c for plan in first for c in cautions_of(plan))),
        emergency=event.emergency,
    )


def _times_of(
    plans: Sequence[Plan], cards: Mapping[str, Card], paces: Mapping[Kind, GymPace]
) -> Iterator[tuple[str, str]]:
    """How long it takes here, for each division where they differ."""
    known = {plan.division_name: by_the_logs(plan, cards, paces) for plan in plans}
    told = [f"{division} {says}" for division, says in known.items() if says]
    if len(known) > 1 and len(set(known.values())) == 1:
        told = [says for says in known.values() if says][:1]
    if told:
        yield "time here", "; ".join(told)


def _plans(
    folder: EventFolder,
    workout: Workout,
    day: Mapping[str, Sequence[Entry]],
    heat: str,
) -> list[Plan]:
    """The plan of every lane of the workout, or of one heat, whose athlete is here."""
    plans = []
    for row in folder.heats:
        said = day.get(row.heat, ())
        if row.workout != workout.id or (heat and row.heat != heat):
            continue
        if not is_absent(row, said):
            plans.append(folder.plan_of(row, said))
    return plans


def box(emergency: Emergency) -> tuple[tuple[str, str], ...]:
    """The emergency box, only what is known."""
    rows = (
        ("call", emergency.call),
        ("say", emergency.say),
        ("defibrillator", emergency.defibrillator),
        ("first aid", emergency.first_aid),
    )
    return tuple((what, says) for what, says in rows if says)
