"""The `judgekit` command: its subcommands, and how it ends.

Exit codes: 0 done; 1 done, and something is wrong with what was looked at; 2 the
command or its input cannot be used. Data goes to stdout, talk to stderr.
"""

from __future__ import annotations

import errno
import gc
import sys
from importlib import import_module

import click

# What the help says of each, so that it need not import them.
COMMANDS = {
    "demo": "Try judgekit on an invented event.",
    "class": "Start a class from a workout and some names.",
    "new": "Write a workout or a small event.",
    "check": "Print every problem in events, workouts and cards.",
    "cards": "List the movement cards, or print one in full.",
    "brief": "Print the briefing of each workout.",
    "exposure": "Print what athletes are to do beside what they did before.",
    "followups": "Print whom to speak with after a stop or a risky volume.",
    "scale": "Write what an athlete does instead today.",
    "ready": "Look at this computer before a heat.",
    "floor": "Judge a lane; opened again, it carries on where it stood.",
    "rehearse": "Practise the calls on a scripted athlete.",
    "serve": "Show lanes and standings in browsers.",
    "board": "Show a heat to the hall: counts, order so far, who comes next.",
    "head": "Look on at all lanes as head judge: freeze, recall, rule.",
    "paper": "Print lane sheets to keep with a pencil.",
    "transcribe": "Put a tally into the log, whole or not at all.",
    "results": "Write down what athletes say they did, by name.",
    "scorecard": "Print the scorecards of a heat.",
    "standings": "Print the standings of each workout and division.",
    "athlete": "Print what an athlete takes home.",
    "report": "Print the coach's report of a session.",
    "faults": "Print fault rates over all lanes that were judged.",
    "review": "Look at the faults of an event on the screen.",
    "drills": "Print a skill block for the next class.",
    "season": "Print fault rates over all events in a folder.",
    "export": "Print attempts, sets, faults or scores for other programs.",
    "subtitles": "Print a lane's calls as subtitles for a video.",
    "pieces": "Print how each set was done: pieces, pace, pauses.",
    "cost": "Print what no-reps cost, in time and places, as an estimate.",
    "log": "Read the log of an event, check it, copy it.",
}
# A word of the language can be no module's name.
_MODULES = {"class": "classes"}


class _Commands(click.Group):
    """Subcommands that are imported when they are asked for, each from its module."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's
        return list(COMMANDS)

    def get_command(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's
        cmd_name: str,
    ) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = _MODULES.get(cmd_name, cmd_name)
        command = import_module(f"judgekit.cli.{module}").command
        return command if isinstance(command, click.Command) else None

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's
        formatter: click.HelpFormatter,
    ) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def invoke(self, ctx: click.Context) -> object:
        """Run, and say what cannot be used instead of showing a traceback."""
        from judgekit.cli.output import UNUSABLE, say
        from judgekit.core.errors import JudgekitError

        try:
            return super().invoke(ctx)
        except JudgekitError as error:
            say(str(error))
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            where = f"{error.filename}: " if error.filename else ""
            say(f"{where}{error.strerror or error}")
        except KeyboardInterrupt:
            say("stopped")
        return ctx.exit(UNUSABLE)


def _versions(ctx: click.Context, _param: click.Parameter, wanted: bool) -> None:
    if not wanted or ctx.resilient_parsing:
        return
    from judgekit.cli.output import say
    from judgekit.cli.versions import sqlite_warning, versions

    click.echo(versions())
    warning = sqlite_warning()
    if warning:
        say(warning)
    ctx.exit()


@click.group(
    cls=_Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.option(
    "--version",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=_versions,
    help="Show the versions of judgekit, Python, Textual and SQLite.",
)
@click.pass_context
def cli(ctx: click.Context) -> None:
    """Judge functional-fitness heats: every rep counted, every no-rep with its reason.

    An EVENT is a folder with event.toml, people.csv, heats.csv and workouts. Without
    a command judgekit opens the event in this folder, or says how to begin.

    Exit codes: 0 done; 1 done, and something is wrong with what was looked at; 2 the
    command or its input cannot be used.
    """
    if ctx.invoked_subcommand is None:
        from judgekit.cli.home import home

        ctx.exit(home())


def run() -> None:
    """The console script."""
    for stream in (sys.stdout, sys.stderr):
        # A letter that the terminal cannot show must not cost the whole table.
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
    try:
        cli.main(prog_name="judgekit")
    finally:
        # All that was read ends with the process; nobody looks through it once more.
        gc.freeze()
