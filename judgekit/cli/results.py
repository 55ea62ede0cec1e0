"""`judgekit results`: what athletes say they did, written down after class."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import say

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.desk.results import Recorded


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
    for one in made:
        say(_told(one))
    for one in made:
        if one.counting is not None:
            lane = one.lane.plan.lane
            say(_TO_RULE.format(run=one.run, heat=heat, lane=lane))


_TO_RULE = (
    'A ruling makes it count in lane {lane}: "0:00 rule run {run} WHY" as a tally\'s '
    "line, with judgekit transcribe --heat {heat} --lane {lane}; or r, then run, in "
    "judgekit head."
)


def _told(made: Recorded) -> str:
    from judgekit.core.score import score
    from judgekit.reports.names import score_words

    lane = made.lane
    plan = lane.plan
    who = f"heat {plan.heat}, lane {plan.lane}, {plan.bib} {plan.name}"
    words = score_words(score(lane), plan)
    if made.counting is None:
        return f"{who}: {words}"
    return (
        f"{who}: {_judged(made.counting)}. That counts. {words} stands beside it as "
        f"run {made.run}, and counts only by a ruling."
    )


def _judged(lane: Lane) -> str:
    """How far somebody judged a lane, and what that comes to."""
    from judgekit.core import looking
    from judgekit.core.quantity import show_time
    from judgekit.core.score import score
    from judgekit.desk.results import last_ms
    from judgekit.reports.names import has_score, score_words

    how = "judged" if lane.work.attempts else "reported set by set"
    if lane.work.given is not None:
        how = "its result was told on the Floor"
    until, found = last_ms(lane), score(lane)
    far = f" until {show_time(until)}" if until is not None else ""
    if not looking.is_over(lane):
        far += ", not to the end"
    words = score_words(found, lane.plan) if has_score(found) else "nothing done"
    return f"{how}{far}: {words}"
