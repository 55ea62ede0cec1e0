"""An event's folder, read whole or not at all, and checks of single files.

event.toml, people.csv, heats.csv and workouts/ must be there; cards/ may be; what
else lies in the folder is not ours. people.csv and heats.csv may hold a header alone.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, TypeVar

from judgekit.core.errors import InputError, Problem
from judgekit.core.values import dataclass
from judgekit.core.workout import LighterBody
from judgekit.files.cleaning import clean
from judgekit.files.eventfile import divisions_in, read_event
from judgekit.files.eventfolder import EventFolder
from judgekit.files.library import (
    CardFile,
    advice_on,
    load_library,
    open_library,
    own_cards,
    read_file,
    with_overlays,
)
from judgekit.files.tables import entrants_in, read_heats, read_people
from judgekit.files.wording import one_of, quoted
from judgekit.files.workoutfile import read_workout

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

    from judgekit.core.card import Card
    from judgekit.core.people import Athlete, Division, Event, HeatLane
    from judgekit.core.workout import Workout

__all__ = ["EventFolder", "check_paths", "load_event"]

_EVENT, _PEOPLE, _HEATS = "event.toml", "people.csv", "heats.csv"
_WORKOUTS, _CARDS = "workouts", "cards"

T = TypeVar("T")


def load_event(
    folder: Path,
    *,
    shown: str | None = None,
    actions: Collection[str] | None = None,
    library: Mapping[str, CardFile] | None = None,
) -> EventFolder:
    """The event in a folder; InputError holds every problem of every file of it.

    Of the cards that come with judgekit those are read that the event needs. `shown`
    is the folder as the user gave it. `actions` are what [keys] may name (None: not
    checked), `library` the cards to start from (None: those that come with judgekit).
    """
    place = _Place(folder=folder, shown=str(folder) if shown is None else shown)
    try:
        found, problems = _gather(place, actions, library, open_library)
    except OSError as error:
        raise InputError([_closed(place.shown, error)]) from error
    if found is None:
        raise InputError(_sorted(problems))
    return found


def check_paths(
    paths: Sequence[Path],
    *,
    actions: Collection[str] | None = None,
    library: Mapping[str, CardFile] | None = None,
) -> tuple[Problem, ...]:
    """Problems and advice of event folders, card folders and single files, sorted.

    A single file of an event is checked with the rest of the event around it. Never
    raises for what stands in the files.
    """
    problems: list[Problem] = []
    for path in paths:
        try:
            check = _check_folder if path.is_dir() else _check_file
            problems += check(path, actions, library)
        except OSError as error:
            problems.append(_closed(str(path), error))
    return tuple(_sorted(problems))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """A folder, and its path as the user gave it."""

    folder: Path
    shown: str

    def inside(self, *names: str) -> tuple[Path, str]:
        """A path inside, and how it is shown."""
        shown = PurePath(self.shown, *(clean(name) for name in names))
        return self.folder.joinpath(*names), str(shown)


def _closed(shown: str, error: OSError) -> Problem:
    what = f"a folder here cannot be read ({error.strerror})"
    return Problem(file=shown, line=1, what=what, right="check its permissions")


def _sorted(problems: Iterable[Problem]) -> list[Problem]:
    once = dict.fromkeys(problems)
    return sorted(once, key=lambda problem: (problem.file, problem.line))


def _kept(problems: list[Problem], read: Callable[[], T]) -> T | None:
    """What was read, or None with its problems added."""
    try:
        return read()
    except InputError as error:
        problems.extend(error.problems)
        return None


def _gather(
    place: _Place,
    actions: Collection[str] | None,
    library: Mapping[str, CardFile] | None,
    read: Callable[[], Mapping[str, CardFile]] = load_library,
) -> tuple[EventFolder | None, list[Problem]]:
    """The event, or None where anything is wrong; and all problems and advice.

    `read` gives the library where there is none yet.
    """
    if not place.folder.is_dir():
        what = "there is no such folder"
        return None, [Problem(file=place.shown, line=1, what=what)]
    problems: list[Problem] = []
    base = _kept(problems, read) if library is None else library
    cards = None if base is None else _cards(place, base, problems)
    against = cards if cards is not None else _library_alone(place, base)
    event = _event(place, against, actions, problems)
    divisions = divisions_in(place.inside(_EVENT)[0])
    athletes = _athletes(place, divisions, problems)
    workouts = _workouts(place, divisions or (), against, problems)
    heats = _heats(place, event, workouts, problems)
    if event is not None:
        _check_overall(place, event, workouts, problems)
    if cards is None or event is None or athletes is None or heats is None:
        return None, problems
    if any(not problem.advice for problem in problems):
        return None, problems
    problems += _unweighed(place, heats, athletes, workouts)
    found = EventFolder(
        folder=place.folder,
        event=event,
        athletes=athletes,
        heats=heats,
        workouts={name: workout for name, workout in workouts.items() if workout},
        cards=cards,
        advice=tuple(_sorted(problems)),
    )
    return found, problems


def _cards(
    place: _Place, base: Mapping[str, CardFile], problems: list[Problem]
) -> Mapping[str, Card] | None:
    path, shown = place.inside(_CARDS)
    return _kept(problems, lambda: with_overlays(base, path, shown))


def _library_alone(
    place: _Place, base: Mapping[str, CardFile] | None
) -> dict[str, Card] | None:
    """The library's cards where the event's own only change some of those, else None.

    The rest of the event is checked against them while its own cards are wrong.
    """
    own = _toml_files(place.inside(_CARDS)[0])
    if base is None or any(path.stem not in base for path in own):
        return None
    return {card_id: file.card for card_id, file in base.items()}


def _event(
    place: _Place,
    cards: Mapping[str, Card] | None,
    actions: Collection[str] | None,
    problems: list[Problem],
) -> Event | None:
    path, shown = place.inside(_EVENT)
    event = _kept(
        problems, lambda: read_event(path, shown, cards=cards, actions=actions)
    )
    if event and not event.zone_given:
        problems.append(
            Problem(
                file=shown,
                line=1,
                what="no zone is given, so clock times are taken as UTC",
                right='add zone = "Europe/Berlin" or yours',
                advice=True,
            )
        )
    return event


def _check_overall(
    place: _Place,
    event: Event,
    workouts: Mapping[str, Workout | None],
    problems: list[Problem],
) -> None:
    """Whether [overall] names only workouts that are there, or parts placed apart."""
    known = set(workouts)
    for name, workout in workouts.items():
        if workout is not None and workout.score == "placing":
            known |= {f"{name}.{part.id}" for part in workout.parts if part.movements}
    named = (*event.overall.weights, *event.overall.by_result)
    for name in dict.fromkeys(name for name, _ in named):
        if name not in known:
            what = f"[overall] names {quoted(name)}, which is no workout of the event"
            right = one_of(name, sorted(known)) if known else ""
            shown = place.inside(_EVENT)[1]
            problems.append(Problem(file=shown, line=1, what=what, right=right))


def _athletes(
    place: _Place, divisions: Sequence[Division] | None, problems: list[Problem]
) -> tuple[Athlete, ...] | None:
    path, shown = place.inside(_PEOPLE)
    read = _kept(problems, lambda: read_people(path, shown, divisions))
    if read is None:
        return None
    problems.extend(read[1])
    return read[0]


def _heats(
    place: _Place,
    event: Event | None,
    workouts: Mapping[str, Workout | None],
    problems: list[Problem],
) -> tuple[HeatLane, ...] | None:
    path, shown = place.inside(_HEATS)
    for_teams = [name for name, workout in workouts.items() if workout and workout.team]
    entrants = entrants_in(place.inside(_PEOPLE)[0], for_teams)
    read = _kept(
        problems,
        lambda: read_heats(
            path, shown, event=event, entrants=entrants, workouts=workouts
        ),
    )
    if read is None:
        return None
    problems.extend(read[1])
    return read[0]


def _unweighed(
    place: _Place,
    heats: Iterable[HeatLane],
    athletes: Iterable[Athlete],
    workouts: Mapping[str, Workout | None],
) -> list[Problem]:
    """Athletes without a body mass whom a tie-break by body mass would need."""
    unknown = {athlete.bib for athlete in athletes if athlete.body_mass is None}
    found = []
    for name, workout in workouts.items():
        rows = {row.bib for row in heats if row.workout == name} & unknown
        if workout and LighterBody() in workout.tiebreaks and rows:
            found.append(
                Problem(
                    file=place.inside(_PEOPLE)[1],
                    line=1,
                    what=f"{len(rows)} in {name} without body-mass, and its tie-break "
                    "puts the lighter first",
                    right="weigh them, or take the tie-break out",
                    advice=True,
                )
            )
    return found


def _workouts(
    place: _Place,
    divisions: Sequence[Division],
    cards: Mapping[str, Card] | None,
    problems: list[Problem],
) -> dict[str, Workout | None]:
    """Each workout by its file's name; None for one that is wrong or unchecked."""
    folder, shown = place.inside(_WORKOUTS)
    if not folder.is_dir():
        what = "there is no such folder"
        right = "make it, with a .toml file for each workout"
        problems.append(Problem(file=shown, line=1, what=what, right=right))
    found: dict[str, Workout | None] = {}
    for path in _toml_files(folder):
        _, name = place.inside(_WORKOUTS, path.name)
        found[path.stem] = _workout(path, name, divisions, cards, problems)
    return found


