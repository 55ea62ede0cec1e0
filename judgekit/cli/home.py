"""`judgekit` alone: in an event's folder its heats, elsewhere how to begin."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE

if TYPE_CHECKING:
    from judgekit.files.eventfolder import EventFolder
    from judgekit.ui.views.home import HeatRow

HOW_TO_BEGIN = """\
There is no event in this folder.

  judgekit demo              try it: an invented event, lane 1 of heat 1 is yours
  judgekit new               answer a dozen questions, and a workout is written
  judgekit class WORKOUT "Ana, Bo, Cy"
                             a class from it, with nothing else written
  judgekit new my-event      a small event of your own to edit
  judgekit floor my-event --heat 1 --lane 1

judgekit --help lists everything else.
"""


def home() -> int:
    """The heats of the event in this folder, or how to begin; the exit code."""
    if not Path("event.toml").is_file():
        click.echo(HOW_TO_BEGIN, nl=False)
        return DONE
    from judgekit.cli.eventfiles import load
    from judgekit.cli.floor import sit_down
    from judgekit.desk.wish import Wish
    from judgekit.ui.start import run_home
    from judgekit.ui.views.home import ToAll, ToBrief

    folder = load(".")
    while True:
        code, chosen = run_home(folder.event.name, rows_of(folder))
        if chosen is None:
            return code
        if isinstance(chosen, ToBrief):
            code = brief(folder, chosen.row)
            if code:
                return code
            continue
        lanes: tuple[int, ...]
        if isinstance(chosen, ToAll):
            heat = chosen.row.heat
            lanes = tuple(row.lane for row in folder.lanes(heat))
        else:
            heat, lanes = chosen.heat, (chosen.lane,)
        code = sit_down(folder, Wish(heat=heat, lanes=lanes))
        if code:
            return code


def brief(folder: EventFolder, row: HeatRow) -> int:
    """The briefing of one heat on the screen; the exit code."""
    from judgekit.cli.brief import briefs_of, show
    from judgekit.cli.eventlog import look_at

    looked = look_at(str(folder.folder))
    return show(briefs_of(folder, looked.read, (None, row.heat), {}))


def rows_of(folder: EventFolder) -> tuple[HeatRow, ...]:
    """Every lane of the heat list, and how far it is."""
    from judgekit.cli.eventlog import look_at
    from judgekit.ui.views.home import heat_rows

    looked = look_at(str(folder.folder))
    return heat_rows(
        folder.heats,
        folder.athletes,
        {workout.id: workout.name for workout in folder.workouts.values()},
        {(lane.heat, lane.number): lane.counted for lane in looked.read.lanes},
        for_teams={one.id for one in folder.workouts.values() if one.team},
    )
