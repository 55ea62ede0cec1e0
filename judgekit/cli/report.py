"""`judgekit report`: a session for its coach, with charts, tables and what to do."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import UNUSABLE, WRONG, printing, say_all

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.cli.eventlog import Looked
    from judgekit.cli.output import Output
    from judgekit.cli.pastfaults import Only
    from judgekit.files.eventfolder import EventFolder
    from judgekit.reports.layout import Table
    from judgekit.reports.report import Session
    from judgekit.review.cost import Costs
    from judgekit.store.reading import LaneRead

_FORMATS = ("table", "html", "pdf", "markdown")
# The same draws each time: two reports of one event never differ.
_SEED = 1
# What cost less than these is told by `judgekit cost`.
_FAULTS_SHOWN = 5


@click.command("report")
@click.argument("event")
@click.option("--heat", help="One heat; without it, the whole event.")
@click.option("--workout", help="One workout, by its id.")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@printing(_FORMATS)
@click.pass_context
def command(
    ctx: click.Context,
    event: str,
    heat: str | None,
    workout: str | None,
    history: Path | None,
    output: Output,
) -> None:
    """Print the coach's report: faults, when in the work, sets, drills, stops.

    It is for the coach and names athletes; it is no sheet for a wall. Exit code 1: a
    log is damaged, a folder of the past is left out, or a lane is disputed between two
    desks.
    """
    from judgekit.cli.asked import check_known
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.laying import write_pages
    from judgekit.cli.pastfaults import Only
    from judgekit.reports.report import report_page

    output.check_pdf()
    looked = look_at(event)
    if looked.folder is None:
        ctx.exit(UNUSABLE)
    plans = [read.lane.plan for read in looked.read.lanes]
    check_known("heat", heat, [plan.heat for plan in plans])
    check_known("workout", workout, [plan.workout for plan in plans])
    counted = [
        read
        for read in looked.read.lanes
        if read.run is not None
        and heat in (None, read.heat)
        and workout in (None, read.lane.plan.workout)
    ]
    if not counted:
        raise click.UsageError(f"nobody has started in {event} yet")
    name = counted[0].lane.plan.workout_name if workout else ""
    what = ", ".join(filter(None, (heat and f"heat {heat}", name)))
    session, said = _session(looked.folder, counted, history, Only(workout))
    session = replace(session, what=what, cost=_cost(looked, counted))
    say_all(said)
    write_pages([report_page(session)], output)
    ctx.exit(WRONG if said else looked.code)


def _cost(looked: Looked, counted: Sequence[LaneRead]) -> tuple[tuple[Table, ...], ...]:
    """What no-reps cost those whom the report is about.

    What the standings would be without a fault is of everybody, and told of no heat.
    """
    from judgekit.cli.cost import costs_of
    from judgekit.reports.cost import tables_of_each

    about = {(read.heat, read.number) for read in counted}
    found = []
    for one in costs_of(looked):
        here = [(x.lane.plan.heat, x.lane.plan.lane) in about for x in one.athletes]
        mine = tuple(x for x, is_in in zip(one.athletes, here, strict=True) if is_in)
        faults = one.faults if all(here) else ()
        if any(_is_of(read, one) for read in counted):
            found.append(replace(one, athletes=mine, faults=faults))
    return tables_of_each(found, _FAULTS_SHOWN)


def _is_of(read: LaneRead, one: Costs) -> bool:
    plan = read.lane.plan
    return (plan.workout, plan.division) == (one.workout, one.division)


def _session(
    folder: EventFolder, counted: Sequence[LaneRead], history: Path | None, only: Only
) -> tuple[Session, Sequence[str]]:
    """All that a report is made of, and what could not be read."""
    import random

    from judgekit.cli.drills import drilled
    from judgekit.cli.followups import day_of, past_heats
    from judgekit.reports.frequencies import Named
    from judgekit.reports.report import Session
    from judgekit.review.attempts import lane_rows
    from judgekit.review.followups import followups
    from judgekit.review.frequencies import frequencies
    from judgekit.review.pieces import lane_pieces
    from judgekit.review.sessions import sessions
    from judgekit.review.skillplan import planned_of
    from judgekit.review.tiring import tirings

    rows = [lane_rows(read.lane) for read in counted]
    told = list(zip(counted, rows, strict=True))
    drills, past, said = drilled(folder, told, history, only)
    today = day_of(None, folder.event.zone)
    heats = past_heats(folder, history, today)
    session = Session(
        event=folder.event.name,
        date=drills.plan.date,
        what="",
        kinds=Named(found=frequencies(rows, ("movement", "fault")), judges={}),
        movements=Named(found=frequencies(rows, ("movement",)), judges={}),
        athletes=Named(found=frequencies(rows, ("athlete",)), judges={}),
        theirs=Named(
            found=frequencies(rows, ("athlete", "movement", "fault")), judges={}
        ),
        when=tirings(rows, lambda: random.Random(_SEED)),  # noqa: S311 - draws, not secrets
        sessions=sessions(past.lanes, drills.plan.date, planned_of(drills.before)),
        drills=drills,
        lanes=tuple(read.lane for read in counted),
        pieces=tuple(
            lane_pieces(read.lane, rows=of)
            for read, of in zip(counted, rows, strict=True)
        ),
        due=followups(heats.heats, today),
        cost=(),
    )
    return session, tuple(dict.fromkeys((*said, *heats.said)))
