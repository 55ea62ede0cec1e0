"""The folder of a class: an event that was written from a workout and some names.

What holds for the gym (place, zone, who to call, discs, what lanes share, extra keys)
is taken over from the newest event beside it.
"""

from __future__ import annotations

import secrets
import shutil
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING

import tomli_w

from judgekit.core.classmates import MOST_LANES, Classmate
from judgekit.core.errors import InputError, Problem
from judgekit.core.values import dataclass
from judgekit.core.workout import Workout
from judgekit.files.classrows import (
    ALL,
    COACH,
    HEAD,
    HEATS,
    PEOPLE,
    csv_of,
    lists_alone,
    row_of_person,
    rows_added,
    start_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from judgekit.core.people import HeatLane
    from judgekit.files.eventfolder import EventFolder

_OF_THE_GYM = ("place", "zone", "units", "keys", "plates", "shared", "emergency")
# They may speak of cards and keys that this class does not have.
_MAY_NOT_HOLD = ("shared", "keys", "plates")
_LISTS = ("people.csv", "heats.csv")
_NONE: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class NewClass:
    """What a class is made of: `source` is the workout's file, `start` is "HH:MM"."""

    workout: Workout
    source: Path
    mates: tuple[Classmate, ...]
    standards: tuple[str, ...]
    date: str
    start: str
    zone: str = ""
    reported: bool = True


def gym_tables(events: Iterable[Path]) -> dict[str, object]:
    """What the newest of some events says about the gym; nothing if none is read."""
    newest: tuple[str, dict[str, object]] | None = None
    for folder in events:
        try:
            table = tomllib.loads((folder / "event.toml").read_text(encoding="utf-8"))
        except (OSError, ValueError):
            continue
        date = str(table.get("date", ""))
        if newest is None or date >= newest[0]:
            newest = date, {k: v for k, v in table.items() if k in _OF_THE_GYM}
    return newest[1] if newest else {}


def write_class(
    folder: Path,
    new: NewClass,
    gym: Mapping[str, object],
    check: Callable[[Path], object],
) -> tuple[str, ...]:
    """Write the folder, whole or not at all; it must not be there yet.

    `check` raises InputError for an event that cannot be used. What of the gym does not
    hold with this class's cards is left out, and named.
    """
    folder.parent.mkdir(parents=True, exist_ok=True)
    part = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}.part")
    (part / "workouts").mkdir(parents=True)
    event = HEAD + tomli_w.dumps(_event(new, gym))
    (part / "event.toml").write_text(event, encoding="utf-8")
    target = part / "workouts" / f"{new.workout.id}.toml"
    target.write_bytes(new.source.read_bytes())
    overlays = new.source.parent.parent / "cards"
    if new.source.parent.name == "workouts" and overlays.is_dir():
        shutil.copytree(overlays, part / "cards")
    people, heats = rows_of(new, 1)
    (part / "people.csv").write_text(csv_of([PEOPLE, *people]), encoding="utf-8")
    (part / "heats.csv").write_text(csv_of([HEATS, *heats]), encoding="utf-8")
    try:
        left_out = _checked(part, new, dict(gym), check)
    except InputError:
        shutil.rmtree(part)
        raise
    part.rename(folder)
    return left_out


def _checked(
    part: Path, new: NewClass, gym: dict[str, object], check: Callable[[Path], object]
) -> tuple[str, ...]:
    """Leave out what does not hold, one thing after another."""
    left_out: list[str] = []
    for name in (*_MAY_NOT_HOLD, ""):
        try:
            check(part)
        except InputError:
            if not name:
                raise
            if gym.pop(name, None) is not None:
                left_out.append(name)
            event = HEAD + tomli_w.dumps(_event(new, gym))
            (part / "event.toml").write_text(event, encoding="utf-8")
        else:
            break
    return tuple(left_out)


def add_mates(
    folder: Path,
    new: NewClass,
    there: EventFolder,
    check: Callable[[Path], object],
) -> None:
    """Late comers, in lanes after the others'. What stands in the files stays.

    Where the class could not be used with them, InputError, and nothing has changed.
    """
    people, heats = rows_of(new, len(there.athletes) + 1, _starts(there.heats))
    taken = {athlete.bib for athlete in there.athletes}
    if taken & {row[0] for row in people}:
        what = "the bibs in people.csv are not numbered from 1 on any more"
        right = "add the row there and in heats.csv"
        raise InputError(
            [Problem(file=str(folder / "people.csv"), line=1, what=what, right=right)]
        )
    more = dict(zip(_LISTS, (people, heats), strict=True))
    with lists_alone(folder), rows_added(folder, more):
        check(folder)


def _starts(heats: Iterable[HeatLane]) -> dict[str, str]:
    """When each heat starts, as heats.csv has it."""
    return {row.heat: start_of(row) for row in heats}


def rows_of(
    new: NewClass, first: int, starts: Mapping[str, str] = _NONE
) -> tuple[list[tuple[str, ...]], list[tuple[str, ...]]]:
    """The rows of people.csv and heats.csv, bibs from `first` on, twelve to a heat.

    `starts` are those of heats that are there already.
    """
    people: list[tuple[str, ...]] = []
    heats: list[tuple[str, ...]] = []
    for number, mate in enumerate(new.mates, first):
        heat, lane = divmod(number - 1, MOST_LANES)
        bib = str(number)
        people.append(row_of_person(bib, mate))
        named = str(heat + 1)
        start = starts.get(named, new.start)
        where = named, start, new.workout.id, str(lane + 1)
        heats.append((*where, bib, COACH))
    return people, heats


def _event(new: NewClass, gym: Mapping[str, object]) -> dict[str, object]:
    from datetime import date

    divisions = new.standards or (ALL,)
    zone = {"zone": new.zone} if new.zone else {}
    settings = {
        "cues": "on",
        "lane-check": "off",
        **({"watching": "reported"} if new.reported else {}),
    }
    return {
        "name": f"{new.workout.name}, class",
        "date": date.fromisoformat(new.date),
        **zone,
        **gym,
        "division": [{"id": d, "name": _title(d), "standard": d} for d in divisions],
        "judge": [{"id": COACH, "name": "Coach"}],
        "settings": settings,
    }


def _title(division: str) -> str:
    words = division.replace("-", " ")
    return words[:1].upper() + words[1:]
