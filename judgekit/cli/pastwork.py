"""What people did before: the logs of this event and of those beside it, read once.

Nothing is passed over in silence: a folder that is left out, a damaged log, a lane
whose athlete nobody knows. Logs are only read.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from judgekit.cli.pastlogs import (
    BY_ID,
    LaneKey,
    Source,
    day_of,
    entries_of,
    in_halves,
    is_near,
    lane_key,
    source_of,
    whos,
)
from judgekit.core.values import dataclass
from judgekit.files.cleaning import quoted
from judgekit.files.history import read_history
from judgekit.reports.names import unscored_words
from judgekit.review.exposure import PastLane, PlannedLane, past_lane
from judgekit.store.collector import collector_still
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from judgekit.core.plan import Plan
    from judgekit.files.eventfolder import EventFolder
    from judgekit.store.reading import LaneRead


class _Told(NamedTuple):
    """A lane, and by how many entries: a damaged copy tells less than a whole one."""

    entries: int
    lane: PastLane


class _Logs(NamedTuple):
    """Lanes of the past, and what is wrong."""

    lanes: dict[tuple[str, LaneKey], _Told]
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
    known = whos(folder)
    found = []
    for read in lanes:
        plan = read.lane.plan
        if (read.heat, read.number) not in listed or read.lane.absent:
            continue
        shared = plan.team.how in ("shared", "relay")
        for one in _each(plan):
            who = known.get(one.bib, "")
            found.append(
                PlannedLane(
                    who=who,
                    day=day_of(plan.date),
                    plan=one,
                    joined=who.startswith(BY_ID),
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
    near = [event for event in found.events if is_near(event.dates, days)]
    known = whos(folder)
    wanted = frozenset(known.values())
    sources = [source_of(event) for event in near]
    told: dict[tuple[str, LaneKey], _Told] = {}
    said: list[str] = list(found.left_out)
    if is_near(frozenset(row.date for row in folder.heats), days):
        # What is wrong with this event's log was said when its lanes were read.
        own = Source(folder.log, "", known)
        told.update(_read(wanted, [own]).lanes)
    for logs in in_halves(partial(_read, wanted), sources):
        for key, one in logs.lanes.items():
            _keep(told, key, one)
        said += logs.said
    return PastWork(
        lanes=tuple(one.lane for one in told.values()),
        events=len(near),
        of_events=len(found.events) + len(found.left_out),
        said=tuple(sorted(said)),
    )


@collector_still()
def _read(wanted: frozenset[str], sources: Sequence[Source]) -> _Logs:
    found = _Logs({}, [])
    for source in sources:
        read = read_lanes(source.log, past=True)
        found.said.extend(f"{source.shown}: {what}" for what in read.wrong)
        for lane in read.lanes:
            _add(found, source, lane, wanted)
    return found


def _add(found: _Logs, source: Source, read: LaneRead, wanted: frozenset[str]) -> None:
    plan = read.lane.plan
    bibs = [member.bib for member in plan.team.members]
    for bib in bibs or [plan.bib]:
        who = source.whos.get(bib)
        where = f"{source.shown}: heat {read.heat}, lane {read.number} is left out"
        if who is None:
            found.said.append(f"{where}: people.csv has no bib {quoted(bib)}")
        elif who in wanted and read.run is None:
            found.said.append(f"{where}: {unscored_words(read.runs, read.run)}")
        elif who in wanted:
            key = (who, lane_key(read))
            lane = past_lane(who, day_of(plan.date), read.lane, bib if bibs else "")
            _keep(found.lanes, key, _Told(entries_of(read), lane))


def _keep(
    lanes: dict[tuple[str, LaneKey], _Told], key: tuple[str, LaneKey], one: _Told
) -> None:
    """Of copies of a lane the one that tells most."""
    if key not in lanes or one.entries > lanes[key].entries:
        lanes[key] = one
