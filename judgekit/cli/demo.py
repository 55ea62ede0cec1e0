"""`judgekit demo`: an invented event to try everything on."""

from __future__ import annotations

import re
import secrets
import shlex
import shutil
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, Output, say

if TYPE_CHECKING:
    from judgekit.files.eventfolder import EventFolder

_PACKAGE = Path(__file__).resolve().parent.parent
DEFAULT_FOLDER = "judgekit-demo"
YOURS = ("1", 1)
_DAY_MS = 86_400_000


@click.command("demo")
@click.option(
    "--folder",
    type=click.Path(file_okay=False, path_type=Path),
    help=f"Where the event goes; without it, the newest {DEFAULT_FOLDER} here.",
)
@click.option("--fresh", is_flag=True, help="Start over, in a new folder.")
@click.option(
    "--plain", is_flag=True, help="No screen: play every lane, print what comes out."
)
@click.pass_context
def command(ctx: click.Context, folder: Path | None, fresh: bool, plain: bool) -> None:
    """Try judgekit on an invented event: heat 1, lane 1 is yours, the rest is judged.

    Called again, it carries on in the newest demo folder. With --plain, or where
    there is no terminal, every recorded lane is played through the same code, and
    scorecards, standings and faults are printed: the same every time. That leaves
    nothing behind unless a folder is given.
    """
    from judgekit.ui.start import terminal_problem

    if plain or terminal_problem(sys.stdin, sys.stderr):
        ctx.exit(_played(folder, fresh=fresh))
    if folder is None and not fresh:
        target = newest(Path(DEFAULT_FOLDER))
    else:
        target = _target(folder or Path(DEFAULT_FOLDER), fresh=fresh)
    again = "judgekit demo"
    if folder is not None:
        again += f" --folder {shlex.quote(str(target))}"
    ctx.exit(_judged(prepare(target, keep_free=YOURS), again))


def demo_folder() -> Path:
    """Where the demo's files are: inside the installed package, else the checkout."""
    packaged = _PACKAGE / "data" / "demo"
    return packaged if packaged.is_dir() else _PACKAGE.parent / "demo"


def prepare(folder: Path, keep_free: tuple[str, int] | None = None) -> EventFolder:
    """The demo event in a folder, every recorded lane but one in its log.

    What is there already stays as it is.
    """
    from judgekit.cli.eventfiles import load
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.transcribe import transcribe_file

    if not (folder / "event.toml").exists():
        if folder.exists() and any(folder.iterdir()):
            raise click.UsageError(f"{folder} is there already, and is no demo event")
        _copy(folder)
    event = load(str(folder))
    looked = look_at(str(folder))
    judged = {(lane.heat, lane.number) for lane in looked.read.lanes if lane.runs}
    for row in event.heats:
        where = row.heat, row.lane
        tally = folder / "tallies" / f"heat-{row.heat}_lane-{row.lane}.tally"
        if where not in judged and where != keep_free and tally.exists():
            transcribe_file(event, row, tally)
    return event


def _copy(folder: Path) -> None:
    """The demo's files, all of them or none."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    part = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}.part")
    shutil.copytree(demo_folder(), part)
    part.rename(folder)


def _target(folder: Path, *, fresh: bool) -> Path:
    """The folder itself, or a new one with the next number after its name.

    A number that was given once is not given again below a higher one, so that the
    highest is always the newest.
    """
    there = _numbered(folder)
    if not fresh or not there:
        return folder
    return folder.with_name(f"{folder.name}-{max(there) + 1}")


def newest(folder: Path) -> Path:
    """The demo folder with the highest number that holds an event, else the first."""
    held = {
        number: path
        for number, path in _numbered(folder).items()
        if (path / "event.toml").exists()
    }
    return held[max(held)] if held else folder


def _numbered(folder: Path) -> dict[int, Path]:
    """What is there under the folder's name, and under it with a number, from 2 on."""
    if not folder.parent.is_dir():
        return {}
    name = re.compile(rf"{re.escape(folder.name)}(?:-([1-9]\d{{0,5}}))?", re.ASCII)
    found = ((name.fullmatch(path.name), path) for path in folder.parent.iterdir())
    return {
        int(match[1] or 1): folder.with_name(path.name)
        for match, path in found
        if match and match[1] != "1"
    }


def _judged(event: EventFolder, again: str) -> int:
    """Judge the lane; then say what was saved where, and what can be typed next."""
    from judgekit.cli.floor import sit_down
    from judgekit.desk.wish import Wish

    heat, lane = YOURS
    code = sit_down(event, Wish(heat=heat, lanes=(lane,)))
    if code == DONE:
        here = shlex.quote(str(event.folder))
        say(
            f"Heat {heat}, lane {lane} is saved in {event.folder / 'log'}. What next:\n"
            f"  {again}\n"
            "      goes on with the same lane; --fresh starts over in a new folder\n"
            f"  judgekit scorecard {here} --heat {heat} --lane {lane}\n"
            f"  judgekit standings {here}\n"
            f"  judgekit faults {here}\n"
            "      what came of it\n"
            f"  judgekit athlete {here} 012\n"
            f"  judgekit report {here} --format html --out report.html\n"
            "      what an athlete takes home, and what the coach does"
        )
    return code


def _played(folder: Path | None, *, fresh: bool) -> int:
    if folder is not None:
        return _printed(_target(folder, fresh=fresh))
    with tempfile.TemporaryDirectory(prefix="judgekit-demo-") as place:
        return _printed(Path(place) / "demo")


def _printed(folder: Path) -> int:
    from judgekit.cli import faults, scorecard, standings
    from judgekit.cli.eventlog import look_at

    prepare(folder)
    looked = look_at(str(folder))
    # As at the end of the day, whenever it is played.
    entries = (entry for lane in looked.read.lanes for entry in lane.lane.entries)
    looked = replace(looked, wall=max(entry.wall for entry in entries) + _DAY_MS)
    output = Output(format="table", path=None, force=False)
    cards = [scorecard.card_of(lane, looked) for lane in looked.read.lanes]
    pieces = (
        scorecard.laid_out(cards, output),
        standings.laid_out(standings.standings_of(looked), output),
        faults.laid_out(faults.faults_of(looked), output),
    )
    output.write("\n\n".join(pieces))
    return looked.code
