"""Where the heats of an event stand: which goes on, who comes next, how late it is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.core.lane import own_ms
from judgekit.core.values import dataclass
from judgekit.desk.onlooker import HeatSeen
from judgekit.ui.views.phase import phase_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.state import Lane
    from judgekit.ui.views.phase import Phase

State = Literal["to come", "under way", "over"]

# So long what a heat came to stays, unless the next one starts before.
STAYS_MS = 180_000
# A heat without a cap in which nobody said anything for so long is over.
_FORGOTTEN_MS = 7_200_000
# Further off than this the heat list is another day's: nobody is so late.
_ANOTHER_DAY_MS = 43_200_000
_MINUTE_MS = 60_000
_WAITS: tuple[Phase, ...] = ("before go", "absent")
_AT_REST: tuple[Phase, ...] = ("horn", "over", "accepted", "absent", "stopped")


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """Now: the clock of this boot, and the wall clock in ms since 1970."""

    boot: str
    boot_now: int
    wall_now: int

    def heat_ms(self, seen: HeatSeen) -> int | None:
        """Heat time of a heat, None before its go."""
        if seen.zero is None:
            return None
        return seen.zero.heat_ms(self.boot, self.boot_now, self.wall_now)


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Which heats are shown now, who comes after them, and how late it is, in ms.

    `late_ms` is None where nothing says so.
    """

    now: tuple[HeatSeen, ...]
    coming: tuple[HeatSeen, ...]
    late_ms: int | None


def lane_moment(lane: Lane, heat_ms: int | None) -> tuple[Phase, int | None]:
    """What is going on in a lane, and the time on its own clock."""
    if lane.recalled:
        return ("absent" if lane.absent else "before go"), None
    at = None if heat_ms is None else own_ms(lane, heat_ms)
    return phase_of(lane, at), at


def state_of(seen: HeatSeen, moment: Moment) -> State:
    """Whether a heat is to come, under way or over."""
    at = moment.heat_ms(seen)
    phases = [lane_moment(read.lane, at)[0] for read in seen.lanes]
    if all(phase in _WAITS for phase in phases):
        return "to come"
    if moment.wall_now - seen.last_ms > _FORGOTTEN_MS:
        return "over"
    begun = [phase for phase in phases if phase not in _WAITS]
    return "over" if all(phase in _AT_REST for phase in begun) else "under way"


def schedule(
    heats: Sequence[HeatSeen], moment: Moment, only: str | None = None
) -> Schedule:
    """What stands on the board: what goes on, else what was just done, else the next.

    `only` is a heat that is to stand there whatever goes on.
    """
    states = {seen.heat: state_of(seen, moment) for seen in heats}
    going = [seen for seen in heats if states[seen.heat] == "under way"]
    done = [seen for seen in heats if states[seen.heat] == "over"]
    waiting = [seen for seen in heats if states[seen.heat] == "to come"]
    newest = max(done, key=lambda seen: seen.last_ms, default=None)
    if only is not None:
        now = [seen for seen in heats if seen.heat == only]
    elif going:
        now = going
    elif newest and (moment.wall_now - newest.last_ms < STAYS_MS or not waiting):
        now = [newest]
    else:
        now = waiting[:1]
    begun = [heats.index(seen) for seen in (*going, *now)]
    # A heat that was passed over waits for nobody.
    after = [seen for seen in waiting if heats.index(seen) > max(begun, default=-1)]
    return Schedule(
        now=tuple(now), coming=tuple(after), late_ms=_late(heats, waiting, moment)
    )


def _late(
    heats: Sequence[HeatSeen], waiting: Sequence[HeatSeen], moment: Moment
) -> int | None:
    """How much later than planned the last heat began, or the next one will."""
    started = [seen for seen in heats if seen.zero is not None and seen not in waiting]
    last = max(started, key=_began, default=None)
    late = None if last is None else _began(last) - last.planned_ms
    following = [s for s in waiting if last is None or s.planned_ms >= last.planned_ms]
    if following:
        overdue = moment.wall_now - following[0].planned_ms
        if overdue > (late or 0):
            late = overdue
    return None if late is None or abs(late) > _ANOTHER_DAY_MS else late


def _began(seen: HeatSeen) -> int:
    return 0 if seen.zero is None else seen.zero.wall_ms


def late_words(late_ms: int | None) -> str:
    """How late it is in words; empty where nothing says so."""
    if late_ms is None:
        return ""
    minutes = abs(late_ms) // _MINUTE_MS
    if not minutes:
        return "on time"
    return f"{minutes} min {'late' if late_ms > 0 else 'early'}"
