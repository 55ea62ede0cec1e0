"""`judgekit board`: what the hall sees."""

from __future__ import annotations

import click

from judgekit.cli.eventfiles import load


@click.command("board")
@click.argument("event")
@click.option("--heat", help="That heat, whatever goes on.")
@click.pass_context
def command(ctx: click.Context, event: str, heat: str | None) -> None:
    """Show a heat to the hall: lanes, counts, order so far, who comes next.

    It is the heat that goes on, else the one just done, else the next. Nothing is
    written, and the desks are not disturbed; what is written at any desk of this
    computer is on the board within a second. q leaves.

    Exit codes: 0 it was left; 1 the screen ended by itself; 2 there is no terminal, or
    the event cannot be read; 128 + n ended by signal n.
    """
    from judgekit.cli.asked import check_known
    from judgekit.desk import SystemClock
    from judgekit.desk.lookout import Lookout
    from judgekit.desk.onlooker import Onlooker
    from judgekit.ui.screens.board import BoardScreen
    from judgekit.ui.start import run_watch

    folder = load(event)
    check_known("heat", heat, folder.heat_names())
    lookout = Lookout(Onlooker(folder))
    zone = folder.event.zone
    ctx.exit(
        run_watch(lambda: BoardScreen(lookout, SystemClock(), zone, heat), lookout)
    )
