"""`judgekit transcribe`: a lane written down as text, into the log."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from judgekit.cli.output import say

if TYPE_CHECKING:
    from judgekit.core.people import HeatLane
    from judgekit.files.eventfolder import EventFolder


class Told(NamedTuple):
    """Why there is one more run; who judged, if another; whether as the second one."""

    again: str = ""
    judge: str = ""
    second: bool = False


@click.command("transcribe")
@click.argument("event")
@click.argument("tally", type=click.Path(path_type=Path))
@click.option("--heat", required=True, help="The heat, as heats.csv names it.")
@click.option("--lane", type=int, required=True, help="The lane.")
@click.option("--again", default="", help="Why there is one more run of this lane.")
@click.option("--judge", help="Who judged, by the id in event.toml, if another.")
@click.option("--second", is_flag=True, help="What the second of two judges wrote.")
def command(  # noqa: PLR0913 - click gives each option as an argument
    event: str,
    tally: Path,
    *,
    heat: str,
    lane: int,
    again: str,
    judge: str | None,
    second: bool,
) -> None:
    """Put a tally into the log, whole or not at all.

    A refused line is named with its reason, and nothing is written. A lane that has
    entries already needs --again REASON. A tally that holds official words only
    (rule, dispute, accept, note) is about the lane as it was judged, and needs none.
    Where two judges count one lane, the tally of the other one goes in with --second
    --judge WHO.
    """
    from judgekit.cli.asked import check_known
    from judgekit.cli.eventfiles import load
    from judgekit.cli.eventlog import the_row
    from judgekit.files.cleaning import clean

    folder = load(event)
    row = the_row(folder, heat, lane)
    judges = [one.id for one in folder.event.judges]
    check_known("judge", judge if judges else None, judges)
    told = Told(again=again, judge=clean(judge or ""), second=second)
    if (second or judge is not None) and not told.judge:
        raise click.UsageError("say who the judge was, with --judge")
    path = transcribe_file(folder, row, tally, told)
    say(f"heat {heat}, lane {lane} is in the log: {path.name}")


def transcribe_file(
    folder: EventFolder, row: HeatLane, tally: Path, told: Told | None = None
) -> Path:
    """A tally's file into a book; InputError names every bad line of it."""
    from judgekit.desk import SystemClock
    from judgekit.desk.ruling import is_official, rule_on
    from judgekit.desk.transcribing import plan_today, transcribe
    from judgekit.files.tally import decoded, parse_paper, read

    again, judge, second = told or Told()
    shown = str(tally)
    data = read(tally, shown)
    lines = parse_paper(decoded(data, shown), shown, plan_today(folder, row))
    if is_official(lines):
        if second or judge:
            raise click.UsageError(
                "these words are about the lane, whoever judged it: "
                "leave out --second and --judge"
            )
        return rule_on(folder, row, lines, shown=shown, clock=SystemClock())
    row = replace(row, judge=judge or row.judge)
    return transcribe(folder, row, lines, data, shown=shown, again=again, second=second)
