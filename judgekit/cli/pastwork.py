"""What people did before: the logs of this event and of those beside it, read once.

Nothing is passed over in silence: a folder that is left out, a damaged log, a lane
whose athlete nobody knows. Logs are only read.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from judgekit.cli.aside import Aside
from judgekit.core.values import dataclass
from judgekit.files.cleaning import quoted
from judgekit.files.history import read_history
from judgekit.reports.names import unscored_words
from judgekit.review.exposure import SPANS, PastLane, PlannedLane, past_lane
from judgekit.store.collector import collector_still
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.plan import Plan
    from judgekit.files.eventfolder import EventFolder
    from judgekit.files.history import PastEvent
    from judgekit.store.reading import LaneRead

# Before an id; a bib has no such sign in it, so that neither is taken for the other.
_BY_ID = "id\n"


class _Source(NamedTuple):
    """A log, how its event is shown, and who is who there: nobody is empty."""

    log: Path
    shown: str
    whos: Mapping[str, str]


class _Key(NamedTuple):
    """What a lane keeps in every copy of its event's folder."""

    book: str
    number: int
    lane: int
    date: str
    who: str


class _Told(NamedTuple):
    """A lane, and by how many entries: a damaged copy tells less than a whole one."""

    entries: int
    lane: PastLane


class _Logs(NamedTuple):
    """Lanes of the past, and what is wrong."""

    lanes: dict[_Key, _Told]
    said: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class PastWork:
    """Lanes of the past, from how many of how many other events, and what is wrong."""

    lanes: tuple[PastLane, ...]
    events: int
    of_events: int
    said: tuple[str, ...]


def planned_lanes(
    folder: EventFolder, lanes: Iterable[LaneRead]
) -> tuple[PlannedLane, ...]:
    """The lanes of the heat list whose athlete is here, as they are planned."""
    listed = {(row.heat, row.lane) for row in folder.heats}
    whos = _whos(folder)
    found = []
    for read in lanes:
        plan = read.lane.plan
        if (read.heat, read.number) not in listed or read.lane.absent:
            continue
        shared = plan.team.how in ("shared", "relay")
        for one in _each(plan):
            who = whos.get(one.bib, "")
            found.append(
                PlannedLane(
                    who=who,
                    day=_day(plan.date),
                    plan=one,
                    joined=who.startswith(_BY_ID),
                    among=len(plan.team.members) if shared else 1,
                )
            )
    return tuple(found)


def _each(plan: Plan) -> list[Plan]:
    """The plan of each who works in a lane: of a team, each member's."""
    members = plan.team.members
    return [
        replace(plan, bib=one.bib, name=one.name, show=one.show) for one in members
    ] or [plan]


def past_work(
    folder: EventFolder, planned: Iterable[PlannedLane], history: Path | None
) -> PastWork:
    """Every lane that may matter for one of the planned days.

    It comes from this event's own log, and from the logs of events beside it that
    have a heat within the longest span before.
    """
    days = {lane.day for lane in planned}
    found = read_history(folder.folder, history)
    near = [event for event in found.events if _is_near(event.dates, days)]
    whos = _whos(folder)
    wanted = frozenset(whos.values())
    sources = [_Source(event.log, event.shown, _joined(event)) for event in near]
    told: dict[_Key, _Told] = {}
    said: list[str] = list(found.left_out)
    if _is_near(frozenset(row.date for row in folder.heats), days):
        # What is wrong with this event's log was said when its lanes were read.
        own = _Source(folder.log, "", whos)
        told.update(_read([own], wanted).lanes)
    for logs in _in_halves(sources, wanted):
        for key, one in logs.lanes.items():
            _keep(told, key, one)
        said += logs.said
    return PastWork(
        lanes=tuple(one.lane for one in told.values()),
        events=len(near),
        of_events=len(found.events) + len(found.left_out),
        said=tuple(sorted(said)),
    )


def _whos(folder: EventFolder) -> dict[str, str]:
    """Who each bib is: the id in people.csv, else somebody of this event alone."""
    return {
        athlete.bib: f"{_BY_ID}{athlete.person}" if athlete.person else athlete.bib
        for athlete in folder.athletes
    }


def _joined(event: PastEvent) -> dict[str, str]:
    return {
        bib: f"{_BY_ID}{person}" if person else ""
        for bib, person in event.persons.items()
    }


def _day(text: str) -> int:
    return date.fromisoformat(text).toordinal()


def _is_near(dates: frozenset[str], days: Iterable[int]) -> bool:
    past = [_day(text) for text in dates]
    return any(0 < day - before <= SPANS[-1] for day in days for before in past)


def _in_halves(sources: Sequence[_Source], wanted: frozenset[str]) -> Iterator[_Logs]:
    """Every log read, half of them in a second process where that can be."""
    with Aside(partial(_read, sources[1::2], wanted)) as aside:
        yield _read(sources[::2], wanted)
        yield aside.result()


@collector_still()
def _read(sources: Sequence[_Source], wanted: frozenset[str]) -> _Logs:
    found = _Logs({}, [])
    for source in sources:
        read = read_lanes(source.log, past=True)
        found.said.extend(f"{source.shown}: {what}" for what in read.wrong)
        for lane in read.lanes:
            _add(found, source, lane, wanted)
    return found


def _add(found: _Logs, source: _Source, read: LaneRead, wanted: frozenset[str]) -> None:
    plan = read.lane.plan
    bibs = [member.bib for member in plan.team.members]
    for bib in bibs or [plan.bib]:
        who = source.whos.get(bib)
        where = f"{source.shown}: heat {read.heat}, lane {read.number} is left out"
        if who is None:
            found.said.append(f"{where}: people.csv has no bib {quoted(bib)}")
        elif who in wanted and read.run is None:
            found.said.append(f"{where}: {unscored_words(read.runs, read.run)}")
        elif who in wanted and read.run is not None:
            first = read.run.claims[0]
            key = _Key(first.book, first.number, read.number, plan.date, who)
            lane = past_lane(who, _day(plan.date), read.lane, bib if bibs else "")
            _keep(found.lanes, key, _Told(len(read.run.entries), lane))


def _keep(lanes: dict[_Key, _Told], key: _Key, one: _Told) -> None:
    """Of copies of a lane the one that tells most."""
    if key not in lanes or one.entries > lanes[key].entries:
        lanes[key] = one
