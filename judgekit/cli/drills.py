"""`judgekit drills`: a skill block for the next class, and what the last one moved."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import UNUSABLE, WRONG, printing, say, say_all, write_file

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.cli.faults import Counted
    from judgekit.cli.output import Output
    from judgekit.cli.pastfaults import Only, PastFaults
    from judgekit.files.eventfolder import EventFolder
    from judgekit.reports.drills import Report
    from judgekit.review.skillplan import Kept, SkillPlan

_FORMATS = ("table", "json", "markdown", "html")


@click.command("drills")
@click.argument("event")
@click.option("--keep", is_flag=True, help="Keep the plan in EVENT/out, for next time.")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@printing(_FORMATS)
@click.pass_context
def command(
    ctx: click.Context, event: str, history: Path | None, keep: bool, output: Output
) -> None:
    """Print a skill block of five to eight minutes for the next class.

    For the faults most worth acting on, three at most: the card's drill and cue, who
    needs it, minutes, and reps that are watched for the fault again. --keep writes it,
    without names, to out/drills.toml; drills of a later event beside it then says
    whether the faults moved. JSON: format (1), date, minutes, drills and before.

    Exit code 1: a log or a kept plan is damaged, a folder of the past is left out, or
    a lane is disputed between two desks.
    """
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.faults import counted_of
    from judgekit.cli.pastfaults import Only

    looked = look_at(event)
    folder = looked.folder
    if folder is None:
        ctx.exit(UNUSABLE)
    report, _, said = drilled(folder, counted_of(looked, Only()), history, Only())
    output.write(laid_out(report, output))
    if keep:
        _keep(folder.folder, report.plan, force=output.force)
    say_all(said)
    ctx.exit(WRONG if said else looked.code)


def drilled(
    folder: EventFolder,
    counted: Counted,
    history: Path | None,
    only: Only,
) -> tuple[Report, PastFaults, tuple[str, ...]]:
    """The block after some lanes, what the past tells of them, and what is wrong."""
    from judgekit.cli.pastfaults import Own, past_faults
    from judgekit.reports.drills import Report
    from judgekit.review.skillplan import moved, skill_plan

    rows = [rows for _, rows in counted]
    day = max((lane.facts.plan.date for lane in rows), default=folder.event.date)
    plan = skill_plan(rows, day)
    past = past_faults(Own(folder.folder, counted, day), history, only)
    before, wrong = newest_kept(past.folders, day)
    report = Report(
        event=folder.event.name,
        plan=plan,
        before=before,
        moved=moved(before, past.lanes, day) if before is not None else (),
    )
    return report, past, (*past.said, *wrong)


def newest_kept(
    folders: Iterable[Path], day: str
) -> tuple[Kept | None, tuple[str, ...]]:
    """The newest plan kept before a day, and what is wrong with plans that are kept."""
    from judgekit.core.errors import InputError
    from judgekit.files.drillsfile import read_drills

    found: list[Kept] = []
    wrong: list[str] = []
    for folder in folders:
        try:
            one = read_drills(folder, folder.name)
        except InputError as error:
            wrong += map(str, error.problems)
        else:
            found += [one] if one is not None and one.date < day else []
    return max(found, key=lambda one: one.date, default=None), tuple(wrong)


def _keep(folder: Path, plan: SkillPlan, *, force: bool) -> None:
    from judgekit.files.drillsfile import PLACE, drills_text
    from judgekit.review.skillplan import kept

    if not plan.drills:
        say("There is nothing to keep.")
        return
    path = folder / PLACE
    path.parent.mkdir(exist_ok=True)
    write_file(path, drills_text(kept(plan)), force=force)
    say(f"kept in {path}")


def laid_out(report: Report, output: Output) -> str:
    """The block in the format that was asked for."""
    from judgekit.cli.laying import pages
    from judgekit.reports import drills

    if output.format == "json":
        return drills.as_json(report)
    return pages([drills.drills_page(report)], output)
