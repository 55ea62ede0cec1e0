"""`judgekit exposure`: before the class, what athletes are used to."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, UNUSABLE, WRONG, printing, say_all

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.cli.output import Output
    from judgekit.reports.exposure import Report
    from judgekit.review.exposure import Found, PlannedLane


@click.command("exposure")
@click.argument("event")
@click.option("--workout", help="Those who do this workout.")
@click.option("--heat", help="Those who go in this heat.")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@printing()
@click.pass_context
def command(
    ctx: click.Context,
    event: str,
    workout: str | None,
    heat: str | None,
    history: Path | None,
    output: Output,
) -> None:
    """Print what athletes are to do today beside what they did before.

    For each athlete and movement: the volume planned, and the sessions, the most in
    one of them and the no-reps out of attempts of the last 7, 28 and 56 days; stops of
    the last 14 days; and who has a volume caution ahead with little exposure, with
    the substitutes of the card. People are joined by the id in people.csv. It
    advises; the coach decides, with judgekit scale.

    CSV has a row for each athlete and movement. JSON: format (1), event, rows, stops,
    without_id, events, of_events and notes. Exit code 1: a log is damaged, or a
    folder of the past is left out, and it is said which.
    """
    from judgekit.cli.asked import check_known
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.pastwork import past_work, planned_lanes
    from judgekit.reports.exposure import Report
    from judgekit.review.exposure import exposure

    looked = look_at(event)
    folder = looked.folder
    if folder is None:
        ctx.exit(UNUSABLE)
    check_known("workout", workout, [row.workout for row in folder.heats])
    check_known("heat", heat, folder.heat_names())
    planned = planned_lanes(folder, looked.read.lanes)
    past = past_work(folder, planned, history)
    say_all(past.said)
    asked = [
        lane
        for lane in planned
        if workout in (None, lane.plan.workout) and heat in (None, lane.plan.heat)
    ]
    report = Report(
        event=folder.event.name,
        shown=event,
        found=_only(exposure(planned, past.lanes), asked),
        cards=folder.cards,
        events=past.events,
        of_events=past.of_events,
    )
    output.write(laid_out(report, output))
    ctx.exit(WRONG if past.said else looked.code or DONE)


def _only(found: Found, asked: Iterable[PlannedLane]) -> Found:
    """What is about the lanes that were asked for; the day's volume stays whole."""
    plans = [lane.plan for lane in asked]
    bibs = {plan.bib for plan in plans}
    return replace(
        found,
        rows=tuple(
            row for row in found.rows if any(plan in plans for plan in row.plans)
        ),
        stops=tuple(one for one in found.stops if one.plan.bib in bibs),
        alone=tuple(plan for plan in found.alone if plan.bib in bibs),
    )


def laid_out(report: Report, output: Output) -> str:
    """The report in the format that was asked for."""
    from judgekit.reports import exposure, page

    match output.format:
        case "csv":
            return exposure.as_csv(report)
        case "json":
            return exposure.as_json(report)
        case "markdown":
            return page.page_markdown(exposure.exposure_page(report))
        case "html":
            return page.page_html(exposure.exposure_page(report))
        case _:
            return page.page_text(exposure.exposure_page(report), output.width)
