"""`judgekit check`: every problem in events, workouts and cards."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, WRONG, say, tell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.errors import Problem


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
    problems = problems_of(paths)
    for problem in problems:
        tell(f"{problem}{' (advice)' if problem.advice else ''}")
    wrong = sum(1 for problem in problems if not problem.advice)
    say(f"{wrong} problem{'' if wrong == 1 else 's'}")
    ctx.exit(WRONG if wrong else DONE)


def problems_of(paths: Sequence[str]) -> tuple[Problem, ...]:
    """What is wrong with the files, and with the plans of every lane they make."""
    from judgekit.files.folder import check_paths
    from judgekit.ui.actions import ACTION_NAMES

    found = check_paths([Path(path) for path in paths], actions=ACTION_NAMES)
    if any(not problem.advice for problem in found):
        return found
    events = [path for path in paths if (Path(path) / "event.toml").is_file()]
    return (*found, *(p for event in events for p in _plan_problems(event)))


def _plan_problems(event: str) -> list[Problem]:
    from judgekit.cli.eventfiles import load
    from judgekit.core.errors import InputError

    problems: list[Problem] = []
    folder = load(event)
    for row in folder.heats:
        try:
            folder.plan_of(row, ())
        except InputError as error:
            problems += error.problems
    return list(dict.fromkeys(problems))
