"""What a head judge sees of a heat: how each lane is, and what waits for a word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.checkitems import items
from judgekit.core.disputing import unruled
from judgekit.core.doubt import is_doubtful, unanswered
from judgekit.core.entry import Entry, Note, Rule, Stop
from judgekit.core.lanecheck import LaneCheck, checks_in
from judgekit.core.quantity import show_time
from judgekit.core.score import score
from judgekit.core.values import dataclass
from judgekit.reports.briefing import box
from judgekit.reports.entrywords import entry_words
from judgekit.reports.names import has_score, numbered_name, unscored_words
from judgekit.reports.remarks import press_time
from judgekit.ui.views.heats import lane_moment
from judgekit.ui.views.phase import rest_left

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from judgekit.core.checkitems import Gear
    from judgekit.core.people import Emergency
    from judgekit.core.state import Lane
    from judgekit.desk.onlooker import HeatSeen
    from judgekit.store.reading import LaneRead
    from judgekit.ui.views.heats import Moment
    from judgekit.ui.views.phase import Phase

_STATES: Mapping[Phase, str] = {
    "before go": "waits",
    "countdown": "countdown",
    "work": "works",
    "stopped": "STOP",
    "frozen": "frozen",
    "horn": "horn",
    "over": "over",
    "accepted": "accepted",
    "absent": "absent",
}
NO_EMERGENCY = "event.toml says nothing of an emergency: [emergency] is missing."


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """How much of a lane waits for a word, or was odd.

    `checks` are open items of the lane check, `horn` reps kept at a horn, `soon`
    presses sooner than believable that nobody answered for, `late` late take-backs.
    `matters` says it entry by entry, the newest first.
    """

    checks: int = 0
    stops: int = 0
    disputes: int = 0
    horn: int = 0
    soon: int = 0
    late: int = 0
    close: int = 0
    matters: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadLane:
    """One lane; `stop` is the sign it was stopped for, while it is stopped."""

    number: int
    who: str
    judge: str
    state: str
    count: str
    facts: Facts
    stop: str | None = None
    unscored: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadView:
    """A heat as its head judge sees it."""

    title: str
    clock: str
    lanes: tuple[HeadLane, ...]

    @property
    def alarm(self) -> str:
        """Who is stopped, and for what; empty if nobody is."""
        stopped = [
            f"lane {lane.number}{f': {lane.stop}' if lane.stop else ''}"
            for lane in self.lanes
            if lane.stop is not None
        ]
        return f"STOP  {',  '.join(stopped)}" if stopped else ""


class FactsKept:
    """The facts of each lane, found anew only where the lane is another one."""

    def __init__(self, gear: Gear | None, judges: Mapping[str, str]) -> None:
        self._gear = gear
        self.judges = judges
        self._kept: dict[tuple[str, int], tuple[Lane, Facts]] = {}

    def of(self, read: LaneRead) -> Facts:
        """The facts of a lane as it is now."""
        key = read.heat, read.number
        kept = self._kept.get(key)
        if kept is None or kept[0] is not read.lane:
            kept = read.lane, facts_of(read.lane, self._gear, self.judges)
            self._kept[key] = kept
        return kept[1]


def head_view(seen: HeatSeen, moment: Moment, kept: FactsKept) -> HeadView:
    """The heat at a moment."""
    at = moment.heat_ms(seen)
    workouts = dict.fromkeys(read.lane.plan.workout_name for read in seen.lanes)
    clock = "" if at is None else show_time(at) if at >= 0 else f"-{-(at // 1000)}"
    return HeadView(
        title=f"heat {seen.heat}   {', '.join(workouts)}",
        clock=clock or "not started",
        lanes=tuple(_lane(read, at, kept) for read in seen.lanes),
    )


def _lane(read: LaneRead, heat_ms: int | None, kept: FactsKept) -> HeadLane:
    lane = read.lane
    phase, at = lane_moment(lane, heat_ms)
    state = _STATES.get(phase, "")
    if phase == "rest":
        state = f"rest {show_time(-(-rest_left(lane, at or 0) // 1000) * 1000)}"
    found = score(read.counted) if phase in ("over", "accepted") else None
    done = str(lane.work.good) if lane.started else ""
    return HeadLane(
        number=lane.plan.lane,
        who=numbered_name(lane.plan),
        judge=kept.judges.get(lane.judge, lane.judge),
        state=state,
        count=found.shown if found is not None and has_score(found) else done,
        facts=kept.of(read),
        stop=_sign(lane) if lane.stopped else None,
        unscored=unscored_words(read.runs, read.run),
    )


def _sign(lane: Lane) -> str:
    """What the athlete was stopped for: as logged with the stop, or noted since."""
    notes: list[str] = []
    for entry in reversed(lane.entries):
        if isinstance(entry.body, Note):
            notes.insert(0, entry.body.text)
        elif isinstance(entry.body, Stop):
            return ", ".join(word for word in (entry.body.sign, *notes) if word)
    return ""


def facts_of(lane: Lane, gear: Gear | None, judges: Mapping[str, str]) -> Facts:
    """What of a lane is open or odd."""
    attempts = lane.work.attempts
    return Facts(
        checks=_open_checks(lane, gear),
        stops=len(lane.stops),
        disputes=len(unruled(lane)),
        horn=len(lane.horn_asks),
        soon=sum(unanswered(lane, a) for a in attempts if a.marks),
        late=sum(taken.late and not taken.extra for taken in lane.taken_back),
        close=sum("close" in a.marks for a in attempts),
        matters=tuple(_matters(lane, judges)),
    )


def _open_checks(lane: Lane, gear: Gear | None) -> int:
    if gear is None or lane.absent:
        return 0
    now = checks_in(lane.entries)
    return len(LaneCheck(items=items(lane.plan, now, gear), now=now).open)


def _matters(lane: Lane, judges: Mapping[str, str]) -> Iterator[str]:
    refs = {
        *lane.horn_asks,
        *(entry.ref for entry in (*lane.disputes, *lane.stops)),
        *(t.by for t in lane.taken_back if t.late and not t.extra),
        *(
            a.ref
            for a in lane.work.attempts
            if a.marks and ("close" in a.marks or is_doubtful(lane, a))
        ),
    }
    for entry in reversed(lane.entries):
        if entry.ref in refs or isinstance(entry.body, Rule | Note):
            yield _stamped(lane, entry, judges)


def _stamped(lane: Lane, entry: Entry, judges: Mapping[str, str]) -> str:
    at = lane.when(entry)
    when = "" if at is None else press_time(lane.plan, at)
    said = entry_words(lane, entry, judges)
    return f"{when:>7}  {said}"


def emergency_lines(emergency: Emergency) -> tuple[str, ...]:
    """Whom to call and what to say, a line each."""
    lines = tuple(f"{what}: {says}" for what, says in box(emergency))
    return lines or (NO_EMERGENCY,)
