"""`judgekit review`: faults on the screen, with bars, along the work and in time."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from judgekit.cli.output import UNUSABLE, say_all

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.review.attempts import LaneRows
    from judgekit.review.pieces import LanePieces
    from judgekit.review.sessions import Sessions


class _Read(NamedTuple):
    """All that is shown, as it comes from a process of its own; and what is wrong."""

    name: str
    lanes: Sequence[LaneRows]
    judges: Mapping[str, str]
    pieces: Sequence[LanePieces]
    sessions: Sessions
    said: Sequence[str]


@click.command("review")
@click.argument("event")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@click.option("--ascii", "ascii_only", is_flag=True, help="Draw with plain signs only.")
@click.pass_context
def command(
    ctx: click.Context, event: str, history: Path | None, ascii_only: bool
) -> None:
    """Look at the faults of an event on the screen.

    Each rate has a bar: small dots lead to the likely range (95 of 100), the range is
    a line, the rate a mark on it. tab goes on to no-reps by rep, round or minute and to
    a time line with the letter of each no-rep's fault, to how long a rep takes and to
    what changed since the session before; left and right group otherwise; m picks one
    movement, a bib and enter one athlete. Nothing is written.

    Exit codes: 0 it was left; 1 the screen ended by itself; 2 there is no terminal, or
    the event cannot be read; 128 + n ended by signal n.
    """
    from judgekit.ui.hushed import hushed, saying
    from judgekit.ui.start import terminal_problem

    problem = terminal_problem(sys.stdin, sys.stderr)
    if problem:
        click.echo(problem)
        ctx.exit(UNUSABLE)
    with hushed():
        with saying("Reading the logs ..."):
            found = _read_aside(event, history)
        say_all(found.said)
        code = _show(found, ascii_only=ascii_only)
    ctx.exit(code)


def _read_aside(event: str, history: Path | None) -> _Read:
    """The event, read while the screen is imported."""
    from judgekit.cli.aside import Aside
    from judgekit.ui.start import import_review

    with Aside(partial(_read, event, history)) as reading:
        import_review()
        return reading.result()


def _read(event: str, history: Path | None) -> _Read:
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.faults import counted_of, sessions_of
    from judgekit.cli.pastfaults import Only
    from judgekit.review.pieces import lane_pieces
    from judgekit.store.collector import collector_still

    said: list[object] = []
    with collector_still():
        looked = look_at(event, tell=said.extend)
        if looked.code:
            said.append("What is damaged or disputed is left out.")
        counted = counted_of(looked, Only())
        sessions, wrong = sessions_of(looked, counted, history, Only())
        return _Read(
            name=looked.folder.event.name if looked.folder is not None else event,
            lanes=[rows for _, rows in counted],
            judges=looked.judges,
            pieces=[lane_pieces(read.lane, rows=rows) for read, rows in counted],
            sessions=sessions,
            said=[str(one) for one in (*said, *wrong)],
        )


def _show(found: _Read, *, ascii_only: bool) -> int:
    from judgekit.ui.ending import NothingOpen
    from judgekit.ui.screens.review import ReviewScreen
    from judgekit.ui.start import run_watch
    from judgekit.ui.views.reviewed import Also, Reviewed

    also = Also(found.pieces, found.sessions)
    of = Reviewed(
        found.name, found.lanes, found.judges, ascii_only=ascii_only, also=also
    )
    return run_watch(lambda: ReviewScreen(of), NothingOpen())