def _workout(
    path: Path,
    shown: str,
    divisions: Sequence[Division],
    cards: Mapping[str, Card] | None,
    problems: list[Problem],
) -> Workout | None:
    if cards is None:
        what = "not checked, since some of the event's cards are wrong"
        problems.append(
            Problem(file=shown, line=1, what=what, right="mend those", advice=True)
        )
        return None
    return _kept(problems, lambda: read_workout(path, shown, cards, divisions))


def _toml_files(folder: Path) -> list[Path]:
    """The TOML files directly in a folder, sorted; none where there is no folder."""
    if not folder.is_dir():
        return []
    return sorted(
        path
        for path in folder.iterdir()
        if path.suffix == ".toml" and path.name[0] != "." and not path.is_dir()
    )


def _is_event(folder: Path) -> bool:
    return any((folder / name).exists() for name in (_EVENT, _PEOPLE, _HEATS))


def _check_folder(
    path: Path,
    actions: Collection[str] | None,
    library: Mapping[str, CardFile] | None,
) -> list[Problem]:
    place = _Place(folder=path, shown=str(path))
    if _is_event(path):
        found = _gather(place, actions, library)[1]
        return [*found, *_advice_on_own(place, library)]
    around = path.absolute()
    if around.name == _WORKOUTS or _is_event(around.parent):
        inside = _toml_files(path)
        return [p for file in inside for p in _check_file(file, actions, library)]
    if _toml_files(path):
        problems: list[Problem] = []
        cards = _kept(problems, lambda: load_library(path))
        return [*problems, *advice_on((cards or {}).values())]
    what = "the folder holds nothing to check"
    right = "give an event's folder, or one of cards or workouts"
    return [Problem(file=str(path), line=1, what=what, right=right)]


