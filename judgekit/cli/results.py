"""`judgekit results`: what athletes say they did, written down after class."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import say

if TYPE_CHECKING:
    from judgekit.core.state import Lane


@click.command("results")
@click.argument("event")
@click.argument("lines", nargs=-1)
@click.option("--heat", required=True, help="The heat, as heats.csv names it.")
@click.option("--again", default="", help="Why a lane gets another result.")
def command(event: str, lines: tuple[str, ...], heat: str, again: str) -> None:
    """Write results by name: "Ana 7:41" "Bo 5+8" "Cy 80 kg with ring row".

    Each LINE is a name or bib, a result in what the workout is scored in, and, if
    wanted, a substitute that is on a card. Without LINES they are read from stdin, one
    a line. A result is marked as reported: it has a place, and no times within and no
    rates. Exit code 2: every line that cannot stand is named, and nothing was written.
    """
    from judgekit.cli.asked import check_heat
    from judgekit.cli.eventfiles import load
    from judgekit.desk.results import record

    shown = "line" if lines else "stdin"
    said = lines or sys.stdin.read().splitlines()
    folder = load(event)
    check_heat(heat, folder.heat_names())
    made = record(folder, heat, said, shown=shown, again=again)
    if not made:
        raise click.UsageError('say at least one result, such as "Ana 7:41"')
    for lane in made:
        say(_told(lane))


def _told(lane: Lane) -> str:
    from judgekit.core.score import score
    from judgekit.reports.names import score_words

    plan = lane.plan
    words = score_words(score(lane), plan)
    return f"heat {plan.heat}, lane {plan.lane}, {plan.bib} {plan.name}: {words}"
