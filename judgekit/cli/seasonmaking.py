"""The events of a season: what is kept of each, made anew where it is old.

Nothing is passed over in silence: an event that is left out, a damaged log, a lane
that is disputed between two desks. A copy of an event counts once.
"""

from __future__ import annotations

import sys
from contextlib import suppress
from hashlib import sha256
from typing import TYPE_CHECKING, NamedTuple

import click

from judgekit.core.errors import BookError, InputError
from judgekit.core.values import dataclass
from judgekit.files.cleaning import clean, quoted
from judgekit.files.siblings import folders_in
from judgekit.store.collector import collector_still
from judgekit.store.newest import newest_entries
from judgekit.store.seasonkept import (
    Bound,
    Kept,
    KeptLane,
    Told,
    Who,
    day_path,
    keep,
    kept,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.people import Athlete
    from judgekit.review.attempts import LaneRows
    from judgekit.store.reading import LaneRead
    from judgekit.store.seasonask import File


class Event(NamedTuple):
    """An event's folder and what is kept of it."""

    folder: Path
    kept: Kept


@dataclass(frozen=True, slots=True, kw_only=True)
class Events:
    """The events of a season in the order of their folders, and what is wrong."""

    found: tuple[Event, ...]
    said: tuple[str, ...]

    def days(self, since: str, until: str) -> list[tuple[Event, str]]:
        """The days from one to another, both in it; empty is no limit."""
        return [
            (event, day)
            for event in self.found
            for day in event.kept.days
            if since <= day and (not until or day <= until)
        ]


def events_in(place: Path) -> Events:
    """Every event with a log in the folder.

    Raises InputError if there is no such folder.
    """
    logs = [log for folder in folders_in(place) if (log := _seen(place, folder))]
    made = {log.folder: log.made for log in logs}
    old = [log for log in logs if log.made is None]
    hidden = not (old and sys.stderr.isatty())
    with click.progressbar(
        old, label="events read", file=sys.stderr, hidden=hidden
    ) as bar:
        made |= {log.folder: _read_anew(log) for log in bar}
    found: list[Event] = []
    said: list[str] = []
    for log in logs:
        one = made[log.folder]
        if isinstance(one, Kept):
            found.append(Event(log.folder, one))
            said += (f"{log.shown}: {what}" for what in one.said)
        else:
            said.append(f"{log.shown} is left out: {one}")
    return Events(found=tuple(found), said=tuple(said))


class _Log(NamedTuple):
    """An event's log: what its files would be bound to, and what is made of it.

    A damaged one is bound to nothing. Where `made` is a text it cannot be read.
    """

    folder: Path
    shown: str
    bound: Bound | None = None
    made: Kept | str | None = None


def _seen(place: Path, folder: Path) -> _Log | None:
    """The log of a folder; None where there is none."""
    shown = str(place / clean(folder.name))
    try:
        bound = _bound(folder)
    except OSError as error:
        return _Log(folder, shown, made=_why(error))
    if bound is None:
        return _Log(folder, shown)
    return _Log(folder, shown, bound, kept(folder, bound)) if bound.books else None


def _read_anew(log: _Log) -> Kept | str:
    """What is made of a log, or why nothing is."""
    try:
        return _made(log.folder, log.shown, log.bound)
    except InputError as error:
        return str(error.problems[0])
    except OSError as error:
        return _why(error)


def _why(error: OSError) -> str:
    return f"{error.filename}: {error.strerror}"


def files_of(days: Sequence[tuple[Event, str]], name: str) -> list[File]:
    """A kind of file of those days; of a lane's copies only the one that tells most."""
    from judgekit.store.seasonask import File

    return [
        File(day_path(event.folder, day, name), without)
        for (event, day), without in zip(days, _told_elsewhere(days), strict=True)
    ]


def copies_in(days: Sequence[tuple[Event, str]]) -> Iterator[str]:
    """Of which events how many lanes are copies, and so not counted again."""
    for (event, day), without in zip(days, _told_elsewhere(days), strict=True):
        if without:
            many = len(without)
            lanes = "1 lane is a copy" if many == 1 else f"{many} lanes are copies"
            where = quoted(event.folder.name)
            yield f"{where}, {day}: {lanes} of another event's, and counted there"


def _told_elsewhere(days: Sequence[tuple[Event, str]]) -> list[frozenset[str]]:
    """For each of those days the lanes of which a copy tells as much, or more."""
    best: dict[str, tuple[int, int]] = {}
    for place, (event, day) in enumerate(days):
        for log, entries in event.kept.days[day].lanes.items():
            if log not in best or entries > best[log][0]:
                best[log] = entries, place
    return [
        frozenset(log for log in event.kept.days[day].lanes if best[log][1] != place)
        for place, (event, day) in enumerate(days)
    ]


def names_of(days: Sequence[tuple[Event, str]]) -> dict[str, dict[str, str]]:
    """What ids are called, by what they are the ids of: the newest name of each."""
    found: dict[str, dict[str, str]] = {}
    for event, _ in sorted(days, key=lambda one: one[1]):
        for what, names in event.kept.names.items():
            found.setdefault(what, {}).update(names)
    return found


def judges_of(days: Sequence[tuple[Event, str]]) -> dict[str, str]:
    """The names of judges by their ids, as the events' files have them now.

    Whom two events call otherwise has both names; a file that cannot be read has none.
    """
    from judgekit.files.eventfile import read_event

    found: dict[str, dict[str, None]] = {}
    for folder in dict.fromkeys(event.folder for event, _ in days):
        with suppress(InputError):
            event = read_event(folder / "event.toml", "", cards=None, actions=None)
            for judge in event.judges:
                found.setdefault(judge.id, {})[judge.name] = None
    return {judge: " or ".join(names) for judge, names in found.items()}


def _bound(folder: Path) -> Bound | None:
    """What files of an event would be bound to now; None for a damaged log."""
    people = folder / "people.csv"
    data = people.read_bytes() if people.is_file() else b""
    try:
        books = newest_entries(folder / "log")
    except BookError:
        return None
    return Bound(books=books, people=sha256(data).hexdigest())


@collector_still()
def _made(folder: Path, shown: str, bound: Bound | None) -> Kept:
    from judgekit.files.tables import read_people
    from judgekit.reports.names import unscored_words
    from judgekit.store.reading import read_lanes

    athletes, _ = read_people(folder / "people.csv", f"{shown}/people.csv", None)
    read = read_lanes(folder / "log", past=True)
    people = {athlete.bib: athlete for athlete in athletes}
    begun = min((lane.lane.plan.date for lane in read.lanes), default="")
    lanes = [_kept_lane(lane, people, begun) for lane in read.lanes if lane.run]
    said = [
        f"heat {lane.heat}, lane {lane.number} is left out: "
        f"{unscored_words(lane.runs, lane.run)}"
        for lane in read.lanes
        if lane.run is None
    ]
    told = Told(
        lanes=lanes,
        names=_names(lanes),
        said=[*read.wrong, *said],
        whole=bound is not None and not read.wrong,
    )
    return keep(folder, bound or Bound(books={}, people=""), told)


def _kept_lane(read: LaneRead, people: Mapping[str, Athlete], begun: str) -> KeptLane:
    from judgekit.cli.pastlogs import entries_of, lane_key
    from judgekit.review.attempts import lane_rows
    from judgekit.review.lost import by_attempt, losses
    from judgekit.review.pieces import lane_pieces

    key = lane_key(read)
    rows = lane_rows(read.lane)
    pieces = lane_pieces(read.lane, rows=rows)
    return KeptLane(
        rows=rows,
        log=f"{key.date} lane {key.lane} heat {key.heat}: {key.event}",
        log_code=read.log_code,
        entries=entries_of(read),
        whos=dict(_whos(rows, people, begun)),
        sets=pieces.sets,
        lost=by_attempt(losses(pieces, rows), rows),
    )


def _whos(
    rows: LaneRows, people: Mapping[str, Athlete], begun: str
) -> Iterator[tuple[str, Who]]:
    """Who works in a lane; without an id somebody is one of this event alone.

    So is a team, for what nobody knows of whom. A lane that became another team's may
    still have attempts of the team before.
    """
    from judgekit.core.plan import Member
    from judgekit.reports.names import shown_name

    plan = rows.facts.plan
    worked = {row.by for row in rows.attempts} | {cue.by for cue in rows.cues}
    named = {
        bib: Member(bib=bib, name=people[bib].name, show=people[bib].show)
        if bib in people
        else Member(bib=bib, name=bib)
        for bib in worked - {""}
    }
    named |= {member.bib: member for member in plan.team.members}
    named[plan.bib] = Member(bib=plan.bib, name=plan.name, show=plan.show)
    for one in named.values():
        person = people[one.bib].person if one.bib in people else ""
        is_team = bool(plan.team.members) and one.bib == plan.bib
        alone = f"{'team' if is_team else 'bib'}:{one.bib} {plan.event} {begun}"
        name = shown_name(one.name, one.show, one.bib)
        yield one.bib, Who(f"id:{person}" if person else alone, name)


def _names(lanes: Sequence[KeptLane]) -> dict[str, dict[str, str]]:
    from judgekit.review.season import call_key

    movements: dict[str, str] = {}
    athletes: dict[str, str] = {}
    divisions: dict[str, str] = {}
    workouts: dict[str, str] = {}
    said: dict[str, dict[str, str]] = {
        of: {} for of in ("fault", "cue", "drill", "must_be")
    }
    for lane in lanes:
        plan = lane.rows.facts.plan
        divisions[plan.division] = plan.division_name
        workouts[plan.workout] = plan.workout_name
        movements |= {card.id: card.name for card in plan.cards}
        for card in plan.cards:
            for fault in card.faults:
                key = call_key(card.id, fault.id)
                said["fault"][key] = fault.call
                said["cue"][key] = fault.cues[0] if fault.cues else ""
                said["drill"][key] = fault.drill
                criterion = card.criterion_of(fault)
                said["must_be"][key] = "" if criterion is None else criterion.says
        athletes |= {who.athlete: who.name for who in lane.whos.values()}
    return {
        "movement": movements,
        "athlete": athletes,
        "division": divisions,
        "workout": workouts,
        **said,
    }
