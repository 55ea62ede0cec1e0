"""`judgekit scale`: what one athlete does instead today, before the start."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from judgekit.cli.output import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.core.plan import Plan, PlanMovement
    from judgekit.files.eventfolder import EventFolder

_LONGEST = 200


@click.command("scale")
@click.argument("event")
@click.argument("card")
@click.option("--heat", required=True, help="The heat, as heats.csv names it.")
@click.option("--lane", type=int, required=True, help="The lane.")
@click.option(
    "--as", "instead", default="", help="A substitute on the card; CARD: as written."
)
@click.option("--reps", type=click.IntRange(1, 9999), help="This many in each round.")
@click.option("--load", default="", help='Another load, such as "30 kg".')
@click.option("--height", default="", help='Another height, such as "50 cm".')
@click.option("--why", default="", help="The reason, kept in the log.")
def command(  # noqa: PLR0913, PLR0917 - click gives each option as an argument
    event: str,
    card: str,
    heat: str,
    lane: int,
    instead: str,
    reps: int | None,
    load: str,
    height: str,
    why: str,
) -> None:
    """Write what an athlete does instead of CARD today; the coach decides.

    The choice is in the log, on the Floor and with the score for ever ("with hanging
    knee raise"). The latest choice for a card counts, until the lane starts; --as
    with the card itself is as written again. Exit code 2: nothing was written.
    """
    from judgekit.cli.eventfiles import load as load_event
    from judgekit.cli.eventlog import the_row
    from judgekit.core.entry import Scale
    from judgekit.desk import SystemClock
    from judgekit.desk.scaling import scale_lane
    from judgekit.files.cleaning import clean

    scale = Scale(
        card=clean(card, _LONGEST),
        substitute=clean(instead, _LONGEST),
        reps=reps or 0,
        load=clean(load, _LONGEST),
        height=clean(height, _LONGEST),
        why=clean(why, _LONGEST),
    )
    if not (scale.substitute or scale.reps or scale.load or scale.height):
        raise click.UsageError("say what changes: --as, --reps, --load or --height")
    folder = load_event(event)
    row = the_row(folder, heat, lane)
    plan = scale_lane(folder, row, scale, clock=SystemClock(), who="coach")
    say(f"heat {heat}, lane {lane}, bib {plan.bib}: {_done(plan, folder, scale.card)}")
    for unmade in _unmade(plan, folder, scale.card):
        say(f"mind: {unmade}")
    for substitute in folder.cards[scale.card].substitutes:
        if substitute.card == scale.substitute and substitute.caution:
            say(f"mind: {substitute.caution}")


def _done(plan: Plan, folder: EventFolder, card: str) -> str:
    """What is done for a written card now: "2, 2 hanging knee raise (for ...)"."""
    lines = [_words(plan, movement) for movement in _those(plan, folder, card)]
    return "; ".join(dict.fromkeys(lines))


def _those(plan: Plan, folder: EventFolder, card: str) -> Iterator[PlanMovement]:
    """What is done for a written card, with itself or with another."""
    name = folder.cards[card].name
    for part in plan.parts:
        for movement in part.movements:
            if movement.instead_of == name or movement.card == card:
                yield movement


def _unmade(plan: Plan, folder: EventFolder, card: str) -> Iterator[str]:
    """The loads that the discs at hand do not make; the coach decides all the same."""
    from judgekit.core.floorplan import unmade_of
    from judgekit.reports.brieffloor import setup_of

    names = {plan.card(m.card).name for m in _those(plan, folder, card)}
    for unmade in unmade_of([setup_of(folder.event, plan)], folder.cards):
        if unmade.movement in names:
            yield unmade.says


def _words(plan: Plan, movement: PlanMovement) -> str:
    targets = ", ".join(map(str, movement.targets))
    unit = "" if movement.unit == "reps" else f"{movement.unit} "
    things = dict.fromkeys((*movement.loads, movement.height))
    words = f"{targets} {unit}{plan.card(movement.card).name.casefold()}"
    words = ", ".join(filter(None, (words, *things)))
    if movement.instead_of:
        words += f", instead of {movement.instead_of.casefold()}"
    return words
