"""An event and its log, as the commands need them; commands import it when they run."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from judgekit.cli.asked import check_heat, log_of
from judgekit.cli.output import DONE, WRONG, say_all
from judgekit.core.errors import InputError, JudgekitError
from judgekit.core.twojudges import score_of_both
from judgekit.core.values import dataclass
from judgekit.desk.clock import SystemClock
from judgekit.files.eventfolder import EventFolder
from judgekit.reports.names import unscored_words
from judgekit.reports.standings import Result
from judgekit.store.folder import look
from judgekit.store.reading import EventRead, LaneRead, lanes_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from judgekit.core.people import HeatLane
    from judgekit.store.folder import Found


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """An event's lanes, the files if they can be read, and the exit code so far.

    `wall` is when it was looked at, in ms since 1970.
    """

    folder: EventFolder | None
    read: EventRead
    code: int
    wall: int

    @property
    def judges(self) -> dict[str, str]:
        """The names of the event's judges by their ids."""
        judges = self.folder.event.judges if self.folder is not None else ()
        return {judge.id: judge.name for judge in judges}


def look_at(
    event: str,
    heat: str | None = None,
    tell: Callable[[Iterable[object]], None] = say_all,
    files: Callable[[], EventFolder] | None = None,
) -> Looked:
    """Every lane of an event, or of one heat; what is wrong is said on stderr.

    A log says what happened without the event's files. If those are broken it is read
    all the same, and the exit code tells. `files` gives them where something else
    reads them meanwhile: they are not needed before the log was looked through.
    """
    log = log_of(event)
    found = look(log, heat)
    folder: EventFolder | None = None
    try:
        folder = files() if files is not None else _load(event)
    except InputError as error:
        if not log.is_dir():
            raise
        tell(error.problems)
    looked = _looked(folder, found, heat)
    tell(looked.read.wrong)
    return looked


def look_quietly(event: str) -> Looked | None:
    """The same with nothing said; None while files or log cannot be read."""
    try:
        return _looked(_load(event), look(log_of(event)), None)
    except JudgekitError:
        return None


def _load(event: str) -> EventFolder:
    """Imported here: whoever has the files read elsewhere needs no reader of them."""
    from judgekit.cli.eventfiles import load

    return load(event)


def _looked(folder: EventFolder | None, found: Found, heat: str | None) -> Looked:
    if folder is None:
        read = lanes_of(found, heat)
    else:
        read = lanes_of(found, heat, rows=folder.heats, resolve=folder.plan_of)
    unscored = any(not lane.scored for lane in read.lanes)
    wrong = folder is None or bool(read.wrong) or unscored
    code = WRONG if wrong else DONE
    return Looked(folder=folder, read=read, code=code, wall=SystemClock().wall_ms())


def the_row(folder: EventFolder, heat: str, lane: int) -> HeatLane:
    """The lane's row of the heat list, or the command cannot be used."""
    rows = folder.lanes(heat)
    check_heat(heat, folder.heat_names())
    for row in rows:
        if row.lane == lane:
            return row
    known = ", ".join(str(row.lane) for row in rows)
    raise click.UsageError(f"heat {heat} has no lane {lane}; it has {known}")


def result_of(read: LaneRead, wall: int) -> Result:
    """A lane with its score at a moment; a team's is the lower of its two judges'."""
    return Result(
        lane=read.lane,
        score=score_of_both(read.lane, read.second, wall),
        unscored=unscored_words(read.runs, read.run),
        beside=read.beside,
    )
