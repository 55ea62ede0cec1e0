"""Who is in a class: earlier persons of the same name, divisions, ids of their own."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import plain, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.classmates import Classmate
    from judgekit.core.people import Athlete


def settled(
    mates: Sequence[Classmate],
    earlier: Sequence[Athlete],
    standards: Sequence[str],
    *,
    join: bool,
) -> tuple[Classmate, ...]:
    """Each with a person and, where the workout needs one, a division.

    What is not known is asked at a terminal; elsewhere nobody is joined, and a missing
    division cannot be used.
    """
    from judgekit.core.classmates import with_persons

    known = [_joined(mate, earlier, standards, join=join) for mate in mates]
    taken = {athlete.person for athlete in earlier if athlete.person}
    return with_persons(_divided(known, standards), taken)


def _joined(
    mate: Classmate,
    earlier: Iterable[Athlete],
    standards: Sequence[str],
    *,
    join: bool,
) -> Classmate:
    from judgekit.core.classmates import bearers, joined

    found = bearers(mate, earlier)
    if len(found) > 1:
        ids = ", ".join(one.person for one in found)
        say(f"{mate.name} may be {ids}: joined to nobody.")
    if len(found) != 1:
        return mate
    [one] = found
    if not join and not _yes(f"{mate.name}: the same person as {one.person}?"):
        return mate
    return joined(mate, one, standards)


def _yes(question: str) -> bool:
    if not sys.stdin.isatty():
        say(f"{question} Not joined; --join says yes.")
        return False
    return click.confirm(plain(question), default=True, err=True)


def _divided(
    mates: Sequence[Classmate], standards: Sequence[str]
) -> tuple[Classmate, ...]:
    from dataclasses import replace

    if not standards:
        return tuple(replace(mate, division="") for mate in mates)
    wrong = [m for m in mates if m.division and m.division not in standards]
    without = [mate for mate in mates if not mate.division]
    if wrong or (without and not sys.stdin.isatty()):
        raise click.UsageError(plain(_refusal([*wrong, *without], standards)))
    return tuple(
        mate if mate.division else replace(mate, division=_asked(mate, standards))
        for mate in mates
    )


def _asked(mate: Classmate, standards: Sequence[str]) -> str:
    choice = click.Choice(standards)
    found: str = click.prompt(plain(mate.name), type=choice, err=True)
    return found


def _refusal(mates: Sequence[Classmate], standards: Sequence[str]) -> str:
    names = ", ".join(mate.name for mate in mates)
    example = f"{mates[0].name}/{standards[0]}"
    what = f"this workout is not the same for {' and '.join(standards)}"
    return f'{what}, and nobody said which is for: {names}; write "{example}"'
