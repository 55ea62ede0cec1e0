"""`judgekit brief`: what the coach says and hangs on the wall before a workout."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import UNUSABLE, printing, say_all

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from judgekit.cli.output import Output
    from judgekit.files.eventfolder import EventFolder
    from judgekit.reports.briefing import Briefing
    from judgekit.review.exposure import Kind
    from judgekit.review.paces import GymPace
    from judgekit.store.reading import EventRead


@click.command("brief")
@click.argument("event")
@click.option("--workout", help="One workout; without it, all that have a heat.")
@click.option("--heat", help="One heat, with its equipment as a list to tick.")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@click.option(
    "--speak",
    "how",
    flag_value="speak",
    help="In the order a coach says it, with times.",
)
@click.option(
    "--screen",
    "how",
    flag_value="screen",
    help="On the screen in large letters, page by page.",
)
@printing(("table", "json", "markdown", "html", "pdf"))
@click.pass_context
def command(  # noqa: PLR0913, PLR0917 - click gives each option as an argument
    ctx: click.Context,
    event: str,
    workout: str | None,
    heat: str | None,
    history: Path | None,
    how: str | None,
    output: Output,
) -> None:
    """Print the briefing of a workout, with who is here and what they do today.

    Where the logs of the last 56 days tell how long athletes here take, it says so.

    Who goes and was stopped in the last 14 days is told here, on stderr, and stands in
    no briefing; with --screen it is not told, as others read along.

    JSON: format (1) and briefings, a list of objects with event, date, place, workout,
    heat, aim, facts, work, bars, heights, marks, instead, standards, totals, grounds,
    floors, settings, cautions and emergency.
    """
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.pastpaces import past_paces
    from judgekit.reports import brieftext

    output.check_pdf()
    looked = look_at(event)
    if looked.folder is None:
        ctx.exit(UNUSABLE)
    past = past_paces(looked.folder, history)
    say_all(past.said)
    briefs = briefs_of(looked.folder, looked.read, (workout, heat), past.paces)
    if not briefs:
        raise click.UsageError(f"{event} has no heat yet: there is nobody to brief")
    if how == "screen":
        if output.path is not None:
            raise click.UsageError("--screen prints nothing; leave out --out")
        ctx.exit(show(briefs))
    said = _stops(looked.folder, looked.read, (workout, heat), history)
    say_all(line for line in said if line not in past.said)
    if how == "speak":
        output.write("\n".join(brieftext.spoken(brief) for brief in briefs))
        return
    _write(briefs, output)


def _stops(
    folder: EventFolder,
    read: EventRead,
    wanted: tuple[str | None, str | None],
    history: Path | None,
) -> Iterator[str]:
    """Who of those briefed was stopped lately, and what could not be read."""
    from judgekit.cli.pastwork import past_work, planned_lanes
    from judgekit.reports.exposure import stop_lines
    from judgekit.review.exposure import exposure

    workout, heat = wanted
    planned = [
        lane
        for lane in planned_lanes(folder, read.lanes)
        if workout in (None, lane.plan.workout) and heat in (None, lane.plan.heat)
    ]
    past = past_work(folder, planned, history)
    yield from past.said
    for line in stop_lines(exposure(planned, past.lanes).stops):
        yield f"For the coach, not for the wall: {line}"


def show(briefs: list[Briefing]) -> int:
    """Briefings on the wall, one after the other; the exit code."""
    from judgekit.ui.start import run_wall
    from judgekit.ui.views.brief import sheets

    return run_wall(tuple(sheet for brief in briefs for sheet in sheets(brief)))


def briefs_of(
    folder: EventFolder,
    read: EventRead,
    wanted: tuple[str | None, str | None],
    paces: Mapping[Kind, GymPace],
) -> list[Briefing]:
    """The briefing of each workout that has a heat, or of one; for one heat or all.

    `wanted` is a workout and a heat, None where any. `paces` are the gym's own.
    """
    from judgekit.cli.asked import check_heat, check_known
    from judgekit.reports.briefing import briefing

    workout, heat = wanted
    rows = folder.heats
    if heat is not None:
        check_heat(heat, folder.heat_names())
        rows = folder.lanes(heat)
    going = dict.fromkeys(row.workout for row in rows)
    check_known("workout", workout, list(going))
    return [
        briefing(folder, folder.workouts[name], read.day, heat or "", paces=paces)
        for name in going
        if workout in (None, name)
    ]


def _write(briefs: list[Briefing], output: Output) -> None:
    """Briefings in the format that was asked for."""
    from judgekit.cli.laying import write_pages
    from judgekit.reports import brieftext

    if output.format == "json":
        output.write(brieftext.as_json(briefs))
    else:
        write_pages([brieftext.brief_page(brief) for brief in briefs], output)
