"""`judgekit faults`: which faults, how often out of how many attempts, how sure."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from judgekit.cli.output import printing

if TYPE_CHECKING:
    from judgekit.cli.eventlog import Looked
    from judgekit.cli.output import Output
    from judgekit.review.faults import Faults


@click.command("faults")
@click.argument("event")
@printing()
@click.pass_context
def command(ctx: click.Context, event: str, output: Output) -> None:
    """Print fault rates over all lanes that were judged.

    Only attempts that were watched have a rate: by a judge, or by a coach in a look
    (watched: sampled). What a monitor counted or the athlete reported has none.
    CSV has a row for each fault, with movement, watched (judged, sampled, reported),
    fault, call, attempts, no_reps, rate, low, high (between 0 and 1, empty without
    attempts), athletes and of_athletes. JSON: format (1), faults (those rows),
    movements, lanes, total, sampled (the total of looks) and noticed (faults seen
    outside of looks). Exit code 1: the log is damaged, or a lane is disputed between
    two desks.
    """
    from judgekit.cli.eventlog import look_at

    looked = look_at(event)
    output.write(laid_out(faults_of(looked), output))
    ctx.exit(looked.code)


def faults_of(looked: Looked) -> Faults:
    """The fault rates of every run that counts."""
    from judgekit.review.faults import fault_rates

    return fault_rates(read.lane for read in looked.read.lanes if read.run is not None)


def laid_out(found: Faults, output: Output) -> str:
    """Fault rates in the format that was asked for."""
    from judgekit.cli.laying import for_people
    from judgekit.reports import faults

    if output.format == "csv":
        return faults.as_csv(found)
    if output.format == "json":
        return faults.as_json(found)
    return for_people(faults.tables(found), output)
