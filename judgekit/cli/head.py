"""`judgekit head`: the head judge's view of a heat."""

from __future__ import annotations

from functools import partial

import click

from judgekit.cli.eventfiles import load


@click.command("head")
@click.argument("event")
@click.option("--heat", help="The heat to begin with; else the one that goes on.")
@click.option("--who", default="head judge", show_default=True, help="Who rules.")
@click.option("--pads", is_flag=True, help="Pads for a finger, on a touch screen.")
@click.pass_context
def command(
    ctx: click.Context, event: str, heat: str | None, who: str, *, pads: bool
) -> None:
    """Look on at all lanes as head judge: freeze, recall, rule.

    What is written at any desk of this computer is seen within a second; each desk
    obeys an order within a second of its being written. Orders and rulings stand in a
    log of their own.

    Exit codes: 0 it was closed; 1 the screen ended by itself; 2 there is no terminal,
    or the event cannot be read; 128 + n ended by signal n.
    """
    from judgekit.cli.asked import check_known
    from judgekit.core.errors import InputError, Problem
    from judgekit.desk import SystemClock
    from judgekit.desk.headdesk import HeadDesk
    from judgekit.desk.lookout import Lookout
    from judgekit.desk.onlooker import Onlooker
    from judgekit.files.cleaning import clean
    from judgekit.ui.screens.head import HeadScreen
    from judgekit.ui.served import is_served
    from judgekit.ui.start import run_watch

    folder = load(event)
    check_known("heat", heat, folder.heat_names())
    if not folder.heats:
        what = "no heat is listed; write one, as in: 1,10:00,quayside,1,27,kb"
        raise InputError([Problem(file="heats.csv", line=1, what=what)])
    clock = SystemClock()
    desk = HeadDesk(folder, clock, clean(who))
    lookout = Lookout(Onlooker(folder), at_end=desk.close)
    kind = HeadScreen
    if pads or is_served():
        from judgekit.ui.screens.padhead import PadHead

        kind = PadHead
    made = partial(kind, folder, lookout, desk, clock, heat)
    ctx.exit(run_watch(made, lookout, mouse=pads))
