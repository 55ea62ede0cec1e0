"""The logs of this event and of those beside it: whose they are, each read once."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from judgekit.cli.aside import Aside
from judgekit.review.exposure import SPANS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from judgekit.files.eventfolder import EventFolder
    from judgekit.files.history import PastEvent
    from judgekit.store.reading import LaneRead

T = TypeVar("T")
_WORTH_A_PROCESS = 2
# Before an id; a bib has no such sign in it, so that neither is taken for the other.
BY_ID = "id\n"


class Source(NamedTuple):
    """A log, how its event is shown, and who is who there: nobody is empty."""

    log: Path
    shown: str
    whos: Mapping[str, str]


class LaneKey(NamedTuple):
    """What a lane keeps in every copy of its event's folder, whichever run counts."""

    event: str
    heat: str
    lane: int
    date: str


def lane_key(read: LaneRead) -> LaneKey:
    """The key of a lane, from its sealed plan."""
    plan = read.lane.plan
    return LaneKey(plan.event, read.heat, read.number, plan.date)


def entries_of(read: LaneRead) -> int:
    """How much a log tells of a lane, in all of its runs."""
    return sum(len(run.entries) for run in read.runs)


def whos(folder: EventFolder) -> dict[str, str]:
    """Who each bib is: the id in people.csv, else somebody of this event alone."""
    return {
        athlete.bib: f"{BY_ID}{athlete.person}" if athlete.person else athlete.bib
        for athlete in folder.athletes
    }


def source_of(event: PastEvent) -> Source:
    """An event of the past; who has no id there is nobody."""
    known = {
        bib: f"{BY_ID}{person}" if person else ""
        for bib, person in event.persons.items()
    }
    return Source(event.log, event.shown, known)


def day_of(text: str) -> int:
    """The number of a day."""
    return date.fromisoformat(text).toordinal()


def is_near(dates: frozenset[str], days: Iterable[int]) -> bool:
    """Whether a heat of those dates lies within the longest span before a day."""
    past = [day_of(text) for text in dates]
    return any(0 < day - before <= SPANS[-1] for day in days for before in past)


def in_halves(
    read: Callable[[Sequence[Source]], T], sources: Sequence[Source]
) -> Iterator[T]:
    """Every log read, half of them in a second process where that can be."""
    if len(sources) == 1:
        yield read(sources)
    if len(sources) < _WORTH_A_PROCESS:
        return
    with Aside(partial(read, sources[1::2])) as aside:
        yield read(sources[::2])
        yield aside.result()
