"""`judgekit floor`: judge a lane, or several at one desk."""

from __future__ import annotations

import gc
import re
import shlex
import sys
from functools import partial
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import UNUSABLE, say
from judgekit.core.bookname import transcribed_start
from judgekit.core.errors import BookError

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.people import HeatLane
    from judgekit.desk import Clock, Desk
    from judgekit.desk.following import Follower
    from judgekit.desk.wish import Wish
    from judgekit.files.eventfolder import EventFolder

_LANES = re.compile(r"([1-9]\d?)(?:-([1-9]\d?))?", re.ASCII)


@click.command("floor")
@click.argument("event")
@click.option("--heat", required=True, help="The heat, as heats.csv names it.")
@click.option(
    "--lane",
    help="The lane, several (1,2,5 or 1-12) or all; not needed if one judge has them.",
)
@click.option("--judge", help="Who judges, by the id in event.toml.")
@click.option("--again", default="", help="Why there is one more run of this lane.")
@click.option("--second", is_flag=True, help="A second judge, who never scores alone.")
@click.option(
    "--take-over", is_flag=True, help="Carry on from a desk that is still open."
)
@click.option(
    "--trust-disk",
    is_flag=True,
    help="Open a log on a disk shared with other computers, at your own risk.",
)
@click.option("--pads", is_flag=True, help="Pads for a finger, on a touch screen.")
@click.pass_context
def command(  # noqa: PLR0913, PLR0917 - click gives each option as an argument
    ctx: click.Context,
    event: str,
    heat: str,
    lane: str | None,
    judge: str | None,
    again: str,
    second: bool,
    take_over: bool,
    trust_disk: bool,
    pads: bool,
) -> None:
    """Judge a lane, or several; opened again, it carries on where it stood.

    Several lanes share one Floor: a digit chooses the lane, and two lanes have keys of
    their own. Without --lane it is the judge's lanes, or the whole heat where one
    judge has all of it.

    Exit codes: 0 the desk was closed; 1 the screen ended by itself (what was shown is
    in the log), or presses could not be saved, and it says how many; 2 there is no
    terminal, or the lane cannot be opened; 128 + n ended by signal n.
    """
    from judgekit.ui.start import terminal_problem

    problem = terminal_problem(sys.stdin, sys.stderr)
    if problem:
        click.echo(problem)
        ctx.exit(UNUSABLE)
    from judgekit.cli.asked import check_heat, check_known

    folder = _folder(event)
    from judgekit.desk.wish import Wish

    check_heat(heat, folder.heat_names())
    judges = [one.id for one in folder.event.judges]
    check_known("judge", judge if judges else None, judges)
    wish = Wish(
        heat=heat,
        lanes=_chosen(folder.lanes(heat), lane, judge),
        judge=judge or "",
        again=again,
        second=second,
        take_over=take_over,
        trust_disk=trust_disk,
    )
    ctx.exit(sit_down(folder, wish, pads=pads))


def _folder(event: str) -> EventFolder:
    """The event's files, read while the screens are imported."""
    from judgekit.cli.aside import Aside
    from judgekit.store.collector import collector_still
    from judgekit.ui.start import import_screens

    with collector_still(), Aside(partial(_load, event)) as reading:
        import_screens()
        folder = reading.result()
        # What importing left behind goes, once; all the rest stays, and the collector
        # would look through it at its first turn.
        gc.collect()
        gc.freeze()
        return folder


def _load(event: str) -> EventFolder:
    from judgekit.cli.eventfiles import load

    return load(event)


def _chosen(
    rows: tuple[HeatLane, ...], lane: str | None, judge: str | None
) -> tuple[int, ...]:
    """The lanes named, or those that one judge has."""
    known = {row.lane for row in rows}
    if lane is None:
        mine = [row for row in rows if judge in (None, row.judge)]
        if mine and len({row.judge for row in mine}) == 1:
            return tuple(row.lane for row in mine)
    elif lane == "all" and rows:
        return tuple(sorted(known))
    else:
        named = lanes_named(lane)
        if named and set(named) <= known:
            return named
    listed = ", ".join(f"{row.lane} (bib {row.bib}, judge {row.judge})" for row in rows)
    raise click.UsageError(f"say which lane with --lane: {listed}; several: 1,2 or all")


def lanes_named(text: str) -> tuple[int, ...]:
    """The lanes of "4", "1,2,5" or "1-12", by number; none if it says no lanes."""
    found: set[int] = set()
    for word in text.split(","):
        match = _LANES.fullmatch(word.strip())
        if match is None:
            return ()
        first, last = int(match[1]), int(match[2] or match[1])
        found |= set(range(first, last + 1))
    return tuple(sorted(found))


def _take_over(folder: EventFolder, wish: Wish) -> str:
    """The command that carries on from the desk that holds the lane."""
    words = ["judgekit", "floor", str(folder.folder), "--heat", wish.heat]
    words += ["--lane", ",".join(map(str, wish.lanes))]
    if wish.judge:
        words += ["--judge", wish.judge]
    if wish.second:
        words.append("--second")
    if wish.trust_disk:
        words.append("--trust-disk")
    return shlex.join([*words, "--take-over"])


def sit_down(folder: EventFolder, wish: Wish, *, pads: bool = False) -> int:
    """Show the Floor, open its desk behind it, and stay until that is closed.

    Without pads nothing is clicked, and the terminal's own selecting goes on working.
    """
    from judgekit.cli.stopped import StoppedBefore, has_earlier_day
    from judgekit.core.lane import empty
    from judgekit.desk import Coming, SystemClock
    from judgekit.ui.start import run_floor

    _refuse_judged(folder, wish)
    clock = SystemClock()
    rows = [row for row in folder.lanes(wish.heat) if row.lane in wish.lanes]
    coming = Coming(
        partial(_open, folder, wish, clock),
        planned={row.lane: empty(folder.plan_of(row, ())) for row in rows},
        clock=clock,
        second=wish.second,
    )
    earlier = has_earlier_day(folder.heats, wish.heat)
    stopped = StoppedBefore(folder.folder, wish.heat, earlier=earlier)
    try:
        return run_floor(coming, folder=folder, mouse=pads, pads=pads, stopped=stopped)
    except BookError as error:
        return _held(error, folder, wish)
    finally:
        stopped.end()
        coming.close("the program ended")


def _refuse_judged(folder: EventFolder, wish: Wish) -> None:
    """BookError before any screen for a lane that a tally tells of, as the desk has it.

    Only where there is such a book is the log read that early.
    """
    starts = [transcribed_start(wish.heat, lane) for lane in wish.lanes]
    if any(any(folder.log.glob(f"{start}*.sqlite")) for start in starts):
        from judgekit.desk.opening import check_not_judged

        check_not_judged(folder.log, wish)


def _open(
    folder: EventFolder, wish: Wish, clock: Clock, tell: Callable[[int], None]
) -> tuple[Desk, Follower]:
    # Imported here: none of it is needed for the first picture.
    from judgekit.desk.opening import open_desk

    return open_desk(folder, wish, clock, tell)


def _held(error: BookError, folder: EventFolder, wish: Wish) -> int:
    """Say who holds the lane and how to take it over; other errors go on."""
    from judgekit.store.book import BookHeld

    if not isinstance(error, BookHeld):
        raise error
    say(
        f"{error}\nClose that desk, or carry on from it here:\n"
        f"  {_take_over(folder, wish)}"
    )
    return UNUSABLE
