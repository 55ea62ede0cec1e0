"""The sessions of before: faults in the logs of the events beside one, read once.

Nothing is passed over in silence: a folder that is left out, a damaged log. Logs are
only read. An event whose heats all lie outside the longest span is not opened.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path
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
)
from judgekit.core.values import dataclass
from judgekit.files.history import read_history
from judgekit.review.attempts import lane_rows
from judgekit.review.sessions import LaneSum, lane_sum
from judgekit.store.collector import collector_still
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.plan import Plan
    from judgekit.review.attempts import LaneRows
    from judgekit.store.reading import LaneRead


class Only(NamedTuple):
    """What is asked for: a workout and a division, or any."""

    workout: str | None = None
    division: str | None = None

    def holds(self, plan: Plan) -> bool:
        """Whether a lane belongs to it."""
        return self.workout in (None, plan.workout) and self.division in (
            None,
            plan.division,
        )


class _Told(NamedTuple):
    """A lane, and by how many entries: a damaged copy tells less than a whole one."""

    entries: int
    lane: LaneSum


_Lanes = dict[LaneKey, _Told]


@dataclass(frozen=True, slots=True, kw_only=True)
class PastFaults:
    """Lanes of this event and of those before, their folders, and what is wrong."""

    lanes: tuple[LaneSum, ...]
    folders: tuple[Path, ...] = ()
    said: tuple[str, ...] = ()


class Own(NamedTuple):
    """An event of which the lanes are read already, with their rows, and its day."""

    folder: Path
    lanes: Sequence[tuple[LaneRead, LaneRows]]
    day: str


def past_faults(own: Own, history: Path | None, only: Only) -> PastFaults:
    """The lanes of an event, and those of other events before its day."""
    found = read_history(own.folder, history)
    near = [one for one in found.events if is_near(one.dates, [day_of(own.day)])]
    told: _Lanes = {}
    said = list(found.left_out)
    for lanes, wrong in in_halves(partial(_read, only), [source_of(o) for o in near]):
        for key, one in lanes.items():
            _keep(told, key, one)
        said += wrong
    # This event's own lanes count as they are, whatever a copy of them says.
    told.update(_told(own.lanes))
    return PastFaults(
        lanes=tuple(one.lane for one in told.values()),
        folders=tuple(one.folder for one in near),
        said=tuple(sorted(said)),
    )


@collector_still()
def _read(only: Only, sources: Sequence[Source]) -> tuple[_Lanes, list[str]]:
    lanes: _Lanes = {}
    said: list[str] = []
    for source in sources:
        read = read_lanes(source.log, past=True)
        said += (f"{source.shown}: {what}" for what in read.wrong)
        for key, one in _sums(read.lanes, only).items():
            _keep(lanes, key, one)
    return lanes, said


def _sums(lanes: Iterable[LaneRead], only: Only) -> _Lanes:
    return _told(
        (read, lane_rows(read.lane)) for read in lanes if only.holds(read.lane.plan)
    )


def _told(lanes: Iterable[tuple[LaneRead, LaneRows]]) -> _Lanes:
    return {
        lane_key(read): _Told(entries_of(read), lane_sum(rows))
        for read, rows in lanes
        if read.run is not None
    }


def _keep(lanes: _Lanes, key: LaneKey, one: _Told) -> None:
    """Of copies of a lane the one that tells most."""
    if key not in lanes or one.entries > lanes[key].entries:
        lanes[key] = one
