"""What stands on the board for everybody in the hall: lanes, counts, order so far.

Names are as their owners want them shown; of a stop no more than that there is one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.plan import OPEN
from judgekit.core.quantity import show_time
from judgekit.core.sofar import order_so_far
from judgekit.core.values import dataclass
from judgekit.reports.names import numbered_name
from judgekit.reports.standingwords import time_of_day
from judgekit.ui.views.count import UNITS, round_words
from judgekit.ui.views.heats import lane_moment, late_words, schedule
from judgekit.ui.views.phase import good_in, rest_left, shown_set

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.sofar import SoFar
    from judgekit.core.state import Lane
    from judgekit.desk.onlooker import HeatSeen
    from judgekit.ui.views.heats import Moment
    from judgekit.ui.views.phase import Phase

Weight = Literal["plain", "strong", "soft"]

NOTHING = "There is no heat in the heat list."


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardLane:
    """One lane: its place so far ("2="), who, the count, and what goes on there.

    `big` is what is read from afar; `says` stands beside it, as heavy as `weight`.
    """

    number: int
    place: str
    who: str
    big: str
    says: str
    weight: Weight = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardHeat:
    """One heat: what it is, its clock (empty before the countdown), and its lanes."""

    title: str
    workout: str
    clock: str
    lanes: tuple[BoardLane, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardComing:
    """A heat that comes: what of it `says` that it comes, and `who` is in it."""

    says: str
    who: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardView:
    """The heats that go on, who comes next, the time of day, and how late it is."""

    heats: tuple[BoardHeat, ...]
    coming: tuple[BoardComing, ...]
    time: str
    late: str


def board_view(
    heats: Sequence[HeatSeen], moment: Moment, zone: str, only: str | None = None
) -> BoardView:
    """The board of an event at a moment; `only` is a heat that is to stand there."""
    found = schedule(heats, moment, only)
    waiting = zip(("ON DECK", "WARMING UP"), found.coming, strict=False)
    return BoardView(
        heats=tuple(_heat(seen, moment, zone) for seen in found.now),
        coming=tuple(_coming(word, seen, zone) for word, seen in waiting),
        time=time_of_day(moment.wall_now, zone),
        late=late_words(found.late_ms),
    )


def _coming(word: str, seen: HeatSeen, zone: str) -> BoardComing:
    return BoardComing(
        says=f"{word} heat {seen.heat} at {time_of_day(seen.planned_ms, zone)}",
        who=tuple(numbered_name(read.lane.plan) for read in seen.lanes),
    )


def _heat(seen: HeatSeen, moment: Moment, zone: str) -> BoardHeat:
    at = moment.heat_ms(seen)
    order = order_so_far([read.counted for read in seen.lanes])
    workouts = dict.fromkeys(read.lane.plan.workout_name for read in seen.lanes)
    several = len({read.lane.plan.division for read in seen.lanes}) > 1
    planned = f" at {time_of_day(seen.planned_ms, zone)}" if at is None else ""
    return BoardHeat(
        title=f"heat {seen.heat}{planned}",
        workout=", ".join(workouts),
        clock=_clock(seen, at),
        lanes=tuple(
            _lane(so_far, at, division=several, unscored=not read.scored)
            for so_far, read in zip(order, seen.lanes, strict=True)
        ),
    )


def _clock(seen: HeatSeen, at: int | None) -> str:
    """The heat's time while anybody works; then when the last one was done."""
    if at is None:
        return ""
    if at < 0:
        return f"-{-(at // 1000)}"
    phases = [lane_moment(read.lane, at)[0] for read in seen.lanes]
    if any(phase in ("work", "rest", "frozen") for phase in phases):
        return show_time(at)
    ends = [ms for read in seen.lanes if (ms := _end(read.lane)) is not None]
    return show_time(min(at, max(ends, default=at)))


def _end(lane: Lane) -> int | None:
    """When a lane's work was over by heat time; None where nothing says so."""
    done = lane.work.done_ms
    end = looking.end_ms(lane) if done is None else done
    return None if end is None else end + lane.offset_ms + lane.start_shift_ms


def _lane(
    so_far: SoFar, heat_ms: int | None, *, division: bool, unscored: bool
) -> BoardLane:
    lane = so_far.lane
    phase, at = lane_moment(lane, heat_ms)
    says, weight = _says(so_far, phase, at)
    plan = lane.plan
    name = numbered_name(plan)
    begun = phase not in ("before go", "countdown", "absent")
    placed = begun and so_far.rank is not None and not unscored
    return BoardLane(
        number=plan.lane,
        place=f"{so_far.rank}{'=' if so_far.tied else ''}" if placed else "",
        who=f"{name}, {plan.division_name}" if division else name,
        big=_big(so_far, phase) if begun else "",
        says="two desks: not scored" if unscored else says,
        weight=weight,
    )


def _big(so_far: SoFar, phase: Phase) -> str:
    """All that counts so far, and at the end the score."""
    lane, found = so_far.lane, so_far.score
    by_time = lane.plan.score in ("time", "placing")
    if by_time and not (phase in ("over", "accepted") and found.unit == "ms"):
        return str(lane.work.good)
    if found.status in ("capped", "class over"):
        return str(lane.work.good)
    return found.shown


def _says(so_far: SoFar, phase: Phase, at: int | None) -> tuple[str, Weight]:
    """What goes on in a lane, in few words."""
    lane = so_far.lane
    match phase:
        case "absent":
            return "not here", "soft"
        case "before go" | "countdown":
            return "ready", "soft"
        case "stopped":
            return "stopped", "strong"
        case "frozen":
            return "frozen", "strong"
        case "horn":
            return "horn", "strong"
        case "rest":
            left = -(-rest_left(lane, at or 0) // 1000) * 1000
            return f"REST {show_time(left)}", "strong"
        case "work":
            return _work(lane, at), "plain"
        case _:
            return _over(so_far), "strong"


def _over(so_far: SoFar) -> str:
    """How it ended: the score stands large beside it."""
    status, lane = so_far.score.status, so_far.lane
    if status == "in progress":
        return "over"
    if status == "capped":
        return f"capped, {so_far.score.detail}"
    if status == "class over":
        return so_far.score.detail
    if status == "finished" and lane.plan.score == "time":
        return "finished"
    return status


def _work(lane: Lane, at: int | None) -> str:
    key = shown_set(lane, at)
    plan = lane.plan
    name = plan.card_of(key).name.lower()
    target, good = plan.target(key), good_in(lane, key)
    unit = UNITS[plan.movement(key).unit]
    of = f"{good}{unit}" if target == OPEN else f"{good} of {target}{unit}"
    round_ = round_words(plan.part(key), key)
    return ", ".join(word for word in (f"{name} {of}", round_) if word)
