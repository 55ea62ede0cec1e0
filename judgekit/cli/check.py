"""`judgekit check`: every problem in events, workouts and cards."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, WRONG, say, tell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.errors import Problem
    from judgekit.core.plan import Plan
    from judgekit.files.eventfolder import EventFolder


@click.command("check")
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.pass_context
def command(ctx: click.Context, paths: tuple[str, ...]) -> None:
    """Print every problem as FILE:LINE: what is wrong; what would be right.

    PATH is an event's folder, a folder of cards or workouts, or a single file.
    Exit code 1: there is a problem; advice alone changes nothing.
    """
    missing = [path for path in paths if not Path(path).exists()]
    if missing:
        raise click.UsageError(f"there is no {', '.join(missing)}")
    problems, outlines = checked(paths)
    for problem in problems:
        tell(f"{problem}{' (advice)' if problem.advice else ''}")
    for outline in outlines:
        say(outline)
    wrong = sum(1 for problem in problems if not problem.advice)
    say(f"{wrong} problem{'' if wrong == 1 else 's'}")
    ctx.exit(WRONG if wrong else DONE)


def checked(paths: Sequence[str]) -> tuple[list[Problem], list[str]]:
    """What is wrong with the files and with the plans of every lane they make.

    And, where nothing is, what each workout holds and how long it takes.
    """
    from judgekit.files.folder import check_paths
    from judgekit.ui.actions import ACTION_NAMES

    problems = list(check_paths([Path(path) for path in paths], actions=ACTION_NAMES))
    outlines: list[str] = []
    if all(problem.advice for problem in problems):
        for event in paths:
            if (Path(event) / "event.toml").is_file():
                _check_plans(event, problems, outlines)
    return problems, outlines


def _check_plans(event: str, problems: list[Problem], outlines: list[str]) -> None:
    """Adds what is wrong with an event's plans, else advice on them and outlines."""
    from judgekit.cli.eventfiles import load
    from judgekit.core.aids import outline
    from judgekit.core.errors import InputError

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
    for plan in plans.values() if not wrong else ():
        problems += _advice_on(event, folder, plan)
        said = outline(plan, folder.cards)
        outlines.append(f"{plan.workout}, {plan.division_name}: {said}")


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
