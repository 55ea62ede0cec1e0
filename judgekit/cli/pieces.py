"""`judgekit pieces`: how each set was done, by the times of its presses."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import printing, say

if TYPE_CHECKING:
    from judgekit.cli.output import Output
    from judgekit.core.state import Lane
    from judgekit.reports.pieces import Done


@click.command("pieces")
@click.argument("event")
@click.option("--heat", help="One heat, as heats.csv names it.")
@click.option("--lane", type=int, help="One lane of the heat.")
@printing()
@click.pass_context
def command(
    ctx: click.Context,
    event: str,
    heat: str | None,
    lane: int | None,
    output: Output,
) -> None:
    """Print how each set was done: unbroken pieces, pace, pauses, ways between sets.

    Times come from the presses alone: what was reported, told as a total or read off
    a monitor has none, and says so. CSV has a row for each set, with workout, heat,
    lane, bib, name, division, part, round, place (of the movement in its round),
    movement, load, unit, target, good, no_reps, pieces, advised, as_advised, pace_ms,
    breaks, rested_ms, begins, took_ms, held_ms (of that, by a stop or a freeze),
    way_ms, lost_low_ms, lost_middle_ms, lost_high_ms and untold. JSON: format (1) and
    lanes, each with sets (those rows, with gaps_ms), paces and totals. Exit code 1: the
    log is damaged, or a lane is disputed between two desks.
    """
    from judgekit.cli.asked import check_heat, check_known
    from judgekit.cli.eventlog import look_at

    if lane is not None and heat is None:
        raise click.UsageError("--lane needs the heat, too: --heat H --lane L")
    looked = look_at(event, heat)
    if heat is not None:
        names = looked.folder.heat_names() if looked.folder is not None else ()
        check_heat(heat, [*names, *(one.heat for one in looked.read.lanes)])
    numbers = [str(one.number) for one in looked.read.lanes]
    check_known("lane", None if lane is None else str(lane), numbers)
    found = [
        _done(read.lane)
        for read in looked.read.lanes
        if lane in (None, read.number) and read.run is not None
    ]
    if not any(done.pieces.sets for done in found) and output.format == "table":
        say("No set was done yet.")
    else:
        output.write(laid_out(found, output))
    ctx.exit(looked.code)


def _done(lane: Lane) -> Done:
    from judgekit.reports.pieces import Done
    from judgekit.review.attempts import lane_rows
    from judgekit.review.lost import losses
    from judgekit.review.pieces import lane_pieces

    rows = lane_rows(lane)
    found = lane_pieces(lane, rows=rows)
    return Done(pieces=found, lost=losses(found, rows))


def laid_out(found: list[Done], output: Output) -> str:
    """Pieces in the format that was asked for."""
    from judgekit.cli.laying import for_people
    from judgekit.reports import pieces

    if output.format == "csv":
        return pieces.as_csv(found)
    if output.format == "json":
        return pieces.as_json(found)
    plain = output.path is None and not _shows_blocks()
    return for_people(pieces.tables(found, plain=plain), output)


def _shows_blocks() -> bool:
    """Whether the terminal's letters have block signs among them."""
    try:
        "▁█·".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
