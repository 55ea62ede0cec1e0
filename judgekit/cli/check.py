"""`judgekit check`: every problem in events, workouts and cards."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, WRONG, say, say_all, tell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.errors import Problem
    from judgekit.core.plan import Plan
    from judgekit.files.eventfolder import EventFolder


@click.command("check")
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one an event lies in.",
)
@click.pass_context
def command(ctx: click.Context, paths: tuple[str, ...], history: Path | None) -> None:
    """Print every problem as FILE:LINE: what is wrong; what would be right.

    PATH is an event's folder, a folder of cards or workouts, or a single file.
    Where the logs of the last 56 days tell how long athletes here take, an event's
    workouts are estimated by them, too.
    Exit code 1: there is a problem; advice alone changes nothing.
    """
    missing = [path for path in paths if not Path(path).exists()]
    if missing:
        raise click.UsageError(f"there is no {', '.join(missing)}")
    problems, outlines = checked(paths, history)
    for problem in problems:
        tell(f"{problem}{' (advice)' if problem.advice else ''}")
    for outline in outlines:
        say(outline)
    wrong = sum(1 for problem in problems if not problem.advice)
    say(f"{wrong} problem{'' if wrong == 1 else 's'}")
    ctx.exit(WRONG if wrong else DONE)


def checked(
    paths: Sequence[str], history: Path | None = None
) -> tuple[list[Problem], list[str]]:
    """What is wrong with the files and with the plans of every lane they make.

    And, where nothing is, what each workout holds and how long it takes.
    """
    from judgekit.files.folder import check_paths
    from judgekit.ui.actions import NAMES_IN_KEYS

    problems = list(check_paths([Path(path) for path in paths], actions=NAMES_IN_KEYS))
    outlines: list[str] = []
    if all(problem.advice for problem in problems):
        for event in paths:
            if (Path(event) / "event.toml").is_file():
                _check_plans(event, history, problems, outlines)
    return problems, outlines


def _check_plans(
    event: str, history: Path | None, problems: list[Problem], outlines: list[str]
) -> None:
    """Adds what is wrong with an event's plans, else advice on them and outlines."""
    from judgekit.cli.eventfiles import load
    from judgekit.cli.pastpaces import past_paces
    from judgekit.core.aids import outline
    from judgekit.core.errors import InputError
    from judgekit.reports.estimates import by_the_logs

    wrong: dict[Problem, None] = {}
    folder = load(event)
    plans: dict[tuple[str, str], Plan] = {}
    for row in folder.heats:
        try:
            plan = folder.plan_of(row, ())
        except InputError as error:
            wrong.update((problem, None) for problem in error.problems)
        else:
            plans.setdefault((plan.workout, plan.division), plan)
    problems += wrong
    if wrong:
        return
    paces = past_paces(folder, history)
    say_all(paces.said)
    for plan in plans.values():
        problems += _advice_on(event, folder, plan)
        who = f"{plan.workout}, {plan.division_name}"
        outlines.append(f"{who}: {outline(plan, folder.cards)}")
        known = by_the_logs(plan, folder.cards, paces.paces, with_seconds=True)
        outlines += [f"{who}, by the logs: {known}"] if known else []


def _advice_on(event: str, folder: EventFolder, plan: Plan) -> list[Problem]:
    """Advice on a workout for one division, at the top of the workout's file."""
    from judgekit.core.aids import aids, unmade
    from judgekit.core.errors import Problem
    from judgekit.core.plates import rack_for

    division = folder.event.division(plan.division)
    if division is None:
        return []
    file = str(Path(event, "workouts", f"{plan.workout}.toml"))
    rack = rack_for(division.bar, folder.event.plates, folder.event.units)
    return [
        Problem(
            file=file,
            line=1,
            what=f"{plan.division_name}: {aid.what}",
            right=aid.right,
            advice=True,
        )
        for aid in (
            *aids(folder.workouts[plan.workout], plan, division, folder.cards),
            *unmade(plan, folder.cards, rack),
        )
    ]
