"""How a class did its sets: pieces and pace by movement, and where the time went.

All of it comes from the times of presses, so all of it is an estimate, and says so.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from judgekit.reports.chart import Split, splits_chart
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import numbered_name
from judgekit.reports.page import Section
from judgekit.reports.piecetext import piece_words, seconds
from judgekit.review.setsums import set_sum, tells_pieces

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.review.pieces import LanePieces, Pace, SetPieces

_SETS = (
    Column(name="Movement", key="movement"),
    Column(name="Sets", key="sets", align="right"),
    Column(name="In one piece", key="unbroken", align="right"),
    Column(name="Else mostly", key="pieces"),
    Column(name="As planned", key="as_planned", align="right"),
    Column(name="A rep takes", key="pace", align="right", unit="s"),
    Column(name="Pauses a set", key="rested", align="right", unit="s"),
)
_SETS_READ = (
    "From the times of the presses, so all of it is an estimate: a break is a gap much "
    "longer than the athlete's own. A rep takes: the middle of all sets, without "
    "breaks. Pauses a set: how long the breaks within one were, on average. Sets of "
    "one rep are left out; those reported, counted by a monitor or done in teams have "
    "none."
)
_PIECES = ("one piece", "two", "three or more")
_WORKOUT = Column(name="Workout", key="workout")
_TIMES = (
    Column(name="Pauses", key="rested", align="right", unit="s"),
    Column(name="Between sets", key="between", align="right", unit="s"),
    Column(name="Over rest", key="over_rest", align="right", unit="s"),
    Column(name="Slower at the end", key="slower"),
)
_TIMES_READ = (
    "Seconds of the whole work: pauses within sets, ways between sets, and rest beyond "
    "the plan. Slower at the end: how much longer a rep took in the "
    "last third than in the first, with where that likely lies (95 of 100); only what "
    "is likely slower is named, and among so many a few may be chance."
)


def sets_sections(lanes: Sequence[LanePieces]) -> Iterator[Section]:
    """The sets by movement, and where the time of each lane went."""
    told: dict[str, list[SetPieces]] = {}
    for lane in lanes:
        for done in lane.sets:
            if tells_pieces(done):
                told.setdefault(done.set.movement, []).append(done)
    chart = splits_chart(
        "In how many pieces sets were done",
        "sets",
        _PIECES,
        (Split(label=name, parts=_in_pieces(sets)) for name, sets in told.items()),
    )
    rows = tuple(_set_row(name, sets) for name, sets in told.items())
    yield Section(
        title="How sets were done",
        charts=() if chart is None else (chart,),
        lines=(_SETS_READ,) if rows else (),
        tables=(Table(title="Sets", columns=_SETS, rows=rows),),
    )
    times = _times_table([lane for lane in lanes if lane.is_timed])
    yield Section(title=times.title, lines=times.notes, tables=(times,))


def _in_pieces(sets: Iterable[SetPieces]) -> tuple[int, ...]:
    """How many sets in one piece, in two, in more."""
    many = Counter(min(len(one.pieces), len(_PIECES)) for one in sets)
    return tuple(many[place] for place in range(1, len(_PIECES) + 1))


def _set_row(name: str, sets: Sequence[SetPieces]) -> tuple[Cell, ...]:
    broken = Counter(one.pieces for one in sets if len(one.pieces) > 1)
    planned = [one.as_planned for one in sets if one.as_planned is not None]
    found = set_sum(sets)
    usual = broken.most_common(1)
    return (
        name,
        found.sets,
        f"{found.unbroken} of {found.sets}",
        piece_words(usual[0][0]) if usual else None,
        f"{sum(planned)} of {len(planned)}" if planned else None,
        seconds(found.pace_ms),
        seconds(found.rested_ms),
    )


def _times_table(lanes: Sequence[LanePieces]) -> Table:
    """Each timed lane: pauses, ways, rest over plan, and what clearly became slower."""
    several = len({lane.facts.plan.workout for lane in lanes}) > 1
    return Table(
        title="Where the time went",
        columns=(
            Column(name="Athlete", key="athlete"),
            *((_WORKOUT,) if several else ()),
            *_TIMES,
        ),
        rows=tuple(_times_row(lane, several=several) for lane in lanes),
        notes=(_TIMES_READ,) if lanes else (),
    )


def _times_row(lane: LanePieces, *, several: bool) -> tuple[Cell, ...]:
    plan = lane.facts.plan
    ways = {one.begins for one in lane.sets if one.way_ms is not None}
    slower = (_slower(pace) for pace in lane.paces)
    return (
        numbered_name(plan),
        *((plan.workout_name,) if several else ()),
        _whole_seconds(lane.rested_ms),
        _whole_seconds(lane.between_ms) if "after a set" in ways else None,
        _whole_seconds(lane.over_rest_ms) if "after a rest" in ways else None,
        ", ".join(filter(None, slower)) or None,
    )


def _whole_seconds(ms: float) -> int:
    return round(ms / 1000)


def _slower(pace: Pace) -> str:
    """As in "Push-up 24 % (10 to 40 %)"; empty unless it is likely slower."""
    slowing = pace.slowing
    if slowing is None or slowing.low <= 1:
        return ""
    by, low, high = (
        round(100 * (part - 1)) for part in (slowing.ratio, slowing.low, slowing.high)
    )
    return f"{pace.movement} {by} % ({low} to {high})"
