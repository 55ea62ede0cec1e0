"""`judgekit standings`: the order in each workout and division."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from judgekit.cli.output import WITH_PDF, printing, say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.cli.eventlog import Looked
    from judgekit.cli.output import Output
    from judgekit.reports.overall import Contest
    from judgekit.reports.standings import Standings
    from judgekit.ui.views.wall import Sheet


@click.command("standings")
@click.argument("event")
@click.option("--workout", help="One workout, by its id.")
@click.option("--division", help="One division, by its id.")
@click.option("--explain", metavar="BIB", help="Why that athlete is where they are.")
@click.option("--screen", is_flag=True, help="On the screen, kept up to date.")
@click.option("--overall", is_flag=True, help="The whole event, all workouts added up.")
@printing(WITH_PDF)
@click.pass_context
def command(
    ctx: click.Context,
    /,
    event: str,
    *,
    explain: str | None,
    screen: bool,
    overall: bool,
    output: Output,
    **only: str | None,
) -> None:
    """Print the standings of each workout and division, or of the whole event.

    Equal scores share a rank and the next is left out (1, 2, 2, 4). CSV and JSON rows
    have rank, tied, bib, name, division, status, score (as shown, alone), score_ms,
    score_reps, score_kg or score_count, score_unit, scaled ("with ..."), tiebreak,
    tiebreak_ms, workout, heat and lane. JSON: format (1) and standings, each with
    workout, division, rows and notes.

    With --overall: rows of division, rank, tied, bib, name, status, scaled, total,
    workout, place and points; JSON: format (1) and overall, each with division,
    division_name, method, counted, open, provisional and rows.

    --explain follows one athlete's places down to the entries that decide them, and
    says who would move if an open question or a ruling went the other way; JSON:
    format (1) and explained. It has no CSV. Exit code 1: the log is damaged, or a lane
    is disputed between two desks.
    """
    from judgekit.cli.asked import check_known
    from judgekit.cli.eventlog import look_at

    output.check_pdf()
    looked = look_at(event)
    found = standings_of(looked)
    if overall and only["workout"]:
        raise click.UsageError("--overall is of all workouts; leave out --workout")
    check_known("workout", only["workout"], [one.workout for one in found])
    check_known("division", only["division"], [one.division for one in found])
    found = _chosen(found, only)
    if screen:
        ctx.exit(_show(event, found, only))
    if explain is not None:
        _explain(found, explain, looked, output)
    elif not found and output.format not in ("csv", "json"):
        say("There is nothing to rank yet.")
    elif output.format in ("html", "pdf"):
        _write_page(found, looked, output, overall=overall)
    elif overall:
        output.write(overall_laid_out(found, looked, output))
    else:
        output.write(laid_out(found, output))
    ctx.exit(looked.code)


def _chosen(found: list[Standings], only: Mapping[str, str | None]) -> list[Standings]:
    """Those of one workout or division, where only that was asked for."""
    return [
        one
        for one in found
        if only["workout"] in (None, one.workout)
        and only["division"] in (None, one.division)
    ]


def _show(event: str, found: list[Standings], only: Mapping[str, str | None]) -> int:
    """Standings on the screen, read again every few seconds; the exit code."""
    from judgekit.cli.eventlog import look_quietly
    from judgekit.ui.start import run_wall
    from judgekit.ui.views.standings import standing_sheets

    def again() -> tuple[Sheet, ...] | None:
        looked = look_quietly(event)
        if looked is None:
            return None
        return standing_sheets(_chosen(standings_of(looked), only))

    return run_wall(standing_sheets(found), again)


def _explain(found: list[Standings], bib: str, looked: Looked, output: Output) -> None:
    """Why a bib is where it is, in the format that was asked for."""
    from judgekit.cli.laying import write_pages
    from judgekit.reports import explain

    if output.format == "csv":
        raise click.UsageError("--explain has no csv; use json")
    event = looked.folder.event if looked.folder is not None else None
    substituted = event.overall.substituted if event else "together"
    told = explain.explain(found, bib, looked.judges, substituted, looked.wall)
    if not told:
        raise click.UsageError(f"nobody with bib {bib} has a score here")
    if output.format == "json":
        output.write(explain.as_json(told))
    else:
        write_pages([explain.explain_page(one) for one in told], output)


def standings_of(looked: Looked) -> list[Standings]:
    """The standings of every lane that was read."""
    from judgekit.cli.eventlog import result_of
    from judgekit.reports.standings import standings

    results = [result_of(read, looked.wall) for read in looked.read.lanes]
    event = looked.folder.event if looked.folder is not None else None
    return list(standings(results, event.overall.substituted if event else "together"))


def contests_of(found: list[Standings], looked: Looked) -> list[Contest]:
    """The event of each division, all workouts added up."""
    from judgekit.core.points import Overall
    from judgekit.reports.overall import contests

    folder = looked.folder
    held = folder.workouts_held() if folder is not None else ()
    settings = folder.event.overall if folder is not None else Overall()
    return list(contests(found, settings, held))


def _write_page(
    found: list[Standings], looked: Looked, output: Output, *, overall: bool
) -> None:
    """One page of all tables, as many sheets as it takes."""
    from judgekit.cli.laying import write_pages
    from judgekit.reports import overallwords, standings
    from judgekit.reports.page import table_page

    event = looked.folder.event.name if looked.folder is not None else ""
    title = ": ".join(filter(None, (event, "standings")))
    told = (
        overallwords.tables(contests_of(found, looked))
        if overall
        else standings.tables(found)
    )
    write_pages([table_page(title, told)], output)


def overall_laid_out(found: list[Standings], looked: Looked, output: Output) -> str:
    """The whole event's order in the format that was asked for."""
    from judgekit.cli.laying import for_people
    from judgekit.reports import overall, overallwords

    contests = contests_of(found, looked)
    if output.format == "csv":
        return overall.as_csv(contests)
    if output.format == "json":
        return overall.as_json(contests)
    return for_people(overallwords.tables(contests), output)


def laid_out(found: list[Standings], output: Output) -> str:
    """Standings in the format that was asked for."""
    from judgekit.cli.laying import for_people
    from judgekit.reports import standings

    if output.format == "csv":
        return standings.as_csv(found)
    if output.format == "json":
        return standings.as_json(found)
    return for_people(standings.tables(found), output)
