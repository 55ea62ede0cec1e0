"""`judgekit ready`: this computer, looked at before it counts."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, WRONG, printing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.cli.output import Output
    from judgekit.core.people import Event
    from judgekit.reports.readiness import Finding, Keys
    from judgekit.ui.views.keytrial import Wanted

_FORMATS = ("table", "json", "csv", "markdown")


@click.command("ready")
@click.argument("event")
@click.option("--no-keys", is_flag=True, help="Try no keys, look at the rest.")
@printing(_FORMATS)
@click.pass_context
def command(ctx: click.Context, event: str, no_keys: bool, output: Output) -> None:
    """Look at this computer before a heat: what is right, and what to do.

    Terminal, keyboard and the keys of the Floor ("press these"; escape is enough),
    remotes in [keys], encoding, colours, the disk of the event's folder, SQLite,
    clocks, and what may send the computer to sleep.

    Exit codes: 0 ready; 1 something must be mended; 2 the event cannot be used.
    """
    from judgekit.cli.classes import zone_here
    from judgekit.cli.eventfiles import load
    from judgekit.cli.machine import machine
    from judgekit.reports.readiness import Keys, findings, is_ready

    folder = load(event)
    there = sys.stdin.isatty() and sys.stderr.isatty()
    remote = _remote(folder.event)
    keys = Keys(remote=remote) if no_keys or not there else _tried(folder.event, remote)
    known = machine(folder.event, Path(event), zone_here(), keys)
    found = findings(known)
    output.write(_laid_out(folder.event, found, output))
    ctx.exit(DONE if is_ready(found) else WRONG)


def _laid_out(event: Event, found: Sequence[Finding], output: Output) -> str:
    from judgekit.cli.laying import one_table
    from judgekit.reports.readiness import ready_table, ready_text

    if output.format == "table":
        return ready_text(event.name, found, output.width)
    return one_table(ready_table(event.name, found), output)


def _remote(event: Event) -> tuple[str, ...]:
    from judgekit.cli.machine import MEDIA

    bound = {key.casefold() for _, keys in event.keys for key in keys}
    return tuple(sorted(bound & MEDIA))


def _tried(event: Event, remote: tuple[str, ...]) -> Keys:
    """What came of the keys of the Floor and the event, one after another."""
    from judgekit.reports.readiness import Keys
    from judgekit.ui.start import run_key_trial
    from judgekit.ui.views.keytrial import KeyTrial

    trial = run_key_trial(KeyTrial(wanted=_wanted(event)))
    if trial is None or not trial.came:
        return Keys(remote=remote)
    return Keys(tried=True, missing=trial.missing, other=trial.other, remote=remote)


# Where the Floor's keys lie on a keyboard: what each of them sends stands for its row.
_OWN = ("space", "backspace", "0", "n", "d", "k", "enter", "g", "y", "w", "?")


def _wanted(event: Event) -> tuple[Wanted, ...]:
    from judgekit.ui.actions import ACTIONS
    from judgekit.ui.views.keytrial import Wanted

    says = {action.key: action.short for action in ACTIONS}
    own = [Wanted(key=key, says=says.get(key, "a call")) for key in _OWN]
    extra = [
        Wanted(key=key.casefold(), says=f"{name}, by [keys]")
        for name, keys in event.keys
        for key in keys
    ]
    return (*own, *extra)
