"""The events of the past: the folders beside one, who took part in them, and when.

Of each only event.toml, people.csv and heats.csv are read: what was done stands in its
log, and its workouts and cards may have changed since. A folder that cannot be read
is named and left out.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.core.errors import InputError
from judgekit.core.people import Athlete
from judgekit.core.values import dataclass
from judgekit.files.cleaning import clean
from judgekit.files.eventfile import read_event
from judgekit.files.siblings import folders_in
from judgekit.files.tables import read_heats, read_people

if TYPE_CHECKING:
    from collections.abc import Mapping


_EVENT, _PEOPLE, _HEATS = "event.toml", "people.csv", "heats.csv"
_FILES = {_EVENT, _PEOPLE, _HEATS}


@dataclass(frozen=True, slots=True, kw_only=True)
class PastEvent:
    """An event's folder, who took part, and the days of its heats."""

    folder: Path
    shown: str
    athletes: tuple[Athlete, ...]
    dates: frozenset[str]

    @property
    def persons(self) -> Mapping[str, str]:
        """Which person each bib is; empty for one without an id in people.csv."""
        return {athlete.bib: athlete.person for athlete in self.athletes}

    @property
    def log(self) -> Path:
        """Where the event's books are."""
        return self.folder / "log"


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Events in the order of their folders' names, and what could not be read."""

    events: tuple[PastEvent, ...]
    left_out: tuple[str, ...]


def read_history(event: Path, history: Path | None = None) -> History:
    """The events beside `event`, or in the folder `history`; never `event` itself.

    A folder that holds none of the three files is no event, and nothing is said of it.
    Raises InputError if there is no such folder `history`, or it cannot be listed.
    """
    place = event.resolve().parent if history is None else history
    events: list[PastEvent] = []
    left_out: list[str] = []
    for folder in folders_in(place, event):
        shown = str(place / clean(folder.name))
        try:
            if _FILES & {path.name for path in folder.iterdir()}:
                events.append(_read(folder, shown))
        except InputError as error:
            left_out.append(f"{shown} is left out: {_first(error)}")
        except OSError as error:
            left_out.append(f"{shown} is left out: it cannot be read, {error.strerror}")
    return History(events=tuple(events), left_out=tuple(left_out))


def _read(folder: Path, shown: str) -> PastEvent:
    event = read_event(folder / _EVENT, f"{shown}/{_EVENT}", cards=None, actions=None)
    athletes, _ = read_people(folder / _PEOPLE, f"{shown}/{_PEOPLE}", None)
    heats, _ = read_heats(
        folder / _HEATS, f"{shown}/{_HEATS}", event=event, entrants=None, workouts=None
    )
    return PastEvent(
        folder=folder,
        shown=shown,
        athletes=athletes,
        dates=frozenset({event.date, *(heat.date for heat in heats)}),
    )


def _first(error: InputError) -> str:
    """The first thing wrong, and how many more there are."""
    wrong = [problem for problem in error.problems if not problem.advice]
    more = len(wrong) - 1
    return f"{wrong[0]}{f' (and {more} more)' if more else ''}"