def _check_file(
    path: Path,
    actions: Collection[str] | None,
    library: Mapping[str, CardFile] | None,
) -> list[Problem]:
    whole = path.absolute()
    problems: list[Problem] = []
    if whole.name in (_EVENT, _PEOPLE, _HEATS):
        return _of_event(path, whole.parent, actions, library)
    if path.suffix != ".toml":
        what = "this is no file that can be checked"
        right = "give a .toml file, people.csv, heats.csv or an event's folder"
        return [Problem(file=str(path), line=1, what=what, right=right)]
    if whole.parent.name in (_WORKOUTS, _CARDS) and _is_event(whole.parent.parent):
        return _of_event(path, whole.parent.parent, actions, library)
    if whole.parent.name == _WORKOUTS or _is_workout(path):
        base = _kept(problems, load_library) if library is None else library
        cards = None if base is None else {i: file.card for i, file in base.items()}
        _workout(path, str(path), (), cards, problems)
    else:
        card = _kept(problems, lambda: read_file(path, str(path.parent)))
        problems += advice_on([card] if card is not None else [])
    return problems


def _is_workout(path: Path) -> bool:
    """Whether a file tells by itself, wherever it lies, that it is a workout."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return bool({"score", "part"} & table.keys())


def _advice_on_own(
    place: _Place, library: Mapping[str, CardFile] | None
) -> tuple[Problem, ...]:
    """What would make an event's own cards better to judge by."""
    path, shown = place.inside(_CARDS)
    if not path.is_dir():
        return ()
    base = open_library() if library is None else library
    return advice_on(own_cards(base, path, shown).values())


def _of_event(
    path: Path,
    folder: Path,
    actions: Collection[str] | None,
    library: Mapping[str, CardFile] | None,
) -> list[Problem]:
    """What is wrong with one file of an event, known from checking all of it."""
    if not path.exists():
        return [Problem(file=str(path), line=1, what="there is no such file")]
    place = _Place(folder=folder, shown=str(folder))
    names = path.absolute().relative_to(folder).parts
    _, shown = place.inside(*names)
    return [
        replace(problem, file=str(path))
        for problem in _gather(place, actions, library)[1]
        if problem.file == shown
    ]
