"""`judgekit paper`: a sheet for each lane of a heat, for the day the laptop dies."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import Output, say_all

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.core.people import HeatLane
    from judgekit.files.eventfolder import EventFolder
    from judgekit.reports.paperview import LaneOnPaper


@click.command("paper")
@click.argument("event")
@click.option("--heat", required=True, help="The heat, as heats.csv names it.")
@click.option("--lane", type=int, help="One lane; without it, all of the heat.")
@click.option(
    "--font-folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="More fonts, for letters that this computer has none for.",
)
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write to this file instead of stdout.",
)
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.pass_context
def command(  # noqa: PLR0913 - click gives each option as an argument
    ctx: click.Context,
    event: str,
    heat: str,
    lane: int | None,
    font_folder: Path | None,
    out: Path | None,
    *,
    force: bool,
) -> None:
    """Print a sheet of size A5 for each lane of a heat, to be kept with a pencil.

    Boxes for each set, room for no-reps under their calls, for times and signatures; a
    lane with much work has several pages, and one with two judges a sheet for each.
    What was written is typed as totals and put into the log by `judgekit transcribe`.
    """
    if out is None and sys.stdout.isatty():
        raise click.UsageError("a PDF is no text: say with --out which file it becomes")
    from judgekit.cli.eventlog import look_at, the_row
    from judgekit.cli.output import UNUSABLE
    from judgekit.reports.paperview import each_judges, paper_pdf
    from judgekit.reports.typefaces import Typefaces, lacking_words

    looked = look_at(event, heat)
    folder = looked.folder
    if folder is None:
        ctx.exit(UNUSABLE)
    from judgekit.cli.asked import check_heat

    check_heat(heat, folder.heat_names())
    rows = folder.lanes(heat) if lane is None else (the_row(folder, heat, lane),)
    day = looked.read.day.get(heat, ())
    lanes = [one for row in rows for one in each_judges(_on_paper(folder, row, day))]
    faces = Typefaces(font_folder)
    made = paper_pdf(lanes, faces)
    Output(format="pdf", path=out, force=force).write(made)
    say_all(lacking_words(faces.lacking))


def _on_paper(
    folder: EventFolder, row: HeatLane, day: tuple[Entry, ...]
) -> LaneOnPaper:
    from judgekit.reports.inforce import choices_of
    from judgekit.reports.paperview import LaneOnPaper

    plan = folder.plan_of(row, day)
    judges = {judge.id: judge.name for judge in folder.event.judges}
    hours, minutes = divmod(row.start_ms // 60_000, 60)
    return LaneOnPaper(
        plan=plan,
        start=f"{hours:02d}:{minutes:02d}",
        judge=judges.get(row.judge, row.judge),
        emergency=folder.event.emergency,
        chosen=choices_of(plan, folder.cards),
    )
