"""The gym's own paces: from this event's log, and from those of the last 56 days.

A log that cannot be read tells less and is named; it is no fault of what is asked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.cli.pastlogs import (
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
from judgekit.files.history import read_history
from judgekit.review.paces import gym_paces, took
from judgekit.store.collector import collector_still
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from judgekit.files.eventfolder import EventFolder
    from judgekit.review.exposure import Kind
    from judgekit.review.paces import GymPace, Took


class PastPaces(NamedTuple):
    """The gym's paces, and what could not be read."""

    paces: Mapping[Kind, GymPace]
    said: tuple[str, ...]


class _Read(NamedTuple):
    """Lanes with as many entries as they have, and what is wrong."""

    lanes: list[tuple[LaneKey, int, tuple[Took, ...]]]
    said: list[str]


def past_paces(folder: EventFolder, history: Path | None) -> PastPaces:
    """What the logs beside an event, or in `history`, and its own tell of paces."""
    days = {day_of(row.date) for row in folder.heats}
    found = read_history(folder.folder, history)
    said = list(found.left_out)
    sources = [
        Source(folder.log, "", whos(folder)),
        *(source_of(e) for e in found.events if is_near(e.dates, days)),
    ]
    kept: dict[LaneKey, tuple[int, tuple[Took, ...]]] = {}
    for read in in_halves(_read, [one for one in sources if one.log.is_dir()]):
        said += read.said
        for key, entries, rows in read.lanes:
            # Of copies of a lane the one that tells most.
            if key not in kept or entries > kept[key][0]:
                kept[key] = entries, rows
    rows_of_all = (row for _, rows in kept.values() for row in rows)
    return PastPaces(gym_paces(rows_of_all), tuple(sorted(said)))


@collector_still()
def _read(sources: Sequence[Source]) -> _Read:
    found = _Read([], [])
    for source in sources:
        read = read_lanes(source.log, past=True)
        if source.shown:
            # What is wrong with this event's own log is said where its lanes are read.
            found.said.extend(f"{source.shown}: {what}" for what in read.wrong)
        for lane in read.lanes:
            if lane.run is not None:
                bib = lane.lane.plan.bib
                # Who has no id is somebody of that event alone.
                who = source.whos.get(bib) or f"{source.log}\n{bib}"
                rows = took(who, lane.lane)
                key = lane_key(lane)
                found.lanes.append((key, entries_of(lane), rows))
    return found
