"""What athletes did at their last event before this one, for their sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.score import score
from judgekit.reports.names import has_score
from judgekit.reports.sheetsince import Before, PastScore, kind_of
from judgekit.review.attempts import lane_rows
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.state import Lane
    from judgekit.files.eventfolder import EventFolder
    from judgekit.files.history import PastEvent


NO_IDS = (
    "No sheet says what changed since last time: people.csv has no id. Give each "
    "athlete the same id in the people.csv of every event."
)


class PastSheets(NamedTuple):
    """What each bib did at its last event, and what could not be read."""

    before: Mapping[str, Before]
    said: Sequence[str]


def past_sheets(
    folder: EventFolder, history: Path | None, bibs: Iterable[str]
) -> PastSheets:
    """The last event of each bib with an id in people.csv, of those before this one.

    Where nobody who is asked about has one, that is said once there are such events.
    The newest logs are read first, and none any more once everybody is found. Work in
    teams is left out: there nobody knows for sure whose it was.
    """
    # What is read elsewhere is told here without the readers.
    from judgekit.files.history import read_history

    athletes = [one for bib in bibs if (one := folder.athlete(bib)) is not None]
    left = {one.person: one.bib for one in athletes if one.person}
    if not athletes:
        return PastSheets({}, ())
    first = min((row.date for row in folder.heats), default=folder.event.date)
    found = read_history(folder.folder, history)
    past = [one for one in found.events if max(one.dates) < first]
    if not left:
        return PastSheets({}, (NO_IDS,) if past else ())
    said = list(found.left_out)
    before: dict[str, Before] = {}
    for event in sorted(past, key=lambda one: max(one.dates), reverse=True):
        for person, lanes in _lanes_of(event, left, said).items():
            before[left.pop(person)] = _before(lanes)
    return PastSheets(before, tuple(said))


def _lanes_of(
    event: PastEvent, wanted: Mapping[str, str], said: list[str]
) -> dict[str, list[Lane]]:
    """The lanes of those who are wanted, whose run counts."""
    here = {bib: person for bib, person in event.persons.items() if person in wanted}
    if not here or not event.log.is_dir():
        return {}
    read = read_lanes(event.log, past=True)
    said += [f"{event.shown}: {what}" for what in read.wrong]
    found: dict[str, list[Lane]] = {}
    for one in read.lanes:
        plan = one.lane.plan
        if one.run is not None and plan.bib in here and not plan.team.members:
            found.setdefault(here[plan.bib], []).append(one.lane)
    return found


def _before(lanes: Sequence[Lane]) -> Before:
    plan = lanes[0].plan
    scores = ((lane, score(lane)) for lane in lanes)
    return Before(
        event=plan.event,
        date=plan.date,
        lanes=tuple(lane_rows(lane) for lane in lanes),
        scores=tuple(
            PastScore(
                workout=of.plan.workout,
                revision=of.plan.revision,
                score=one.detail,
                kind=kind_of(of, one),
            )
            for of, one in scores
            if has_score(one)
        ),
    )
