"""`judgekit export`: tidy tables for spreadsheets and other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from judgekit.cli.output import Output, printing

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.cli.eventlog import Looked
    from judgekit.reports.layout import Table

WHAT = ("attempts", "sets", "faults", "scores")


@click.command("export")
@click.argument("event")
@click.argument("what", type=click.Choice(WHAT), required=False)
@click.option("--all", "every", is_flag=True, help="All four, into EVENT/out.")
@printing(("csv", "json"))
@click.pass_context
def command(
    ctx: click.Context, event: str, what: str | None, every: bool, output: Output
) -> None:
    """Print attempts, sets, faults or scores, one row for each.

    attempts: each press of every lane that counts, with when, which rep and try, good
    or no-rep, and its faults. sets: each set touched, with its times. faults: each
    reason of each no-rep, and each cue. scores: each lane with its place. The README
    says what each column means; JSON has format (1), title, columns, rows and notes.
    Names are as athletes want them shown, and nothing private is in it. Exit code 1:
    the log is damaged, or a lane is disputed between two desks.
    """
    from judgekit.cli.eventlog import look_at

    if every == (what is not None):
        raise click.UsageError(f"name one of {', '.join(WHAT)}, or give --all")
    if every and output.path is not None:
        raise click.UsageError("--all writes into EVENT/out; leave out --out")
    looked = look_at(event)
    if what is not None:
        _write(looked, what, output)
        ctx.exit(looked.code)
    folder = _out(event)
    outputs = {
        one: Output(
            format=output.format,
            path=folder / f"{one}.{output.format}",
            force=output.force,
        )
        for one in WHAT
    }
    for one, to in outputs.items():
        _write(looked, one, to)
    ctx.exit(looked.code)


def _write(looked: Looked, what: str, output: Output) -> None:
    from judgekit.cli.laying import one_table

    output.write(one_table(table_of(looked, what), output))


def table_of(looked: Looked, what: str) -> Table:
    """One of the tables, of every run that counts; scores are of every lane."""
    from judgekit.cli.standings import standings_of
    from judgekit.reports import exports

    reads = looked.read.lanes
    if what == "scores":
        codes = {(read.heat, read.number): read.log_code for read in reads}
        return exports.scores(standings_of(looked), codes)
    make = {
        "attempts": exports.attempts,
        "sets": exports.sets,
        "faults": exports.faults,
    }[what]
    return make(read.lane for read in reads if read.run is not None)


def _out(event: str) -> Path:
    """The event's folder for what is written of it, made if it is not there."""
    from judgekit.cli.asked import existing_log

    folder = existing_log(event).parent / "out"
    folder.mkdir(exist_ok=True)
    return folder
