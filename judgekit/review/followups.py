"""Who is to be spoken with after a stop or a risky volume, and when.

The day after a stop, and the third day after a volume that stood out: soreness that is
more than soreness shows by then (day-after check after an incident told in a public
discussion; the third day is common practice, no source). It is a reminder and decides
nothing.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from judgekit.core.likenames import name_order
from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.review.exposure import (
    Exposure,
    Kind,
    PastLane,
    PlannedLane,
    StopMade,
    exposure,
    past_lane,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence


Why = Literal["stop", "volume"]
AFTER_STOP, AFTER_VOLUME = 1, 3
# Whoever was not reached in two weeks is seen at the next session (exposure tells).
LISTED_DAYS = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class PastHeat:
    """One lane that was judged: whose it was, on which day, and what became of it.

    `who` joins lanes of one person; `followed` are the days on which somebody spoke
    with the athlete about this lane. Of a team each member has one, with their bib as
    `member`. `own` says that it is of the event that was asked about.
    """

    who: str
    name: str
    event: str
    day: int
    lane: Lane
    joined: bool = True
    followed: tuple[int, ...] = ()
    member: str = ""
    own: bool = True

    @property
    def bib(self) -> str:
        """Whose bib it is: the member's of a team."""
        return self.member or self.lane.plan.bib

    @property
    def past(self) -> PastLane:
        """What the lane adds to what its athlete did."""
        return past_lane(self.who, self.day, self.lane, self.member)

    @property
    def planned(self) -> PlannedLane:
        """What its athlete was to do in it."""
        plan = self.lane.plan
        shared = plan.team.how in ("shared", "relay")
        return PlannedLane(
            who=self.who,
            day=self.day,
            plan=replace(plan, bib=self.bib, name=self.name),
            joined=self.joined,
            among=len(plan.team.members) if shared else 1,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One reason to speak with somebody, from the day `due` on.

    `stop` or `volumes` is what it is about, whichever `why` says.
    """

    heat: PastHeat
    why: Why
    due: int
    stop: StopMade | None = None
    volumes: tuple[Exposure, ...] = ()


def followups(heats: Sequence[PastHeat], today: int) -> tuple[Due, ...]:
    """What is due today or later, what has waited longest first.

    What was spoken about on its day or after it is not listed, nor what fell due more
    than two weeks ago. Of somebody whom no id joins to other events nobody knows what
    volume is too much; `unknown` says who they are.
    """
    found = (*_after_stops(heats), *_after_volumes(heats))
    return tuple(
        sorted(
            (one for one in found if _is_open(one, today)),
            key=lambda one: (
                one.due,
                name_order(one.heat.name),
                one.heat.event,
                one.why,
            ),
        )
    )


def unknown(heats: Iterable[PastHeat], today: int) -> tuple[str, ...]:
    """Who worked in the last days and has no id, by name."""
    near = today - AFTER_VOLUME - LISTED_DAYS
    found = {one.name for one in heats if not one.joined and one.day >= near}
    return tuple(sorted(found, key=name_order))


def _is_open(one: Due, today: int) -> bool:
    spoken = any(day >= one.due for day in one.heat.followed)
    over = one.due + LISTED_DAYS < today or one.heat.day > today
    return not spoken and not over


def _after_stops(heats: Iterable[PastHeat]) -> Iterator[Due]:
    for heat in heats:
        for stop in heat.past.stops:
            due = heat.day + AFTER_STOP
            yield Due(heat=heat, why="stop", due=due, stop=stop)


def _after_volumes(heats: Sequence[PastHeat]) -> Iterator[Due]:
    past = [heat.past for heat in heats]
    done = {
        (one.who, one.day, work.kind)
        for one in past
        for work in one.work
        if work.done or work.attempts
    }
    planned = [heat.planned for heat in heats]
    stood_out: dict[tuple[str, int], list[Exposure]] = {}
    for row in exposure(planned, past).rows:
        worked = (row.who, row.day, Kind(row.card, row.unit)) in done
        if row.little and row.joined and worked:
            stood_out.setdefault((row.who, row.day), []).append(row)
    for (who, day), rows in stood_out.items():
        heat = next(one for one in heats if (one.who, one.day) == (who, day))
        due = day + AFTER_VOLUME
        yield Due(heat=heat, why="volume", due=due, volumes=tuple(rows))
