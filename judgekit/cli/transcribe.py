"""`judgekit transcribe`: a lane written down as text, into the log."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import say

if TYPE_CHECKING:
    from judgekit.core.people import HeatLane
    from judgekit.files.eventfolder import EventFolder


@click.command("transcribe")
@click.argument("event")
@click.argument("tally", type=click.Path(path_type=Path))
@click.option("--heat", required=True, help="The heat, as heats.csv names it.")
@click.option("--lane", type=int, required=True, help="The lane.")
@click.option("--again", default="", help="Why there is one more run of this lane.")
def command(event: str, tally: Path, heat: str, lane: int, again: str) -> None:
    """Put a tally into the log, whole or not at all.

    A refused line is named with its reason, and nothing is written. A lane that has
    entries already needs --again REASON. A tally that holds official words only
    (rule, dispute, accept, note) is about the lane as it was judged, and needs none.
    """
    from judgekit.cli.eventfiles import load
    from judgekit.cli.eventlog import the_row

    folder = load(event)
    row = the_row(folder, heat, lane)
    path = transcribe_file(folder, row, tally, again=again)
    say(f"heat {heat}, lane {lane} is in the log: {path.name}")


def transcribe_file(
    folder: EventFolder, row: HeatLane, tally: Path, *, again: str = ""
) -> Path:
    """A tally's file into a book; InputError names every bad line of it."""
    from judgekit.desk import SystemClock
    from judgekit.desk.ruling import is_official, rule_on
    from judgekit.desk.transcribing import plan_today, transcribe
    from judgekit.files.tally import decoded, parse_paper, read

    shown = str(tally)
    data = read(tally, shown)
    lines = parse_paper(decoded(data, shown), shown, plan_today(folder, row))
    if is_official(lines):
        return rule_on(folder, row, lines, shown=shown, clock=SystemClock())
    return transcribe(folder, row, lines, data, shown=shown, again=again)
