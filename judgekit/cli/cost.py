"""`judgekit cost`: what no-reps cost each athlete, in time and in places."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import printing, say

if TYPE_CHECKING:
    from judgekit.cli.eventlog import Looked
    from judgekit.cli.output import Output
    from judgekit.review.cost import CleanFault, Costs
    from judgekit.store.reading import LaneRead


@click.command("cost")
@click.argument("event")
@click.option("--workout", help="One workout, by its id.")
@click.option("--division", help="One division, by its id.")
@click.option("--without", help="All places without one fault, by its id or call.")
@printing()
@click.pass_context
def command(
    ctx: click.Context,
    event: str,
    workout: str | None,
    division: str | None,
    without: str | None,
    output: Output,
) -> None:
    """Print what no-reps cost: seconds and places, always as an estimate.

    Only of workouts and divisions whose results are all official. CSV has a row for
    each athlete, with workout, division, place, bib, name, score, no_reps, timed (how
    many of them have a time), lost_low_ms, lost_middle_ms, lost_high_ms, the score and
    the place without no-reps at each end (score_low, score_middle, score_high,
    place_low, place_middle, place_high: by the least, the middle and the most time
    lost) and untold, why those are not known. JSON: format (1), how (the estimate in
    words) and costs, each with open, athletes and faults, those with the standings if
    nobody had had that fault. --without gives those for one fault: CSV then has a row
    for each athlete and movement, with workout, division, movement, fault, bib, name,
    place, score, place_without and score_without. Exit code 1: the log is damaged, or
    a lane is disputed between two desks.
    """
    from judgekit.cli.asked import check_known
    from judgekit.cli.eventlog import look_at

    looked = look_at(event)
    found = costs_of(looked)
    check_known("workout", workout, [one.workout for one in found])
    check_known("division", division, [one.division for one in found])
    chosen = [
        one
        for one in found
        if workout in (None, one.workout) and division in (None, one.division)
    ]
    if without is not None:
        chosen = _without(chosen, without)
    for one in chosen if output.format == "csv" else ():
        _say_open(one)
    if not chosen and output.format == "table":
        say("There is nothing to rank yet.")
    else:
        output.write(laid_out(chosen, output, clean=without is not None))
    ctx.exit(looked.code)


def _say_open(one: Costs) -> None:
    """Rows alone cannot say why there are none of somebody."""
    from judgekit.reports.cost import open_words

    if one.open:
        say(f"{one.workout_name}, {one.division_name}: {open_words(one)}")


def _without(found: list[Costs], asked: str) -> list[Costs]:
    """The same with the faults alone that are named so, by their ids or their calls."""
    from judgekit.cli.asked import check_known
    from judgekit.reports.cost import call_words
    from judgekit.reports.names import NO_REASON

    def is_asked(fault: CleanFault) -> bool:
        return asked.lower() in (fault.kind.fault, call_words(fault).lower())

    faults = [fault for one in found for fault in one.faults]
    waits = not found or any(one.open for one in found)
    # Where nothing is told yet, nobody knows which faults there are.
    if not any(is_asked(fault) for fault in faults) and (faults or not waits):
        for one in found:
            _say_open(one)
        known = sorted({fault.kind.fault or NO_REASON for fault in faults})
        check_known("fault", asked, known)
    return [
        replace(one, faults=tuple(fault for fault in one.faults if is_asked(fault)))
        for one in found
    ]


def costs_of(looked: Looked) -> list[Costs]:
    """The costs of every workout and division that was read."""
    from judgekit.cli.eventlog import result_of
    from judgekit.reports.standings import places_with
    from judgekit.review.cost import Entrant, costs

    event = looked.folder.event if looked.folder is not None else None
    substituted = event.overall.substituted if event else "together"
    groups: dict[tuple[str, str], list[LaneRead]] = {}
    for read in looked.read.lanes:
        plan = read.lane.plan
        groups.setdefault((plan.workout, plan.division), []).append(read)
    found = []
    for key in sorted(groups):
        results = [result_of(read, looked.wall) for read in groups[key]]
        places = partial(places_with, results, substituted=substituted)
        entrants = [Entrant(r.lane, r.score, r.unscored) for r in results]
        found.append(costs(entrants, places))
    return found


def laid_out(found: list[Costs], output: Output, *, clean: bool = False) -> str:
    """Costs in the format that was asked for; `clean`: the places without a fault."""
    from judgekit.cli.laying import for_people
    from judgekit.reports import cost, costwithout

    if output.format == "csv":
        return costwithout.clean_csv(found) if clean else cost.as_csv(found)
    if output.format == "json":
        return cost.as_json(found)
    tables = costwithout.clean_tables(found) if clean else cost.tables(found)
    return for_people(tables, output)
