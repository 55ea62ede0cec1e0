"""`judgekit class`: a class from a workout and some names alone."""

from __future__ import annotations

import os
import shlex
import sys
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import click

from judgekit.cli.output import plain, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.classmates import Classmate
    from judgekit.core.workout import Workout
    from judgekit.files.eventfolder import EventFolder


@click.command("class")
@click.argument("workout")
@click.argument("names")
@click.option(
    "--folder",
    type=click.Path(path_type=Path),
    help="Where the class is kept; else class-DATE-WORKOUT here.",
)
@click.option(
    "--join", is_flag=True, help="Names that one earlier person bears are that person."
)
@click.option(
    "--judged", is_flag=True, help="Every rep is judged; else sets are reported."
)
@click.option("--no-floor", is_flag=True, help="Write the class, and open nothing.")
@click.pass_context
def command(  # noqa: PLR0913, PLR0917 - click gives each option as an argument
    ctx: click.Context,
    workout: str,
    names: str,
    folder: Path | None,
    join: bool,
    judged: bool,
    no_floor: bool,
) -> None:
    """Start a class: WORKOUT is a file, or the id of a workout in a folder here.

    NAMES are separated by commas: "Ana, Bo, Cy"; where women and men differ in the
    workout, "Ana/women, Bo/men". Typed again with more names, those are added.

    Exit codes: as those of judgekit floor.
    """
    from judgekit.core.classmates import named, named_twice

    mates = named(names)
    if not mates:
        raise click.UsageError('nobody is named; write "Ana, Bo, Cy"')
    twice = named_twice(mates)
    if twice:
        raise click.UsageError(
            plain(f'"{twice}" is named twice; add a letter to tell them apart')
        )
    event = _written(workout, mates, folder, join=join, judged=judged)
    if no_floor or not sys.stdin.isatty():
        say(f"Next:\n  {_floor_words(event)}")
        return
    from judgekit.cli.floor import sit_down
    from judgekit.desk.wish import Wish

    heat = event.heat_names()[0]
    lanes = tuple(row.lane for row in event.lanes(heat))
    ctx.exit(sit_down(event, Wish(heat=heat, lanes=lanes)))


def _floor_words(event: EventFolder) -> str:
    heat = event.heat_names()[0]
    return shlex.join(["judgekit", "floor", str(event.folder), "--heat", heat])


def _written(
    given: str,
    mates: Sequence[Classmate],
    folder: Path | None,
    *,
    join: bool,
    judged: bool,
) -> EventFolder:
    """The class's folder, made now or there already, with everybody in it."""
    from judgekit.cli.classpeople import settled
    from judgekit.cli.eventfiles import load
    from judgekit.core.classmates import strangers
    from judgekit.files.classfolder import NewClass, add_mates, gym_tables, write_class
    from judgekit.files.history import read_history

    workout, source, standards = _workout(given)
    today, _ = _now(zone_here())
    target = folder or Path(f"class-{today}-{workout.id}")
    event = _there(target, workout, judged=judged)
    there = event.athletes if event is not None else ()
    missing = strangers(mates, there)
    if event is not None and not missing:
        return event
    if event is not None and len(missing) == len(mates):
        known = ", ".join(athlete.name for athlete in there)
        what = f"{target} is a class with {known} already, and with nobody named here"
        right = "name one of them to add to it, or give another --folder"
        raise click.UsageError(plain(f"{what}; {right}"))
    past = read_history(target).events if target.parent.is_dir() else ()
    earlier = [athlete for one in past for athlete in one.athletes]
    gym = gym_tables(one.folder for one in past)
    zone = str(gym.get("zone", zone_here()))
    date, start = _now(zone)
    new = NewClass(
        workout=workout,
        source=source,
        mates=settled(missing, [*earlier, *there], standards, join=join),
        standards=standards,
        date=date,
        start=start,
        zone=zone,
        reported=not judged,
    )
    if event is not None:
        add_mates(target, new, event, lambda whole: load(str(whole)))
    else:
        left_out = write_class(target, new, gym, lambda part: load(str(part)))
        if left_out:
            names = ", ".join(f"[{name}]" for name in left_out)
            say(f"Not taken over, as it does not hold here: {names}")
    return load(str(target))


def _there(target: Path, workout: Workout, *, judged: bool) -> EventFolder | None:
    """The class that is there already; None where there is none."""
    if not target.exists():
        return None
    from judgekit.cli.eventfiles import load

    event = load(str(target))
    other = ""
    if event.workouts.get(workout.id) != workout:
        other = f"with another {workout.id}"
    elif judged and event.event.rules.watching != "judged":
        other = "and its sets are reported"
    if other:
        what = f"{target} is there already, {other}"
        raise click.UsageError(plain(f"{what}; give another --folder"))
    return event


def _workout(given: str) -> tuple[Workout, Path, tuple[str, ...]]:
    """The workout, its file, and the standards that its values ask for."""
    from judgekit.core.classmates import standards_in
    from judgekit.files.library import open_library, with_overlays
    from judgekit.files.workoutfile import read_workout

    source = _file_of(given)
    overlays = source.parent.parent / "cards"
    cards = with_overlays(open_library(), overlays, str(overlays))
    workout = read_workout(source, str(source), cards, ())
    return workout, source, standards_in(workout, cards)


def _file_of(given: str) -> Path:
    """A file as given, else the only workout of that id in a folder here."""
    path = Path(given)
    if path.suffix == ".toml" or path.is_file():
        return path
    for one in (Path(f"{given}.toml"), Path("workouts") / f"{given}.toml"):
        if one.is_file():
            return one
    found = sorted(Path().glob(f"*/workouts/{_literal(given)}.toml"))
    texts = {one.read_bytes() for one in found}
    if not found:
        what = f'there is no file "{given}", and no workout of that id in a folder here'
        raise click.UsageError(plain(f"{what}; judgekit new asks and writes one"))
    if len(texts) > 1:
        places = ", ".join(map(str, found))
        what = f'"{given}" is not the same in {places}'
        raise click.UsageError(plain(f"{what}; say which file"))
    return found[-1]


def _literal(text: str) -> str:
    from glob import escape

    return escape(text)


def _now(zone: str) -> tuple[str, str]:
    """Today's date and the time of day, as clocks in the zone show them."""
    from datetime import UTC, datetime

    now = datetime.now(ZoneInfo(zone) if zone else UTC)
    return now.date().isoformat(), now.strftime("%H:%M")


def zone_here() -> str:
    """The zone of this machine, if it says which; else nothing, which means UTC."""
    named = os.environ.get("TZ", "").removeprefix(":")
    _, _, linked = os.path.realpath("/etc/localtime").partition("/zoneinfo/")
    for name in (named, linked):
        if name:
            try:
                return ZoneInfo(name).key
            except (OSError, ValueError):
                continue
    return ""
