"""`judgekit new`: a small event to edit."""

from __future__ import annotations

import secrets
from pathlib import Path

import click

from judgekit.cli.output import say

EVENT = """\
# One day: its name and date, who may enter what, who judges.
# After every change:   judgekit check {folder}

name = "{name}"
date = {date}
zone = "UTC"                    # where the clock times hold, such as "Europe/Berlin"
# place = "hall and street"
units = "kg"

# A division's standard picks loads and heights in cards and workouts.
[[division]]
id = "women"
name = "Women"
standard = "women"

[[division]]
id = "men"
name = "Men"
standard = "men"

[[judge]]
id = "first"
name = "First judge"

[[judge]]
id = "second"
name = "Second judge"

[settings]
doubt = "athlete"               # or "no-rep": what a judge does when unsure
early-start = "no-rep"          # or "seconds", "counts": a rep before a rest is over
cues = "off"                    # "on": letters of cue faults note them
watching = "judged"             # "reported": athletes say what they did, as in a class
lane-check = "on"               # "off": nothing is looked at before go
# "wall-ball-shot.line" = "above"       # a card's own setting

# Extra keys for number pads and two-button remotes:
# [keys]
# good = ["pagedown"]
# no-rep = ["pageup"]

# How many lanes share one of a piece of equipment, by its name on a card; the briefing
# counts what the floor needs:
# [shared]
# "rowing machine" = 2

[emergency]
call = "112"
say = "the address, and which gate"
# defibrillator = "on which wall"
# first-aid = "who"
"""

PEOPLE = """\
bib,name,division
1,First Athlete,women
2,Second Athlete,men
"""

HEATS = """\
heat,start,workout,lane,bib,judge
1,10:00,first-steps,1,1,first
1,10:00,first-steps,2,2,second
"""

WORKOUT = """\
# For time: three rounds, a rest of one's own, then two more.
id = "first-steps"
name = "First Steps"
revision = 1
score = "time"                  # or "reps", for a window
rest = "excluded"               # planned rest comes off the score; or "included"
cap = "12:00"                   # on the running clock, rests included
capped = "below"                # or "second-per-rep"

[[part]]
id = "A"
rounds = 3
[[part.movement]]
card = "air-squat"              # judgekit cards lists them all
reps = [15, 12, 9]              # one number for each round, or one for all
[[part.movement]]
card = "push-up"
reps = 8

[[part]]
rest = "1:00"                   # from each athlete's own end of part A

[[part]]
id = "B"
rounds = 2
[[part.movement]]
card = "sit-up"
reps = 12
"""


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path))
def command(folder: Path) -> None:
    """Write a small event to edit: two athletes, one heat, one workout.

    Never into a folder that is there already.
    """
    if folder.exists():
        raise click.UsageError(f"{folder} is there already; nothing was written")
    write_event(folder)
    say(
        f"A new event is in {folder}. Next:\n"
        f"  edit event.toml, people.csv, heats.csv and workouts/first-steps.toml\n"
        f"  judgekit check {folder}\n"
        f"  judgekit floor {folder} --heat 1 --lane 1"
    )


def write_event(folder: Path) -> None:
    """The event's files; the folder is there whole or not at all."""
    from judgekit.desk.clock import SystemClock
    from judgekit.files.cleaning import clean
    from judgekit.reports.logtext import wall_text

    date = wall_text(SystemClock().wall_ms(), "UTC")[:10]
    words = folder.name.replace("-", " ").replace('"', "").replace("\\", "")
    name = clean(words) or "My event"
    event = EVENT.format(
        folder=clean(str(folder)), name=name[0].upper() + name[1:], date=date
    )
    files = {
        "event.toml": event,
        "people.csv": PEOPLE,
        "heats.csv": HEATS,
        "workouts/first-steps.toml": WORKOUT,
    }
    folder.parent.mkdir(parents=True, exist_ok=True)
    part = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}.part")
    (part / "workouts").mkdir(parents=True)
    for path, text in files.items():
        (part / path).write_text(text, encoding="utf-8")
    part.rename(folder)
