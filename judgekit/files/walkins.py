"""Somebody who walks into a class in mid-heat: into its own files, and found before.

Only a class that judgekit wrote takes anybody in here: what a coach wrote is never
written to by a heat.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.classmates import (
    MOST_LANES,
    Classmate,
    bearers,
    joined,
    strangers,
    with_persons,
)
from judgekit.core.errors import InputError, Problem
from judgekit.files.classrows import (
    is_class,
    lists_alone,
    row_of_heat,
    row_of_person,
    rows_added,
)
from judgekit.files.cleaning import clean
from judgekit.files.tables import entrants_in, read_heats, read_people

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.people import Athlete
    from judgekit.files.eventfolder import EventFolder

_PEOPLE, _HEATS = LISTS = ("people.csv", "heats.csv")
_LONGEST = 40


def takes_walk_ins(folder: EventFolder) -> bool:
    """Whether it is a class whose files judgekit keeps."""
    return is_class(folder.folder)


def who_may_it_be(folder: EventFolder, mate: Classmate) -> tuple[Classmate, ...]:
    """Everybody whom a name typed on the Floor may mean, each wholly said.

    In each division it is somebody new, or the one person of an earlier event who
    bears the name. InputError where nobody of that name can come in.
    """
    name = clean(mate.name, _LONGEST)
    there = as_written(folder)
    _check_new(there, name)
    earlier = tuple(_earlier(folder.folder))
    taken = {one.person for one in (*there.athletes, *earlier) if one.person}
    [new] = with_persons([replace(mate, name=name)], taken)
    found = bearers(new, earlier)
    divisions = [division.id for division in folder.event.divisions]
    whos = [new]
    if len(found) == 1:
        whos = [joined(new, found[0], divisions), new]
    return tuple(
        replace(who, division=division)
        for who in whos
        for division in _first(divisions, who.division)
    )


def _check_new(there: EventFolder, name: str) -> None:
    if not strangers([Classmate(name=name)], there.athletes):
        raise refused(there, f"{name} is in this class already", "add a letter")


def _first(divisions: list[str], known: str) -> list[str]:
    """The divisions, that which is known of somebody before the others."""
    return sorted(divisions, key=lambda division: division != known)


def add_walk_in(
    folder: EventFolder, heat: str, mate: Classmate
) -> tuple[EventFolder, int]:
    """The class with one more in a heat, and their lane; both lists are written.

    InputError, and nothing has changed, where the heat is full or they do not fit.
    """
    with lists_alone(folder.folder):
        return _add(folder, heat, mate)


def _add(folder: EventFolder, heat: str, mate: Classmate) -> tuple[EventFolder, int]:
    there = as_written(folder)
    # Another desk may have taken them in since their name was typed.
    _check_new(there, mate.name)
    rows = there.lanes(heat)
    lane = max((row.lane for row in rows), default=0) + 1
    if lane > MOST_LANES:
        what = f"heat {heat} has all of its {MOST_LANES} lanes"
        right = "close it, and type judgekit class with the name: a heat more"
        raise refused(folder, what, right)
    bib = str(len(there.athletes) + 1)
    if there.athlete(bib) is not None:
        what = "the bibs in people.csv are not numbered from 1 on any more"
        raise refused(folder, what, "add the row there and in heats.csv")
    more = {
        _PEOPLE: [row_of_person(bib, mate)],
        _HEATS: [row_of_heat(rows[-1], lane, bib)],
    }
    with rows_added(folder.folder, more):
        found = as_written(folder)
        found.plan_of(found.lanes(heat)[-1], ())
    return found, lane


def as_written(folder: EventFolder) -> EventFolder:
    """The event with its lists as they are by now: names may have been added since."""
    people, heats = folder.folder / _PEOPLE, folder.folder / _HEATS
    teams = [name for name, one in folder.workouts.items() if one.team]
    athletes, _ = read_people(people, str(people), folder.event.divisions)
    rows, _ = read_heats(
        heats,
        str(heats),
        event=folder.event,
        entrants=entrants_in(people, teams),
        workouts=folder.workouts,
    )
    return replace(folder, athletes=athletes, heats=rows)


def _earlier(folder: Path) -> Iterator[Athlete]:
    """Everybody in the events beside a folder, as far as their lists can be read."""
    here = folder.resolve()
    for path in sorted(here.parent.glob(f"*/{_PEOPLE}")):
        if path.parent == here or path.parent.name.startswith("."):
            continue
        try:
            athletes, _ = read_people(path, str(path), None)
        except (InputError, OSError):
            continue
        yield from athletes


def refused(folder: EventFolder, what: str, right: str) -> InputError:
    """Why nobody is taken in, and what would be right."""
    file = str(folder.folder / _PEOPLE)
    return InputError([Problem(file=file, line=1, what=what, right=right)])
