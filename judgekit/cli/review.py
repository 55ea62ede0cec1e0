"""`judgekit review`: faults on the screen, with bars, along the work and in time."""

from __future__ import annotations

from pathlib import Path

import click

from judgekit.cli.output import say, say_all


@click.command("review")
@click.argument("event")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@click.option("--ascii", "ascii_only", is_flag=True, help="Draw with plain signs only.")
@click.pass_context
def command(
    ctx: click.Context, event: str, history: Path | None, ascii_only: bool
) -> None:
    """Look at the faults of an event on the screen.

    Each rate has a bar: small dots lead to the likely range (95 of 100), the range is
    a line, the rate a mark on it. tab goes on to no-reps by rep, round or minute and to
    a time line with the letter of each no-rep's fault, to how long a rep takes and to
    what changed since the session before; left and right group otherwise; m picks one
    movement, a bib and enter one athlete. Nothing is written.

    Exit codes: 0 it was left; 1 the screen ended by itself; 2 there is no terminal, or
    the event cannot be read; 128 + n ended by signal n.
    """
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.faults import counted_of, sessions_of
    from judgekit.cli.pastfaults import Only
    from judgekit.review.pieces import lane_pieces
    from judgekit.ui.ending import NothingOpen
    from judgekit.ui.screens.review import ReviewScreen
    from judgekit.ui.start import run_watch
    from judgekit.ui.views.reviewed import Also, Reviewed

    looked = look_at(event)
    if looked.code:
        say("What is damaged or disputed is left out.")
    counted = counted_of(looked, Only())
    sessions, said = sessions_of(looked, counted, history, Only())
    say_all(said)
    pieces = [lane_pieces(read.lane, rows=rows) for read, rows in counted]
    lanes = [rows for _, rows in counted]
    name = looked.folder.event.name if looked.folder is not None else event
    of = Reviewed(
        name, lanes, looked.judges, ascii_only=ascii_only, also=Also(pieces, sessions)
    )
    ctx.exit(run_watch(lambda: ReviewScreen(of), NothingOpen()))
